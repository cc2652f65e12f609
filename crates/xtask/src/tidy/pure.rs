//! The pure rooms take bytes and numbers and give numbers: they reach for nothing themselves.

use std::str::FromStr;

use proc_macro2::{Delimiter, TokenStream, TokenTree};

use super::Finding;

/// Rooms that must run the same in a browser, a command and a test.
const ROOMS: [&str; 6] = ["core", "formats", "link", "app", "charts", "simulate"];

/// Parts of `std` that reach outside.
const OUTSIDE: [&str; 7] = ["env", "fs", "net", "os", "process", "thread", "time"];

/// Parts of `std::io` that do; the rest of it works on bytes in memory.
const OUTSIDE_IO: [&str; 3] = ["stderr", "stdin", "stdout"];

/// Macros that print.
const PRINTS: [&str; 5] = ["dbg", "eprint", "eprintln", "print", "println"];

/// Whether the rule holds for this file.
pub fn applies(name: &str) -> bool {
    name.ends_with(".rs")
        && ROOMS
            .iter()
            .any(|room| name.starts_with(&format!("crates/{room}/src/")))
}

/// Finds what reaches outside, but for what only tests do.
pub fn rule(name: &str, text: &str) -> Vec<Finding> {
    match TokenStream::from_str(text) {
        Ok(tokens) => {
            let mut findings = Vec::new();
            walk(name, tokens, &mut findings);
            findings
        }
        Err(error) => vec![Finding::new(name, format!("not Rust: {error}"))],
    }
}

fn walk(name: &str, tokens: TokenStream, findings: &mut Vec<Finding>) {
    let tokens: Vec<TokenTree> = tokens.into_iter().collect();
    let mut at = 0;
    while at < tokens.len() {
        let rest = &tokens[at..];
        if let Some(length) = test_only(rest) {
            at += length;
            continue;
        }
        if let [TokenTree::Ident(word), TokenTree::Punct(mark), ..] = rest
            && mark.as_char() == '!'
            && PRINTS.iter().any(|print| word == print)
        {
            let line = word.span().start().line;
            findings.push(Finding::new(
                format!("{name}:{line}"),
                format!("`{word}!` prints: give the text to the caller"),
            ));
        }
        if let [TokenTree::Ident(word), ..] = rest
            && word == "std"
            && let Some(path) = after_colons(&rest[1..])
        {
            paths(name, path, &OUTSIDE, "std", findings);
        }
        if let TokenTree::Group(group) = &tokens[at] {
            walk(name, group.stream(), findings);
        }
        at += 1;
    }
}

/// The tokens after `::`.
fn after_colons(tokens: &[TokenTree]) -> Option<&[TokenTree]> {
    match tokens {
        [TokenTree::Punct(first), TokenTree::Punct(second), rest @ ..]
            if first.as_char() == ':' && second.as_char() == ':' =>
        {
            Some(rest)
        }
        _ => None,
    }
}

/// Looks at one path, or at each path of a braced list.
fn paths(
    name: &str,
    path: &[TokenTree],
    outside: &[&str],
    within: &str,
    findings: &mut Vec<Finding>,
) {
    match path {
        [TokenTree::Ident(word), rest @ ..] => {
            if outside.iter().any(|part| word == part) {
                let line = word.span().start().line;
                findings.push(Finding::new(
                    format!("{name}:{line}"),
                    format!("`{within}::{word}` reaches outside: let the caller bring it"),
                ));
            } else if within == "std"
                && word == "io"
                && let Some(rest) = after_colons(rest)
            {
                paths(name, rest, &OUTSIDE_IO, "std::io", findings);
            }
        }
        [TokenTree::Group(group), ..] if group.delimiter() == Delimiter::Brace => {
            let inside: Vec<TokenTree> = group.stream().into_iter().collect();
            let comma = |token: &TokenTree| matches!(token, TokenTree::Punct(mark) if mark.as_char() == ',');
            for item in inside.split(comma) {
                paths(name, item, outside, within, findings);
            }
        }
        _ => {}
    }
}

/// How many tokens an item takes that starts with `#[cfg(test)]`.
fn test_only(tokens: &[TokenTree]) -> Option<usize> {
    let [TokenTree::Punct(hash), TokenTree::Group(attribute), ..] = tokens else {
        return None;
    };
    let text = attribute.stream().to_string().replace(' ', "");
    if hash.as_char() != '#' || text != "cfg(test)" {
        return None;
    }
    let end = tokens.iter().position(|token| match token {
        TokenTree::Group(group) => group.delimiter() == Delimiter::Brace,
        TokenTree::Punct(mark) => mark.as_char() == ';',
        _ => false,
    });
    Some(end.map_or(tokens.len(), |end| end + 1))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(text: &str) -> Vec<String> {
        rule("a.rs", text)
            .into_iter()
            .map(|finding| format!("{} {}", finding.place, finding.what))
            .collect()
    }

    #[test]
    fn what_reaches_outside_is_found_with_its_line() {
        for (text, part) in [
            ("fn f() {\n std::fs::read(\"a\"); }", "a.rs:2 `std::fs`"),
            ("use std::{cmp, fs};", "`std::fs`"),
            ("use std::{io::{self, stdout}, cmp};", "`std::io::stdout`"),
            ("use std::time::Instant;", "`std::time`"),
            (
                "fn f() { vec![::std::thread::current()]; }",
                "`std::thread`",
            ),
            ("fn f() { if x { println!(\"a\") } }", "`println!`"),
            ("fn f() { dbg!(1); }", "`dbg!`"),
            ("#[cfg(test)] mod a {}\nuse std::net;", "a.rs:2 `std::net`"),
        ] {
            let found = lines(text);
            assert_eq!(found.len(), 1, "{text}: {found:?}");
            assert!(found[0].contains(part), "{text}: {found:?}");
        }
    }

    #[test]
    fn what_stays_inside_is_left_alone() {
        for text in [
            "//! std::fs::read\nconst A: &str = \"std::fs println!\";",
            "use std::io::{Cursor, Read};\nuse std::collections::BTreeMap;",
            "#[cfg(test)]\nmod tests { use std::fs; fn f() { println!(); } }",
            "fn print() {}",
        ] {
            assert_eq!(lines(text), [""; 0], "{text}");
        }
    }

    #[test]
    fn only_the_pure_rooms_are_held_to_it() {
        assert!(applies("crates/core/src/torque.rs"));
        assert!(!applies("crates/core/tests/truth.rs"));
        assert!(!applies("crates/cli/src/main.rs"));
    }
}
