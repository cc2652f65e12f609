//! The sentences of when in the swing curves differ, every form of each, from comparisons built by hand.

use footing_app::comparison::Direction;
use footing_app::findings::sentences;
use footing_app::view::compared::view;

use crate::findings_by_hand::{comparison, torque};

fn second(top_node: Option<usize>, stretches: &[(f64, f64, Direction)]) -> String {
    let mut found = comparison(Vec::new(), vec![torque([6, 6], stretches)]);
    found.top_node = top_node;
    sentences(&found, "K-07")[1].clone()
}

/// Every place a stretch can have, by itself and from one to another.
#[test]
fn a_place_in_the_swing_reads_as_a_sentence() {
    use Direction::{Higher, Lower};
    let after = "In “after” the turning force is shifted";
    let cases = [
        (
            2.0,
            20.0,
            "somewhere early in the backswing, 2–20 % of the swing",
        ),
        (
            36.0,
            38.0,
            "somewhere in the middle of the backswing, 36–38 % of the swing",
        ),
        (
            60.0,
            70.0,
            "somewhere late in the backswing, 60–70 % of the swing",
        ),
        (73.0, 77.0, "somewhere at the top, 73–77 % of the swing"),
        (
            79.0,
            81.0,
            "somewhere early in the downswing, 79–81 % of the swing",
        ),
        (
            85.0,
            90.0,
            "somewhere in the middle of the downswing, 85–90 % of the swing",
        ),
        (
            93.0,
            99.0,
            "somewhere late in the downswing, 93–99 % of the swing",
        ),
        (
            0.0,
            75.0,
            "somewhere from takeaway to the top, 0–75 % of the swing",
        ),
        (
            36.0,
            86.0,
            "somewhere from the middle of the backswing to the middle of the downswing, 36–86 % of the swing",
        ),
        (
            60.0,
            100.0,
            "somewhere from late in the backswing to impact, 60–100 % of the swing",
        ),
    ];
    for (from, to, words) in cases {
        let (place, percent) = words.split_once(", ").unwrap();
        let sentence = format!("{after} away from the target {place} ({percent})");
        assert_eq!(second(Some(75), &[(from, to, Lower)]), sentence);
        assert_eq!(lies(Some(75), from, to), format!("{words}, p 0.002"));
    }
    // Laid as one stretch there are no phases to name, and a share of the swing is told once.
    assert_eq!(
        second(None, &[(4.0, 39.0, Higher)]),
        format!("{after} toward the target somewhere in 4–39 % of the swing")
    );
    assert_eq!(
        lies(None, 4.0, 39.0),
        "somewhere in 4–39 % of the swing, p 0.002"
    );
}

/// What the findings' curves say of one stretch.
fn lies(top_node: Option<usize>, from: f64, to: f64) -> String {
    let curve = torque([6, 6], &[(from, to, Direction::Higher)]);
    let mut found = comparison(Vec::new(), vec![curve]);
    found.top_node = top_node;
    let said = view(&found).differences[0].sentence.clone();
    said.strip_prefix("B lies above A ").unwrap().to_owned()
}

/// A stretch that is a single place in print is not "somewhere", and one that is the whole swing is no share of it:
/// with a top and without, in both kinds of sentence.
#[test]
fn a_single_place_and_the_whole_swing_read_as_what_they_are() {
    let cases = [
        (0.0, 0.0, "at takeaway", "", "at takeaway"),
        (0.0, 0.4, "at takeaway", "", "at takeaway"),
        (99.6, 100.0, "at impact", "", "at impact"),
        (100.0, 100.0, "at impact", "", "at impact"),
        (
            20.0,
            20.0,
            "early in the backswing",
            "at 20 % of the swing",
            "at 20 % of the swing",
        ),
        (
            // one place, although its ends lie in two thirds of the backswing
            24.9,
            25.2,
            "in the middle of the backswing",
            "at 25 % of the swing",
            "at 25 % of the swing",
        ),
        (
            76.0,
            76.3,
            "at the top",
            "at 76 % of the swing",
            "at 76 % of the swing",
        ),
        (
            99.0,
            99.0,
            "late in the downswing",
            "at 99 % of the swing",
            "at 99 % of the swing",
        ),
        (
            0.0,
            100.0,
            "somewhere from takeaway to impact",
            "the whole swing",
            "somewhere in the whole swing",
        ),
        (
            0.3,
            99.8,
            "somewhere from takeaway to impact",
            "the whole swing",
            "somewhere in the whole swing",
        ),
    ];
    let after = "In “after” the turning force is shifted toward the target";
    for (from, to, place, percent, alone) in cases {
        let [brackets, comma] = if percent.is_empty() {
            [String::new(), String::new()]
        } else {
            [format!(" ({percent})"), format!(", {percent}")]
        };
        let stretch = [(from, to, Direction::Higher)];
        assert_eq!(
            second(Some(75), &stretch),
            format!("{after} {place}{brackets}")
        );
        assert_eq!(lies(Some(75), from, to), format!("{place}{comma}, p 0.002"));
        assert_eq!(second(None, &stretch), format!("{after} {alone}"));
        assert_eq!(lies(None, from, to), format!("{alone}, p 0.002"));
    }
}

#[test]
fn the_two_widest_stretches_are_told_and_the_others_counted() {
    use Direction::{Higher, Lower};
    let two = [(10.0, 20.0, Lower), (80.0, 90.0, Higher)];
    assert!(second(None, &two).ends_with(
        "away from the target somewhere in 10–20 % of the swing and toward the target somewhere in 80–90 % of the swing"
    ));
    // Of three alike in width too only two are told.
    let three = [two[0], (30.0, 40.0, Lower), two[1]];
    let said = second(None, &three);
    assert!(
        said.ends_with("somewhere in 30–40 % of the swing; it differs in one more stretch"),
        "{said}"
    );
    let four = [(1.0, 2.0, Lower), two[0], (50.0, 51.0, Higher), two[1]];
    let said = second(None, &four);
    assert!(
        said.contains("in 10–20 %") && said.contains("in 80–90 %"),
        "{said}"
    );
    assert!(said.ends_with("; it differs in 2 more stretches"), "{said}");
}

#[test]
fn a_place_says_which_events_it_rests_on() {
    let told = |takeaway: bool, top: bool, impact: bool, node: Option<usize>| {
        let mut found = comparison(
            Vec::new(),
            vec![torque([6, 6], &[(36.0, 38.0, Direction::Lower)])],
        );
        found.top_node = node;
        found.sets[1].takeaway = Some((-0.8, takeaway));
        found.sets[0].impact = Some((0.25, impact));
        found.sets[1].top_estimated = top;
        let said = sentences(&found, "K-07")[1].clone();
        said.split_once("; ").map(|(_, rest)| rest.to_owned())
    };
    let rests = |on: &str| Some(format!("these places rest on the estimated {on}"));
    assert_eq!(told(false, false, false, Some(75)), None);
    assert_eq!(
        told(true, true, true, Some(75)),
        rests("takeaway, top and impact")
    );
    assert_eq!(told(true, true, false, Some(75)), rests("takeaway and top"));
    assert_eq!(told(false, true, false, Some(75)), rests("top"));
    // As one stretch the swings were not laid at the top.
    assert_eq!(told(true, true, false, None), rests("takeaway"));
}

#[test]
fn when_nothing_is_found_or_can_be_the_second_sentence_says_which() {
    let said = |curve| sentences(&comparison(Vec::new(), vec![curve]), "K-07")[1].clone();
    assert_eq!(
        said(torque([6, 6], &[])),
        "Nowhere in the swing is the turning force shown to differ by more than chance allows"
    );
    let none = comparison(Vec::new(), vec![torque([6, 6], &[])]);
    assert_eq!(
        view(&none).differences[0].sentence,
        "Nowhere are A and B shown to differ by more than chance allows"
    );
    assert_eq!(
        said(torque([3, 3], &[(10.0, 20.0, Direction::Higher)])),
        "With 3 and 3 swings the exact test cannot say where in the swing the turning force differs"
    );
    // Were there a stretch of so few, as in a link made before this was the rule, it is not told.
    for n in [[2, 6], [6, 2], [1, 6]] {
        let told = said(torque(n, &[(10.0, 20.0, Direction::Higher)]));
        assert!(told.ends_with("cannot be said when in the swing the turning force differs: three a side are the least"), "{told}");
    }
    let mut untested = torque([6, 6], &[]);
    untested.tests = Err("a reason".into());
    assert_eq!(
        said(untested),
        "When in the swing the turning force differs cannot be said: a reason"
    );
    assert!(
        sentences(&comparison(Vec::new(), Vec::new()), "K-07")[1]
            .contains("not known in both sets")
    );
}
