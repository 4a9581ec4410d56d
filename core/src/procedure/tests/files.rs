//! Broken files, each refused with its line and reason.

use crate::procedure::{Parts, Procedure, ProcedureError, Procedures};

/// A procedure that takes nothing, or from one shared file of this text.
fn parse(procedure: &str, common: &str) -> Result<Procedure, ProcedureError> {
    Procedure::parse(procedure, &Parts::read(&[("common", common)])?)
}

/// A small procedure that is in order, with something put in its place.
fn with(find: &str, put: &str) -> String {
    let whole = r#"id = "small"
title = { en = "Small", es = "Pequeño" }
closes_with = [{ line_up = "normal" }]

[[element]]
id = "block"
class = "block_valve"
side = "upstream"
normal = "open"
label = { en = "Block valve", es = "Válvula de corte" }

[[point]]
id = "outlet"
label = { en = "Outlet", es = "Salida" }

[[screw]]
id = "pilot"
raises_clockwise = true
label = { en = "Screw", es = "Tornillo" }

[[runaway]]
element = "block"
say = { en = "Shut it.", es = "Ciérrela." }

[[phase]]
id = "one"
title = { en = "One", es = "Uno" }

[[phase.step]]
id = "one.first"
who = "either"
title = { en = "First", es = "Primero" }
say = { en = "Do it.", es = "Hágalo." }
why = { en = "So.", es = "Así." }
evidence = [{ position = "block", is = "shut" }]

[[phase.step]]
id = "one.second"
who = "either"
title.en = "Second"
title.es = "Segundo"
say.en = "Do it."
say.es = "Hágalo."
why.en = "So."
why.es = "Así."
needs = [{ step = "one.first" }]
evidence = [{ reading = "outlet", after = "one.first" }]
stops = [{ zone_limit = "within" }]
"#;
    assert!(whole.contains(find), "{find}");
    whole.replacen(find, put, 1)
}

fn refused(find: &str, put: &str) -> (&'static str, &'static str, usize, String) {
    let error = parse(&with(find, put), "").unwrap_err();
    (error.code(), error.file, error.line, error.to_string())
}

fn code_and_line(find: &str, put: &str) -> (&'static str, usize) {
    let (code, file, line, _) = refused(find, put);
    assert_eq!(file, "procedure");
    (code, line)
}

#[test]
fn the_small_procedure_is_in_order() {
    let small = parse(&with("Small", "Small"), "").unwrap();
    assert_eq!(small.steps().count(), 2);
    assert_eq!(small.step("one.second").unwrap().title.es, "Segundo");
}

#[test]
fn what_is_no_toml_is_refused_where_it_stops_making_sense() {
    assert_eq!(
        code_and_line("raises_clockwise = true", "raises_clockwise = "),
        ("syntax", 18)
    );
    assert_eq!(
        code_and_line("raises_clockwise = true", "raises_clockwise = true\ncolour = 1"),
        ("syntax", 19)
    );
    assert_eq!(
        code_and_line("class = \"block_valve\"", "class = \"tap\""),
        ("syntax", 7)
    );
    assert_eq!(
        code_and_line("who = \"either\"", "who = \"anybody\""),
        ("syntax", 31)
    );
    let (_, _, _, words) = refused("who = \"either\"\n", "");
    assert!(words.contains("missing field `who`"), "{words}");
}

#[test]
fn a_text_without_spanish_is_refused_with_what_it_is_of() {
    let (code, _, line, words) = refused(
        "say = { en = \"Do it.\", es = \"Hágalo.\" }",
        "say = { en = \"Do it.\" }",
    );
    assert_eq!((code, line), ("missing_text", 33));
    assert_eq!(
        words,
        "procedure, line 33: no text in Spanish for what `one.first` says"
    );
    assert_eq!(
        code_and_line("es = \"Ciérrela.\"", "es = \" \""),
        ("missing_text", 23)
    );
    assert_eq!(code_and_line("title.es = \"Segundo\"\n", "").0, "missing_text");
    assert_eq!(code_and_line("en = \"Outlet\", ", ""), ("missing_text", 14));
}

#[test]
fn whatever_is_named_must_be_there() {
    assert_eq!(
        code_and_line("{ step = \"one.first\" }", "{ step = \"one.third\" }"),
        ("unknown_step", 46)
    );
    assert_eq!(
        code_and_line("after = \"one.first\"", "after = \"one.third\""),
        ("unknown_step", 47)
    );
    assert_eq!(
        code_and_line("position = \"block\"", "position = \"cock\""),
        ("unknown_element", 35)
    );
    assert_eq!(
        code_and_line("element = \"block\"", "element = \"cock\""),
        ("unknown_element", 21)
    );
    assert_eq!(
        code_and_line("reading = \"outlet\"", "reading = \"inlet\""),
        ("unknown_point", 47)
    );
    let needs = "needs = [{ step = \"one.first\" }]";
    assert_eq!(
        code_and_line(needs, "needs = [{ move = \"valve\" }]"),
        ("unknown_screw", 46)
    );
    assert_eq!(
        code_and_line(needs, "needs = [{ speed_control = \"x\" }]"),
        ("unknown_speed_control", 46)
    );
    assert_eq!(
        code_and_line(needs, "needs = [{ particular = \"colour\" }]"),
        ("unknown_particular", 46)
    );
    assert_eq!(
        code_and_line(needs, "needs = [{ choice = \"one.first\", is = \"yes\" }]"),
        ("unknown_answer", 46)
    );
    assert_eq!(
        code_and_line("[{ line_up = \"normal\" }]", "[{ zero = \"inlet\" }]"),
        ("unknown_point", 3)
    );
    assert_eq!(
        code_and_line(
            "[[phase]]\nid = \"one\"",
            "[[phase]]\nid = \"leave\"\nfrom = \"common\"\n\n[[phase]]\nid = \"one\""
        ),
        ("unknown_phase", 25)
    );
}

#[test]
fn nothing_is_there_twice() {
    assert_eq!(
        code_and_line("id = \"one.second\"", "id = \"one.first\""),
        ("duplicate_id", 37)
    );
    let twice =
        "[[point]]\nid = \"outlet\"\nlabel = { en = \"O\", es = \"S\" }\n\n[[point]]\nid = \"outlet\"";
    assert_eq!(
        code_and_line("[[point]]\nid = \"outlet\"", twice),
        ("duplicate_id", 16)
    );
}

#[test]
fn an_unknown_or_half_written_condition_is_refused() {
    let needs = "{ step = \"one.first\" }";
    let (code, _, line, words) = refused(needs, "{ weather = \"dry\" }");
    assert_eq!((code, line), ("syntax", 46));
    assert!(words.contains("unknown field `weather`"), "{words}");
    assert_eq!(
        code_and_line(needs, "{ is = \"shut\" }"),
        ("unknown_condition", 46)
    );
    assert_eq!(
        code_and_line(needs, "{ position = \"block\" }"),
        ("unknown_condition", 46)
    );
    assert_eq!(
        code_and_line(needs, "{ position = \"block\", is = \"ajar\" }"),
        ("unknown_condition", 46)
    );
    assert_eq!(
        code_and_line(needs, "{ step = \"one.first\", count = 2 }"),
        ("unknown_condition", 46)
    );
    assert_eq!(
        code_and_line(needs, "{ step = \"one.first\", position = \"block\" }"),
        ("unknown_condition", 46)
    );
    assert_eq!(code_and_line(needs, "{ any = [] }"), ("unknown_condition", 46));
    assert_eq!(code_and_line(needs, "{ vented = [] }"), ("unknown_condition", 46));
    assert_eq!(
        code_and_line(needs, "{ reading = \"outlet\", count = 0 }"),
        ("unknown_condition", 46)
    );
    assert_eq!(code_and_line(needs, "{ request = false }"), ("syntax", 46));
}

#[test]
fn what_can_be_overridden_is_no_hard_stop() {
    assert_eq!(
        code_and_line("[{ zone_limit = \"within\" }]", "[{ request = true }]"),
        ("not_a_stop", 48)
    );
    assert_eq!(
        code_and_line(
            "[{ zone_limit = \"within\" }]",
            "[{ zone_limit = \"on_record\" }]"
        ),
        ("not_a_stop", 48)
    );
}

#[test]
fn steps_that_need_one_another_are_refused_and_so_is_waiting_for_a_later_one() {
    let evidence = "evidence = [{ position = \"block\", is = \"shut\" }]";
    let circle = format!("needs = [{{ step = \"one.second\" }}]\n{evidence}");
    let (code, _, line, words) = refused(evidence, &circle);
    assert_eq!((code, line), ("cycle", 35));
    assert_eq!(
        words,
        "procedure, line 35: `one.first` needs `one.second`, which needs `one.first`"
    );
    assert_eq!(
        code_and_line("{ step = \"one.first\" }", "{ step = \"one.second\" }"),
        ("cycle", 46)
    );
    let text = with(evidence, &circle)
        .replace("needs = [{ step = \"one.first\" }]\n", "")
        .replace(", after = \"one.first\"", "");
    let error = parse(&text, "").unwrap_err();
    assert_eq!((error.code(), error.line), ("later_step", 35));
}

#[test]
fn a_step_belongs_to_its_phase_and_a_question_has_answers() {
    assert_eq!(
        code_and_line("id = \"one.second\"", "id = \"two.second\""),
        ("outside_phase", 37)
    );
    let one = "stops = [{ zone_limit = \"within\" }]\n\n[[phase.step.option]]\nid = \"yes\"\nlabel = { en = \"Yes\", es = \"Sí\" }";
    assert_eq!(
        code_and_line("stops = [{ zone_limit = \"within\" }]", one),
        ("too_few_answers", 37)
    );
}

#[test]
fn a_fault_in_the_common_file_names_that_file() {
    let procedure =
        "id = \"p\"\ntitle = { en = \"P\", es = \"P.\" }\n\n[[phase]]\nid = \"leave\"\nfrom = \"common\"\n";
    let common = "[[phase]]\nid = \"leave\"\ntitle = { en = \"Leave\" }\n";
    let error = parse(procedure, common).unwrap_err();
    assert_eq!(
        (error.code(), error.file, error.line),
        ("missing_text", "common", 3)
    );
    let except = procedure.replace("from = \"common\"", "from = \"common\"\nexcept = [\"leave.lid\"]");
    let common = "[[phase]]\nid = \"leave\"\ntitle = { en = \"Leave\", es = \"Salir\" }\n";
    let error = parse(&except, common).unwrap_err();
    assert_eq!(
        (error.code(), error.file, error.line),
        ("unknown_step", "procedure", 4)
    );
}

#[test]
fn a_step_that_the_procedure_leaves_out_may_not_be_needed_by_another() {
    let procedure = "id = \"p\"\ntitle = { en = \"P\", es = \"P.\" }\n\n[[phase]]\nid = \"entry\"\nfrom = \"common\"\nexcept = [\"entry.lid\"]\n";
    let error = Procedure::parse(procedure, &Parts::read(Procedures::SHARED).unwrap()).unwrap_err();
    assert_eq!((error.code(), error.file), ("unknown_step", "common"));
}

#[test]
fn a_file_of_any_size_or_bytes_is_refused_and_never_panics() {
    let error = parse(&"#".repeat(Procedure::MAX_BYTES + 1), "").unwrap_err();
    assert_eq!(error.code(), "too_large");
    let whole = with("Small", "Ñandú");
    for cut in (0..whole.len()).filter(|&cut| whole.is_char_boundary(cut)) {
        if let Err(error) = parse(&whole[..cut], "") {
            assert!(
                error.line >= 1 && error.line <= whole.lines().count() + 1,
                "{error}"
            );
        }
    }
    let deep = format!(
        "needs = [{}{{ request = true }}{}]",
        "{ any = [".repeat(2000),
        "] }".repeat(2000)
    );
    assert!(parse(&with("needs = [{ step = \"one.first\" }]", &deep), "").is_err());
}
