//! A comparison at both ends of a link.

use footing_app::analyse;
use footing_app::analysis::{Analysis, Handed, Settings};
use footing_app::comparison::{Align, Choice, Comparison, Design, compare};
use footing_app::findings::{findings, sentences};
use footing_app::share::{Words, read_link, send};
use footing_app::view::compared::view;

pub fn harbour(set: &str, n: usize) -> Vec<Analysis> {
    (1..=n)
        .map(|i| {
            let name = format!("harbour-range-{set}-{i}.c3d");
            let path = format!("{}/../../samples/{name}", env!("CARGO_MANIFEST_DIR"));
            let settings = Settings {
                handed: Handed::Left,
                ..Settings::default()
            };
            analyse(&name, &std::fs::read(path).unwrap(), None, &settings).unwrap()
        })
        .collect()
}

fn compared(n: usize, choice: &Choice) -> Comparison {
    let (a, b) = (harbour("before", n), harbour("after", n));
    let (a, b): (Vec<&Analysis>, Vec<&Analysis>) = (a.iter().collect(), b.iter().collect());
    compare(&a, &b, choice).unwrap()
}

fn words() -> Words {
    Words {
        title: Some("K-07, 7-iron".into()),
        cue: Some("Step into the lead heel before the club is back".into()),
    }
}

/// What the sender reads is what the receiver reads, sentence by sentence and
/// number by number; and two sets of six swings fit the promised length.
#[test]
fn sender_and_receiver_read_the_same() {
    for choice in [
        Choice::default(),
        Choice {
            design: Design::Paired,
            ..Choice::default()
        },
        Choice {
            labels: ["Monday".into(), "<b>step-in</b>".into()],
            ..Choice::default()
        },
    ] {
        let full = compared(6, &choice);
        let sent = send(&full, &words()).unwrap();
        let (sender, link) = (sent.comparison, sent.link);
        let url = link.url("https://example.org/footing/");
        assert!(url.len() <= 1500, "{} characters", url.len());
        let (receiver, said) = read_link(&url).unwrap();
        assert_eq!(said, words());
        assert_eq!(sentences(&sender, "K-07"), sentences(&receiver, "K-07"));
        assert_eq!(sender.sets[1].label, choice.labels[1]);
        for (x, y) in findings(&sender).iter().zip(&findings(&receiver)) {
            assert_eq!(
                (x.id, &x.a, &x.b, &x.change, &x.interval, &x.spread,),
                (y.id, &y.a, &y.b, &y.change, &y.interval, &y.spread,)
            );
            assert_eq!(x.estimated, y.estimated, "{}", x.id);
            assert_eq!(x.verdict_id, y.verdict_id);
            if x.verdict_id != "absent" {
                assert_eq!(x.verdict, y.verdict);
            }
        }
        for (sent, exact) in sender.rows.iter().zip(&full.rows) {
            let (Ok(sent), Ok(exact)) = (&sent.found, &exact.found) else {
                continue;
            };
            assert_eq!(sent.verdict, exact.verdict);
            let sd = exact.spread.unwrap_or(0.0);
            let off = (sent.a.mean.unwrap() - exact.a.mean.unwrap()).abs();
            assert!(off <= (0.01 * sd).max(0.1), "{off} of {sd}");
        }
    }
}

/// Why a sender is shown what the link holds and not what was measured: a last digit can fall on the other side, and
/// two rows that changed nearly alike can change places. Whoever reads the link aloud to its sender would then read
/// other numbers.
#[test]
fn as_measured_the_sender_would_read_other_digits_than_the_receiver() {
    let full = compared(6, &Choice::default());
    let sent = send(&full, &words()).unwrap();
    let (receiver, _) = read_link(&sent.link.fragment()).unwrap();
    let read = |comparison: &Comparison| -> Vec<[String; 6]> {
        let rows = findings(comparison).into_iter();
        rows.map(|f| [f.id.into(), f.a, f.b, f.change, f.interval, f.spread])
            .collect()
    };
    let (measured, sender, receiver) = (read(&full), read(&sent.comparison), read(&receiver));
    assert_eq!(sender, receiver);
    assert_ne!(measured, receiver);
    let order = |rows: &[[String; 6]]| rows.iter().map(|r| r[0].clone()).collect::<Vec<_>>();
    assert_ne!(order(&measured), order(&receiver));
}

/// The pictures are made of what both ends have: the same curves, and the same stretches at the same
/// seconds; a stretch lies between takeaway and impact, and the top's node at zero seconds.
#[test]
fn both_ends_draw_the_same_pictures() {
    let sent = send(&compared(6, &Choice::default()), &words()).unwrap();
    let (received, _) = read_link(&sent.link.fragment()).unwrap();
    let (here, there) = (view(&sent.comparison), view(&received));
    assert_eq!(here.torque, there.torque);
    assert_eq!(
        (&here.angle, &here.plan, &here.events),
        (&there.angle, &there.plan, &there.events)
    );
    let top = sent.comparison.top_node.unwrap() as f64;
    let mut marks = 0;
    for sent in &there.differences {
        let own = here.differences.iter().find(|d| d.curve == sent.curve);
        assert_eq!(own, Some(sent));
        for mark in &sent.marks {
            let (from_s, to_s) = mark.span_s.unwrap();
            assert!(from_s <= to_s && from_s >= here.x_s[0]);
            assert!(to_s <= *here.x_s.last().unwrap());
            assert_eq!(mark.pct.0 < top, from_s < 0.0, "{mark:?}");
            marks += 1;
        }
    }
    assert!(marks > 1, "{marks} stretches");
}

/// One and two swings a side: nothing is claimed, and the link says the same.
#[test]
fn few_swings_are_said_to_be_few() {
    for n in [1, 2] {
        let comparison = compared(n, &Choice::default());
        let said = sentences(&comparison, "the player");
        assert!(
            said[0].starts_with("There are too few swings"),
            "{}",
            said[0]
        );
        let link = send(&comparison, &Words::default()).unwrap().link;
        let (back, _) = read_link(&link.fragment()).unwrap();
        assert_eq!(sentences(&back, "the player")[0], said[0]);
    }
    let three = sentences(&compared(3, &Choice::default()), "the player");
    assert!(
        three[1].contains("the exact test cannot say where"),
        "{}",
        three[1]
    );
}

/// Damaged, cut and foreign links are each told apart in one sentence.
#[test]
fn a_damaged_link_says_so() {
    let comparison = compared(6, &Choice::default());
    let url = send(&comparison, &words())
        .unwrap()
        .link
        .url("https://example.org/");
    let cut = &url[..url.len() - 12];
    let mut wrong: Vec<char> = url.chars().collect();
    let middle = url.len() / 2;
    wrong[middle] = if wrong[middle] == 'A' { 'B' } else { 'A' };
    let wrong: String = wrong.into_iter().collect();
    let mut said = Vec::new();
    for text in [cut, wrong.as_str(), "https://example.org/", ""] {
        let why = read_link(text).unwrap_err();
        assert!(!why.is_empty() && why.lines().count() == 1, "{why}");
        said.push(why);
    }
    assert_ne!(said[0], said[1]);
    assert_ne!(said[1], said[2]);
}

/// Three swings a side are the least of which anything is said: those, fewer and unequal sets, compared every
/// way, all go through a link. With so few the p of a long stretch is too small for any number.
#[test]
fn sets_of_any_size_go_through_a_link() {
    let (before, after) = (harbour("before", 6), harbour("after", 6));
    for (n, m) in (1..=6).flat_map(|n| (1..=6).map(move |m| (n, m))) {
        let a: Vec<&Analysis> = before.iter().take(n).collect();
        let b: Vec<&Analysis> = after.iter().take(m).collect();
        let linear = Choice {
            align: Align::Linear,
            ..Choice::default()
        };
        let paired = Choice {
            design: Design::Paired,
            ..Choice::default()
        };
        let mut choices = vec![Choice::default(), linear];
        choices.extend((n == m).then_some(paired));
        for choice in choices {
            let full = compare(&a, &b, &choice).unwrap();
            let sent = send(&full, &words()).unwrap_or_else(|why| panic!("{n} and {m}: {why}"));
            let (receiver, _) = read_link(&sent.link.fragment()).unwrap();
            assert_eq!(
                sentences(&sent.comparison, "K-07"),
                sentences(&receiver, "K-07"),
                "{n} and {m}"
            );
            let told = sentences(&receiver, "K-07");
            let few = n.min(m) < 3;
            assert_eq!(
                told[0].contains("too few swings"),
                few,
                "{n} and {m}: {}",
                told[0]
            );
            assert!(
                !told[2].contains(" 0") && !told[2].contains("in 0"),
                "{}",
                told[2]
            );
        }
    }
}
