//! The words of a printed record, in each language: every code has its own.

use super::Lang;
use std::collections::BTreeMap;
use std::sync::LazyLock;

type Catalogue = BTreeMap<String, String>;

static EN: LazyLock<Catalogue> = LazyLock::new(|| parse(include_str!("words/en.json")));
static ES: LazyLock<Catalogue> = LazyLock::new(|| parse(include_str!("words/es.json")));

/// An unreadable catalogue leaves every code standing for itself; the tests below read both.
fn parse(text: &str) -> Catalogue {
    serde_json::from_str(text).unwrap_or_default()
}

/// All words of a language.
pub(super) fn all(lang: Lang) -> &'static Catalogue {
    match lang {
        Lang::En => &EN,
        Lang::Es => &ES,
    }
}

/// The words of a code of some kind, such as `position` and `open`; the code itself where there are none.
pub(super) fn of(lang: Lang, kind: &str, code: &str) -> String {
    all(lang)
        .get(&format!("{kind}.{code}"))
        .cloned()
        .unwrap_or_else(|| code.replace('_', " "))
}

/// The words of the page itself.
pub(super) fn page(lang: Lang, name: &str) -> String {
    all(lang).get(name).cloned().unwrap_or_else(|| name.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_languages_have_the_same_words() {
        let keys = |lang| all(lang).keys().cloned().collect::<Vec<_>>();
        assert!(keys(Lang::En).len() > 100);
        assert_eq!(keys(Lang::En), keys(Lang::Es));
        for lang in [Lang::En, Lang::Es] {
            for (key, words) in all(lang) {
                assert!(!words.trim().is_empty(), "{key} has no words in {}", lang.code());
            }
        }
    }

    #[test]
    fn every_code_that_a_record_can_carry_has_words() {
        use turnwise_core::journal::Body;
        use turnwise_core::quantity::Unit;
        use turnwise_core::review::Code;
        let reviews = Code::ALL.iter().map(|code| ("review", code.as_str()));
        let units = Unit::ALL.iter().map(|unit| ("unit", unit.symbol()));
        let kinds = Body::KINDS.iter().map(|kind| ("kind", *kind));
        for (kind, code) in reviews.chain(units).chain(kinds) {
            assert!(
                all(Lang::En).contains_key(&format!("{kind}.{code}")),
                "{kind}.{code}"
            );
        }
    }

    #[test]
    fn every_word_the_template_asks_for_is_there() {
        let template = [
            include_str!("main.typ"),
            include_str!("base.typ"),
            include_str!("chart.typ"),
            include_str!("line_up.typ"),
            include_str!("parts.typ"),
        ]
        .concat();
        let asked: Vec<&str> = template
            .split("w(\"")
            .skip(1)
            .filter_map(|rest| rest.split('"').next())
            .collect();
        assert!(asked.len() > 40, "only {} words asked for", asked.len());
        for key in asked {
            assert!(all(Lang::En).contains_key(key), "the template asks for {key}");
        }
    }
}
