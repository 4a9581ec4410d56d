//! Reads just enough Rust to say which paths a file names.

/// The file without its comments and without the module of tests at its end. Line numbers stay.
pub fn code(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut lines = text.lines().peekable();
    while let Some(line) = lines.next() {
        let tests = line == "#[cfg(test)]"
            && lines
                .peek()
                .is_some_and(|next| next.starts_with("mod ") && next.ends_with('{'));
        if tests {
            break;
        }
        let code = match line.find("//") {
            // Not the slashes of an address.
            Some(start) if !line[..start].ends_with(':') => &line[..start],
            _ => line,
        };
        out.push_str(code);
        out.push('\n');
    }
    out
}

/// Every path of two names or more, such as `std::fs::read`, with its line. Braces are opened:
/// `use std::{fs, io::Read}` names `std::fs` and `std::io::Read`.
pub fn paths(code: &str) -> Vec<(usize, String)> {
    let mut reader = Reader {
        rest: code,
        line: 1,
        found: Vec::new(),
    };
    while !reader.rest.is_empty() {
        if reader.at_name() {
            reader.path("");
        } else {
            reader.skip_one();
        }
    }
    reader.found
}

struct Reader<'a> {
    rest: &'a str,
    line: usize,
    found: Vec<(usize, String)>,
}

impl Reader<'_> {
    fn at_name(&self) -> bool {
        self.rest
            .starts_with(|first: char| first.is_alphabetic() || first == '_')
    }

    fn skip_one(&mut self) {
        let mut chars = self.rest.chars();
        if chars.next() == Some('\n') {
            self.line += 1;
        }
        self.rest = chars.as_str();
    }

    fn skip_space(&mut self) {
        while self.rest.starts_with(char::is_whitespace) {
            self.skip_one();
        }
    }

    fn name(&mut self) -> &str {
        let end = self
            .rest
            .find(|char: char| !char.is_alphanumeric() && char != '_')
            .unwrap_or(self.rest.len());
        let (name, rest) = self.rest.split_at(end);
        self.rest = rest;
        name
    }

    /// Reads a path that starts here, below `prefix`.
    fn path(&mut self, prefix: &str) {
        let line = self.line;
        let mut path = join(prefix, self.name());
        while let Some(after) = self.rest.strip_prefix("::") {
            self.rest = after;
            if self.rest.starts_with('{') {
                self.group(&path);
                return;
            }
            if !self.at_name() {
                break;
            }
            let name = self.name().to_owned();
            path = join(&path, &name);
        }
        if path.contains("::") {
            self.found.push((line, path));
        }
    }

    /// Reads `{a, b::c}` below `prefix`.
    fn group(&mut self, prefix: &str) {
        self.skip_one();
        loop {
            self.skip_space();
            if self.rest.is_empty() {
                return;
            }
            if self.rest.starts_with('}') {
                self.skip_one();
                return;
            }
            if self.at_name() {
                self.path(prefix);
            }
            // A new name after `as` is none that comes from elsewhere.
            while !self.rest.is_empty() && !self.rest.starts_with([',', '}']) {
                self.skip_one();
            }
            if self.rest.starts_with(',') {
                self.skip_one();
            }
        }
    }
}

fn join(prefix: &str, name: &str) -> String {
    if prefix.is_empty() {
        name.to_owned()
    } else {
        format!("{prefix}::{name}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn named(text: &str) -> Vec<String> {
        paths(&code(text)).into_iter().map(|(_, path)| path).collect()
    }

    #[test]
    fn braces_are_opened_in_any_depth() {
        assert_eq!(
            named("use std::{fs, io::{Read, Write}, path::Path as P};"),
            ["std::fs", "std::io::Read", "std::io::Write", "std::path::Path"]
        );
    }

    #[test]
    fn paths_in_expressions_count_and_generics_end_them() {
        assert_eq!(
            named("let a = std::fs::read(x); b.collect::<Vec<_>>(); c::d::<u8>()"),
            ["std::fs::read", "c::d"]
        );
    }

    #[test]
    fn comments_and_the_module_of_tests_do_not_count() {
        let text = "// std::fs\nlet a = 1; // std::net\n#[cfg(test)]\nmod tests {\n  use std::process;\n}\n";
        assert_eq!(named(text), [""; 0]);
    }

    #[test]
    fn lines_are_numbered_through_braces_over_several_lines() {
        let text = "\nuse a::{\n  b,\n  c,\n};\nd::e();\n";
        assert_eq!(
            paths(&code(text)),
            [
                (3, "a::b".to_owned()),
                (4, "a::c".to_owned()),
                (6, "d::e".to_owned())
            ]
        );
    }
}
