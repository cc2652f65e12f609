//! What people do to links on their way, and what is said when too much was done.

mod support;

use footing_link::{Refusal, Shared, decode, encode};
use support::{invent, six_and_six};

const BASE: &str = "https://example.org/footing/";

fn sent() -> (String, String, Shared) {
    let link = encode(&invent(six_and_six(11)).shared).unwrap();
    let back = decode(&link.fragment()).unwrap();
    (link.url(BASE), link.qr_url(BASE), back)
}

/// With a line end after every `width` characters.
fn wrapped(text: &str, width: usize, line_end: &str) -> String {
    let chars: Vec<char> = text.chars().collect();
    let lines: Vec<String> = chars
        .chunks(width)
        .map(|line| line.iter().collect())
        .collect();
    lines.join(line_end)
}

fn percent(text: &str, also: fn(char) -> bool) -> String {
    text.chars()
        .map(|c| {
            if also(c) {
                format!("%{:02X}", u32::from(c))
            } else {
                c.to_string()
            }
        })
        .collect()
}

#[test]
fn forgiven() {
    let (url, qr_url, expected) = sent();
    for url in [&url, &qr_url] {
        let fragment = &url[url.find('#').unwrap()..];
        let punctuation = |c: char| !c.is_ascii_alphanumeric();
        let twice = percent(&percent(url, punctuation), punctuation);
        let mut cases = vec![
            url.clone(),
            fragment.to_owned(),
            fragment[1..].to_owned(),
            format!("  {url}\r\n"),
            format!("<{url}>"),
            format!("\"{url}\""),
            format!("Have a look ({url})! See you on Tuesday, #2 at the desk."),
            format!("Swing #1=good, #f=bad, then {url} and then more words"),
            wrapped(url, 76, "\r\n"),
            wrapped(url, 70, "\n> "),
            wrapped(url, 60, " "),
            wrapped(url, 1, "\u{200b}"),
            percent(url, punctuation),
            percent(fragment, |c| c != '#'),
            twice,
            format!("{url} {url}"),
            format!("https://example.org/#f1=AbC {url}"),
        ];
        cases.extend(
            [
                ".", ",", ")", ">", "»", "\"", "'", "…", "!", ").", "==", "%20",
            ]
            .map(|tail| url.clone() + tail),
        );
        for case in cases {
            let found = decode(&case);
            assert!(found.as_ref() == Ok(&expected), "{case}: {:?}", found.err());
        }
    }
    // Capitals and small letters are the same in the QR code's spelling.
    assert!(decode(&qr_url.to_lowercase()).as_ref() == Ok(&expected));
    // The letter at the end may be lost: it carries nothing.
    assert!(decode(&url[..url.len() - 1]) == Ok(expected));
}

#[test]
fn cut_short() {
    for url in [sent().0, sent().1] {
        let start = url.find('#').unwrap() + 4;
        for end in start..url.len() - 1 {
            let found = decode(&url[..end]).unwrap_err();
            let missing = url.len() - end;
            // The first three bytes hold the length: they need five characters, or six.
            let known = matches!(found, Refusal::CutShort { missing: Some(_) });
            assert!(known || end - start < 6, "{found:?} of {}", end - start);
            let stated = if known { Some(missing) } else { None };
            assert_eq!(found, Refusal::CutShort { missing: stated });
        }
    }
    let (url, ..) = sent();
    let cut = |n: usize| decode(&url[..url.len() - n]).unwrap_err().to_string();
    assert_eq!(
        cut(12),
        "This link was cut short: 12 characters are missing at its end; copy all of it, or ask for it again."
    );
    assert_eq!(
        decode("https://example.org/footing/#f1=")
            .unwrap_err()
            .to_string(),
        "This link was cut short: nearly all of it is missing; copy all of it, or ask for it again."
    );
    // Words after a link that was cut are not counted as its end.
    let cut_in_text = format!("{} is my link", &url[..url.len() - 40]);
    assert_eq!(
        decode(&cut_in_text),
        Err(Refusal::CutShort { missing: Some(40) })
    );
}

#[test]
fn damaged() {
    let (url, qr_url, _) = sent();
    let sentence =
        "This link is damaged: its checksum does not fit; copy it again, or ask for it again.";
    for url in [url.as_str(), &qr_url] {
        let start = url.find('#').unwrap() + 8;
        for place in (start..url.len() - 1).step_by(7) {
            let mut bytes = url.as_bytes().to_vec();
            bytes[place] = if bytes[place] == b'A' { b'B' } else { b'A' };
            let changed = String::from_utf8(bytes).unwrap();
            assert_eq!(decode(&changed).unwrap_err().to_string(), sentence);
        }
    }
    // Capitals throughout spell other bytes, perhaps of another length.
    let upper = decode(&url.to_uppercase()).unwrap_err();
    assert!(
        matches!(upper, Refusal::Damaged | Refusal::CutShort { .. }),
        "{upper:?}"
    );
    let doubled = url.replace('1', "11");
    assert!(decode(&doubled).is_err());
}

#[test]
fn newer() {
    let (url, qr_url, _) = sent();
    let sentence = "This link was made by a newer Footing; reload the page to update it.";
    for (old, new) in [("#f1=", "#f2="), ("#f1=", "#f999="), ("#F1:", "#F999:")] {
        let newer = if old == "#f1=" { &url } else { &qr_url }.replace(old, new);
        assert_eq!(decode(&newer).unwrap_err().to_string(), sentence);
    }
    assert_eq!(
        decode("#f999=").unwrap_err(),
        Refusal::Newer { version: 999 }
    );
}

#[test]
fn no_link() {
    let sentence = "This is not a Footing link: expected #f1= and what follows it; copy the whole link and try again.";
    for text in [
        "",
        "#",
        "https://example.org/footing/",
        "https://example.org/footing/#bench",
        "#f0=AAAA",
        "#f=AAAA",
        "#f99999999999999999999=AAAA",
        "#f1",
        "%",
        "%%%23f",
        &"#".repeat(100_000),
        &"ü".repeat(70_001),
    ] {
        assert_eq!(
            decode(text).unwrap_err().to_string(),
            sentence,
            "{text:.40}"
        );
    }
}
