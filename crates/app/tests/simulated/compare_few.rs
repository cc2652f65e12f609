//! Sets of which a side holds fewer than three swings, or a measure that not every swing has.

use footing_app::analysis::Analysis;
use footing_app::comparison::{Align, Choice, Comparison, Side, Verdict, compare};
use footing_app::core::recording::EventKind;
use footing_app::document;
use footing_app::findings::{Finding, findings, sentences, worth_a_second_look};
use footing_app::share::{Words, read_link, send};
use footing_app::view::compared::view;
use serde_json::Value;

use crate::links::harbour;

fn compared(a: &[Analysis], b: &[Analysis]) -> Comparison {
    let (a, b): (Vec<&Analysis>, Vec<&Analysis>) = (a.iter().collect(), b.iter().collect());
    compare(&a, &b, &Choice::default()).unwrap()
}

fn printed(comparison: &Comparison) -> Value {
    let mut out = Vec::new();
    let told = document::Told {
        comparison,
        words: &Words::default(),
        sentences: &sentences(comparison, "the player"),
        link: None,
    };
    document::json(&mut out, told, false).unwrap();
    serde_json::from_slice(&out).unwrap()
}

fn note<'a>(comparison: &'a Comparison, code: &str) -> Option<&'a str> {
    let found = comparison.notes.iter().find(|(known, _)| *known == code);
    found.map(|(_, text)| text.as_str())
}

fn finding(comparison: &Comparison, id: &str) -> Finding {
    let mut all = findings(comparison).into_iter();
    all.find(|finding| finding.id == id).unwrap()
}

/// With fewer than three swings on either side no stretch is told, marked, printed or packed as a difference, and no
/// measure stands: not even with six on the other side, where a permutation p below 5 % can be had.
#[test]
fn nothing_is_told_of_two_swings_against_six() {
    let (before, after) = (harbour("before", 6), harbour("after", 6));
    for (n, m) in [(2, 6), (1, 6), (6, 2), (6, 1), (2, 2)] {
        let full = compared(&before[..n], &after[..m]);
        let sent = send(&full, &Words::default()).unwrap();
        let (received, _) = read_link(&sent.link.fragment()).unwrap();
        for comparison in [&full, &sent.comparison, &received] {
            let said = sentences(comparison, "the player");
            assert_eq!(
                said[1],
                format!(
                    "With {n} and {m} swings it cannot be said when in the swing the turning force differs: three a side are the least"
                )
            );
            assert!(!said[2].contains("stand"), "{}", said[2]);
            assert_eq!(note(comparison, "many-rows"), None);
            assert_eq!(note(comparison, "stretches"), None);
            assert!(comparison.rows.iter().all(|row| row.stands.is_none()));
            for difference in view(comparison).differences {
                assert!(difference.marks.is_empty() && difference.beside.is_none());
                assert_eq!(
                    difference.sentence,
                    format!(
                        "Where A and B differ cannot be said: {n} and {m} swings have this curve, and three a side are the least"
                    )
                );
            }
        }
        let document = printed(&full);
        for (name, curve) in document["curves"].as_object().unwrap() {
            for test in ["leading", "permutation", "random_field"] {
                assert!(curve[test].is_null(), "{name}: {test}");
            }
        }
        for measure in document["measures"].as_object().unwrap().values() {
            assert_eq!(measure["verdict"], "too few swings to say");
            assert!(measure["stands"].is_null() && measure["p_holm"].is_null());
        }
    }
    // Three against six is enough for all of it.
    let enough = compared(&before[..3], &after);
    assert!(sentences(&enough, "the player")[1].contains("is shifted"));
    assert!(note(&enough, "many-rows").is_some());
}

/// Leaves a measure out of some swings, as when torque does not come back above zero before impact.
fn without(set: &mut [Analysis], id: &str, swings: &[usize]) {
    for swing in swings {
        let mut measures = set[*swing].measures.iter_mut();
        let measure = measures.find(|measure| measure.id == id).unwrap();
        measure.value = Err("torque does not return above zero before impact".into());
    }
}

/// A measure that only some swings of a set have says so where it is told of: in the sentence, in the row unopened, in
/// the third sentence and in a note, at both ends of a link.
#[test]
fn how_many_swings_have_a_measure_is_said() {
    const ID: &str = "torque_zero_cross_s";
    let (before, mut after) = (harbour("before", 6), harbour("after", 6));
    without(&mut after, ID, &[0, 2, 5]);
    let full = compared(&before, &after);
    let sent = send(&full, &Words::default()).unwrap();
    let (received, _) = read_link(&sent.link.fragment()).unwrap();
    for comparison in [&full, &sent.comparison, &received] {
        let said = sentences(comparison, "the player");
        assert!(
            said[0].contains("in the swings that have it (3 of 6 in “after”)"),
            "{}",
            said[0]
        );
        assert!(said[2].contains("not in every swing"), "{}", said[2]);
        assert_eq!(
            finding(comparison, ID).verdict,
            "clear change (3 of 6 in B)"
        );
        let text = note(comparison, "not-in-every-swing").unwrap();
        assert!(
            text.contains("3 of 6 in “after”: Torque turns toward the target"),
            "{text}"
        );
    }
    let opened = finding(&full, ID).details;
    let counts = opened
        .iter()
        .find(|(name, _)| *name == "swings that have it");
    assert_eq!(
        counts.unwrap().1,
        "3 of 6 in B; the others: torque does not return above zero before impact"
    );
    // Where no swing of a set has it there is no change to tell, and who lacks it is all there is to say.
    without(&mut after, ID, &[0, 1, 2, 3, 4, 5]);
    let none = compared(&before, &after);
    assert_eq!(
        finding(&none, ID).verdict,
        "torque does not return above zero before impact (6 of 6 in A, 0 of 6 in B)"
    );
    let text = note(&none, "not-in-every-swing").unwrap();
    assert!(
        text.contains("6 of 6 in “before”, 0 of 6 in “after”"),
        "{text}"
    );
    // Where every swing has every measure nothing is said of it.
    let all = compared(&before, &before);
    assert_eq!(note(&all, "not-in-every-swing"), None);
    assert!(!sentences(&all, "the player")[2].contains("in every swing"));
}

/// The odd swing is named by its place in the set, not among the swings that have the measure, and by its file.
#[test]
fn an_odd_swing_is_named_by_its_place_in_the_set() {
    const ID: &str = "torque_min_nm";
    let (mut before, after) = (harbour("before", 6), harbour("after", 6));
    without(&mut before, ID, &[0]);
    for (swing, value) in [(1, -40.0), (2, -40.5), (3, -39.6), (4, -12.0), (5, -40.2)] {
        let mut measures = before[swing].measures.iter_mut();
        measures.find(|measure| measure.id == ID).unwrap().value = Ok(value);
    }
    let found = compared(&before, &after);
    let row = found.rows.iter().find(|row| row.id == ID).unwrap();
    let odd = &row.found.as_ref().unwrap().odd;
    assert_eq!((odd.len(), odd[0].0, odd[0].1.index), (1, Side::A, 4));
    let words = "swing 5 of A (harbour-range-before-5.c3d): −12.0 lies far from the others";
    let details = finding(&found, ID).details;
    assert!(
        details.contains(&("worth a second look", words.into())),
        "{details:?}"
    );
    let look = worth_a_second_look(&findings(&found)).unwrap();
    assert!(look.contains(words), "{look}");
    let printed = &printed(&found)["measures"][ID]["odd"][0];
    assert_eq!(
        (&printed["set"], &printed["swing"]),
        (&"a".into(), &5.into())
    );
    assert_eq!(printed["file"], "harbour-range-before-5.c3d");
    // In pairs the first of both is left out, and the places stay.
    let (a, b): (Vec<&Analysis>, Vec<&Analysis>) =
        (before.iter().collect(), after.iter().collect());
    let paired = Choice {
        design: footing_app::comparison::Design::Paired,
        ..Choice::default()
    };
    let paired = compare(&a, &b, &paired).unwrap();
    let row = paired.rows.iter().find(|row| row.id == ID).unwrap();
    assert_eq!(row.found.as_ref().unwrap().odd[0].1.index, 4);
    assert_eq!(
        finding(&paired, ID).verdict.split_once(" (").unwrap().1,
        "5 of 6 pairs)"
    );
    // Who only has the link knows no single swing.
    let link = send(&found, &Words::default()).unwrap().link;
    let (received, _) = read_link(&link.fragment()).unwrap();
    assert_eq!(worth_a_second_look(&findings(&received)), None);
}

/// Swings without a top are laid over each other as one stretch, whatever was chosen, and that is what is stated.
#[test]
fn without_a_top_the_alignment_stated_is_the_one_used() {
    let (mut before, mut after) = (harbour("before", 4), harbour("after", 4));
    for swing in before.iter_mut().chain(&mut after) {
        swing.events.retain(|event| event.kind != EventKind::Top);
    }
    let found = compared(&before, &after);
    assert_eq!((found.align, found.top_node), (Align::Linear, None));
    let document = printed(&found);
    assert_eq!(document["align"], "linear");
    assert!(document["top_pct"].is_null());
    assert!(document["curves"]["torque_nm"]["leading"].is_string());
    let (received, _) =
        read_link(&send(&found, &Words::default()).unwrap().link.fragment()).unwrap();
    assert_eq!(received.align, Align::Linear);
    assert_eq!(
        sentences(&received, "K-07")[1],
        sentences(&found, "K-07")[1]
    );
    let with = compared(&harbour("before", 4), &harbour("after", 4));
    assert_eq!(with.align, Align::Piecewise);
}

/// A curve with nothing to test is not said to have too few swings; and a picture says how many swings its mean is of.
#[test]
fn a_curve_that_cannot_be_tested_says_why_at_both_ends() {
    let before = harbour("before", 4);
    let mut after = harbour("after", 4);
    for swing in &mut after {
        swing.series.cop_angle_deg.fill(Some(5.0));
    }
    let mut same = before.clone();
    for swing in &mut same {
        swing.series.cop_angle_deg.fill(Some(3.0));
    }
    let found = compared(&same, &after);
    let (received, _) =
        read_link(&send(&found, &Words::default()).unwrap().link.fragment()).unwrap();
    for comparison in [&found, &received] {
        let shown = view(comparison);
        let angle = shown
            .differences
            .iter()
            .find(|d| d.curve == "cop_angle_deg");
        assert_eq!(
            angle.unwrap().sentence,
            "Where A and B differ cannot be said: there is no instant at which every swing has this curve and the swings differ"
        );
        assert!(angle.unwrap().beside.is_none());
        let torque = shown.differences.iter().find(|d| d.curve == "torque_nm");
        let beside = torque.unwrap().beside.as_ref().unwrap();
        assert!(
            beside.starts_with("Beside it random field theory"),
            "{beside}"
        );
    }
    let mut fewer = before.clone();
    fewer[1].series.torque_nm.fill(None);
    let shown = view(&compared(&fewer, &before));
    assert!(
        shown.torque[0].sentence.contains("mean of 3:"),
        "{}",
        shown.torque[0].sentence
    );
    assert!(
        shown.torque[1].sentence.contains("mean of 4:"),
        "{}",
        shown.torque[1].sentence
    );
    // Torque that no swing of a set has: both ends say the same.
    for swing in &mut fewer {
        swing.series.torque_nm.fill(None);
    }
    let none = compared(&fewer, &before);
    let sent = send(&none, &Words::default()).unwrap();
    let (received, _) = read_link(&sent.link.fragment()).unwrap();
    let said = sentences(&sent.comparison, "K-07");
    assert!(said[1].contains("not known in both sets"), "{}", said[1]);
    assert_eq!(said, sentences(&received, "K-07"));
}

/// Swings that are alike to the last digit show a change of any size: the row says so.
#[test]
fn sets_without_spread_say_so_in_the_row() {
    const ID: &str = "torque_min_nm";
    let (mut before, mut after) = (harbour("before", 3), harbour("after", 3));
    for (set, value) in [(&mut before, -40.0), (&mut after, -39.0)] {
        for swing in set {
            let mut measures = swing.measures.iter_mut();
            measures.find(|measure| measure.id == ID).unwrap().value = Ok(value);
        }
    }
    let found = compared(&before, &after);
    let (received, _) =
        read_link(&send(&found, &Words::default()).unwrap().link.fragment()).unwrap();
    for comparison in [&found, &received] {
        let row = comparison.rows.iter().find(|row| row.id == ID).unwrap();
        assert_eq!(row.found.as_ref().unwrap().verdict, Verdict::ClearChange);
        assert_eq!(
            finding(comparison, ID).verdict,
            "clear change (swings of a set all alike)"
        );
    }
}
