//! Rules that need only a file's name and text.

use super::Finding;

/// A source file longer than this wants two names.
const WARN_LINES: usize = 500;
const MOST_LINES: usize = 600;

/// Written in halves, so that this file does not find itself.
const SWITCHED_OFF: [(&str, &str); 9] = [
    (".rs", concat!("#[", "ignore")),
    (".rs", concat!("to", "do!(")),
    (".rs", concat!("unimple", "mented!(")),
    (".rs", concat!("assert!", "(true)")),
    (".mjs", concat!("test.", "skip(")),
    (".mjs", concat!("test.", "only(")),
    (".mjs", concat!("skip", ": true")),
    (".py", concat!("mark.", "skip")),
    (".py", concat!("mark.", "xfail")),
];

const FOLDERS: [&str; 6] = [
    concat!("/wo", "rk/"),
    concat!("/fa", "rm/"),
    concat!("/tm", "p/"),
    concat!("/ro", "ot/"),
    concat!("/ho", "me/"),
    concat!("/Use", "rs/"),
];

const HOSTS: [&str; 6] = [
    concat!("registry.", "npmjs"),
    concat!("index.", "crates.io"),
    concat!("static.", "crates.io"),
    concat!("files.python", "hosted"),
    concat!("deb.", "debian.org"),
    concat!("arti", "factory"),
];

/// Whether the file is source that people read.
pub fn source(name: &str) -> bool {
    [".rs", ".mjs", ".js", ".css", ".py"]
        .iter()
        .any(|kind| name.ends_with(kind))
}

/// A long file holds two things.
pub fn length(name: &str, text: &str) -> Vec<Finding> {
    let lines = text.lines().count();
    if lines <= MOST_LINES {
        return Vec::new();
    }
    vec![Finding::new(
        name,
        format!("{lines} lines, expected at most {MOST_LINES}: it wants two names"),
    )]
}

/// Says so before it is too late.
pub fn getting_long(name: &str, text: &str) -> Option<String> {
    let lines = text.lines().count();
    (source(name) && lines > WARN_LINES && lines <= MOST_LINES)
        .then(|| format!("{name} has {lines} lines; at more than {MOST_LINES} tidy fails"))
}

fn each_line(name: &str, text: &str, find: impl Fn(&str) -> Option<String>) -> Vec<Finding> {
    text.lines()
        .enumerate()
        .filter_map(|(index, line)| {
            find(line).map(|what| Finding::new(format!("{name}:{}", index + 1), what))
        })
        .collect()
}

/// A check that does not run is no check.
pub fn switched_off(name: &str, text: &str) -> Vec<Finding> {
    each_line(name, text, |line| {
        SWITCHED_OFF
            .iter()
            .find(|(kind, word)| name.ends_with(kind) && line.contains(word))
            .map(|(_, word)| format!("`{word}`: mend the check or take it out"))
    })
}

/// What is true on one machine only does not belong in the house.
pub fn machine(name: &str, text: &str) -> Vec<Finding> {
    each_line(name, text, |line| {
        let folder = FOLDERS.iter().find(|folder| {
            line.match_indices(**folder).any(|(start, _)| {
                // Not the middle of a longer path or address.
                !line[..start].ends_with(|before: char| {
                    before.is_alphanumeric() || matches!(before, '_' | '.' | '-' | '}' | ')')
                })
            })
        });
        let host = HOSTS.iter().find(|host| line.contains(**host));
        folder
            .or(host)
            .map(|word| format!("`{word}` is true on one machine only"))
    })
}

/// A page that forgets its policy is open to the network. Only the rehearsal page may connect,
/// and only to this machine.
pub fn policy(name: &str, text: &str) -> Vec<Finding> {
    let Some(policy) = crate::serve::stated_policy(text) else {
        return vec![Finding::new(
            name,
            "expected <meta http-equiv=\"Content-Security-Policy\" content=\"…\">",
        )];
    };
    let mut findings = Vec::new();
    let directives: Vec<Vec<&str>> = policy
        .split(';')
        .map(|directive| directive.split_whitespace().collect())
        .collect();
    let sources = |wanted: &str| {
        directives
            .iter()
            .find(|words| words.first() == Some(&wanted))
            .map(|words| &words[1..])
    };
    if sources("default-src") != Some(&["'none'"]) {
        findings.push(Finding::new(name, "expected `default-src 'none'`"));
    }
    let connect = sources("connect-src").unwrap_or_default();
    let loopback = |source: &str| {
        ["ws://127.0.0.1:", "ws://localhost:", "ws://[::1]:"]
            .iter()
            .any(|start| source.starts_with(start))
    };
    let fine = if name.ends_with("rehearsal.html") {
        connect == ["'none'"]
            || (!connect.is_empty() && connect.iter().all(|source| loopback(source)))
    } else {
        connect == ["'none'"]
    };
    if !fine {
        findings.push(Finding::new(
            name,
            format!("`connect-src {}` lets the page connect", connect.join(" ")),
        ));
    }
    for word in ["'unsafe-inline'", "'unsafe-eval'"] {
        if policy.contains(word) {
            findings.push(Finding::new(name, format!("{word} opens the policy")));
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_files_are_found() {
        let lines = |count: usize| "x\n".repeat(count);
        assert_eq!(length("a.rs", &lines(600)), []);
        assert_eq!(length("a.rs", &lines(601)).len(), 1);
        assert!(getting_long("a.rs", &lines(500)).is_none());
        assert!(getting_long("a.rs", &lines(501)).is_some());
        assert!(getting_long("a.csv", &lines(501)).is_none());
        assert!(source("www/page.css") && !source("samples/a.csv"));
    }

    #[test]
    fn switched_off_checks_are_found() {
        for (kind, word) in SWITCHED_OFF {
            let found = switched_off(&format!("a{kind}"), &format!("fine\n  {word} x"));
            assert_eq!(found.len(), 1, "{word}");
            assert_eq!(found[0].place, format!("a{kind}:2"));
        }
        assert_eq!(switched_off("a.rs", "items.iter().skip(1)"), []);
    }

    #[test]
    fn machine_paths_and_hosts_are_found() {
        for word in FOLDERS.into_iter().chain(HOSTS) {
            for line in [
                format!("see {word}x"),
                word.to_owned(),
                format!("\"{word}\""),
            ] {
                assert_eq!(machine("a.md", &line).len(), 1, "{line}");
            }
        }
        let fine = format!("target{0}x ../frame{0} https://a.org{0}", FOLDERS[0]);
        assert_eq!(machine("a.md", &fine), []);
    }

    #[test]
    fn open_policies_are_found() {
        let page = |policy: &str| {
            format!("<meta http-equiv=\"Content-Security-Policy\" content=\"{policy}\">")
        };
        let good = page("default-src 'none'; script-src 'self'; connect-src 'none'");
        assert_eq!(policy("www/index.html", &good), []);
        let rehearsal = page("default-src 'none'; connect-src ws://127.0.0.1:*");
        assert_eq!(policy("www/rehearsal.html", &rehearsal), []);
        for bad in [
            String::new(),
            rehearsal,
            page("default-src 'none'"),
            page("default-src 'self'; connect-src 'none'"),
            page("default-src 'none'; connect-src 'none'; style-src 'unsafe-inline'"),
        ] {
            assert_eq!(policy("www/index.html", &bad).len(), 1, "{bad}");
        }
        let far = page("default-src 'none'; connect-src ws://127.0.0.1:* wss://example.org");
        assert_eq!(policy("www/rehearsal.html", &far).len(), 1);
    }
}
