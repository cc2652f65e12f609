//! The sentences of what changed and of how far to trust it, every form of each, from comparisons built by hand.

use footing_app::comparison::{Row, Stands, Verdict};
use footing_app::findings::sentences;

use crate::findings_by_hand::{about, clear, comparison, labelled, row};

fn first(rows: Vec<Row>) -> String {
    sentences(&comparison(rows, Vec::new()), "K-07")[0].clone()
}

/// Every measure with a sentence of its own, both ways.
#[test]
fn a_clear_change_is_told_in_the_words_of_its_measure() {
    let cases = [
        (
            "torque_zero_cross_s",
            0.1,
            0.01,
            "The ground now turns K-07 back toward the target 90 ms earlier, counted from the top",
        ),
        (
            "torque_zero_cross_s",
            -0.05,
            1.0,
            "The ground now turns K-07 back toward the target 1.05 s later, counted from the top",
        ),
        (
            "torque_min_nm",
            -45.0,
            -16.0,
            "The strongest turn away from the target is now weaker, from −45.0 to −16.0 N·m",
        ),
        (
            "torque_min_nm",
            -16.0,
            -45.0,
            "The strongest turn away from the target is now stronger, from −16.0 to −45.0 N·m",
        ),
        (
            "torque_max_nm",
            30.0,
            41.5,
            "The strongest turn toward the target is now stronger, from 30.0 to 41.5 N·m",
        ),
        (
            "torque_max_nm",
            41.5,
            30.0,
            "The strongest turn toward the target is now weaker, from 41.5 to 30.0 N·m",
        ),
        (
            "impulse_negative_nms",
            -9.0,
            -4.0,
            "The whole turning away from the target is now weaker, from −9.00 to −4.00 N·m·s",
        ),
        (
            "impulse_positive_nms",
            4.0,
            9.0,
            "The whole turning toward the target is now stronger, from 4.00 to 9.00 N·m·s",
        ),
        (
            "torque_negative_duration_s",
            0.7,
            0.5,
            "The ground now turns K-07 away from the target for 200 ms less",
        ),
        (
            "torque_negative_duration_s",
            0.5,
            0.7,
            "The ground now turns K-07 away from the target for 200 ms longer",
        ),
        (
            "lead_share_at_top",
            0.3,
            0.62,
            "The lead foot now carries more of the load at top, from 30 % to 62 %",
        ),
        (
            "lead_share_at_impact",
            0.9,
            0.8,
            "The lead foot now carries less of the load at impact, from 90 % to 80 %",
        ),
        (
            "cop_angle_at_top_deg",
            -7.0,
            8.0,
            "The line between the pressure points of the two feet now lies differently at top, from −7.0 to 8.0°",
        ),
        (
            "total_fz_max_bw",
            1.2,
            1.8,
            "Highest total vertical force now goes from 1.20 to 1.80 BW",
        ),
    ];
    for (id, a, b, words) in cases {
        let mut row = clear(id, a, b);
        if id == "total_fz_max_bw" {
            row.label = "Highest total vertical force";
            row.unit = "BW";
        }
        assert_eq!(
            row.found.as_ref().unwrap().verdict,
            Verdict::ClearChange,
            "{id}"
        );
        assert_eq!(first(vec![row]), format!("{words}: a clear change"));
    }
}

/// Means that print alike get the digits that tell them apart.
#[test]
fn two_numbers_told_as_a_change_never_look_alike() {
    let small = row(
        "lead_share_at_top",
        &about(0.501, 1e-4),
        &about(0.504, 1e-4),
        0.01,
    );
    let said = first(vec![small]);
    assert!(said.contains("from 50.1 % to 50.4 %"), "{said}");
}

/// What the change rests on is said with it: estimated events, swings without spread, the number of measures.
#[test]
fn what_weakens_a_change_is_said_with_it() {
    let mut chance = clear("torque_min_nm", -45.0, -16.0);
    chance.stands = Some(Stands {
        p: 0.2,
        by_t: false,
    });
    let said = first(vec![chance]);
    assert!(
        said.ends_with(
            ": a clear change; with so many measures read at once it could still be chance"
        ),
        "{said}"
    );
    let mut estimated = clear("torque_min_nm", -45.0, -16.0);
    estimated.estimated = true;
    let said = first(vec![estimated]);
    assert!(
        said.ends_with(": a clear change, read at estimated events"),
        "{said}"
    );
    let alike = row("torque_min_nm", &[-45.0; 6], &[-44.0; 6], 0.01);
    let said = first(vec![alike]);
    assert!(
        said.ends_with(
            ": a clear change, although the swings of each set are alike to the last digit"
        ),
        "{said}"
    );
    let average = row(
        "torque_min_nm",
        &about(-45.0, 2.0),
        &about(-42.0, 2.0),
        0.01,
    );
    let said = first(vec![average]);
    assert!(
        said.ends_with(": a change on average, within what single swings differ by anyway"),
        "{said}"
    );
}

/// Labels of one's own are named, and the page's own are not.
#[test]
fn labels_are_named() {
    let rows = || vec![clear("torque_zero_cross_s", 0.1, 0.01)];
    let own = labelled(comparison(rows(), Vec::new()), ["Monday", "step-in"]);
    assert_eq!(
        sentences(&own, "the player")[0],
        "The ground in “step-in” turns the player back toward the target 90 ms earlier than in “Monday”, counted from the top: a clear change"
    );
}

/// A headline is told before a larger change of a measure that nobody asks for first; and a clear change before one on
/// average.
#[test]
fn what_people_ask_for_is_told_first() {
    let said = first(vec![
        clear("shear_spread_max_n", 10.0, 900.0),
        row(
            "torque_min_nm",
            &about(-45.0, 2.0),
            &about(-42.0, 2.0),
            0.01,
        ),
        clear("cop_angle_at_impact_deg", 2.0, 9.0),
    ]);
    assert!(
        said.starts_with("The line between the pressure points"),
        "{said}"
    );
}

/// Where no change is shown the sentence says of how many measures that is because too little is known.
#[test]
fn no_change_is_not_told_as_nothing_changed() {
    let ordinary = || row("torque_min_nm", &about(-45.0, 2.0), &about(-45.1, 2.0), 1.0);
    let unsettled = || row("torque_max_nm", &[0.0, 5.0, 10.0], &[4.0, 12.0, 20.0], 1.0);
    let few = || row("impulse_net_nms", &[1.0, 2.0], &[3.0, 4.0, 5.0], 1.0);
    assert_eq!(unsettled().found.unwrap().verdict, Verdict::NotSettled);
    assert_eq!(
        first(vec![ordinary()]),
        "Nothing measured is shown to have changed beyond K-07's ordinary swing-to-swing spread"
    );
    assert_eq!(
        first(vec![ordinary(), few()]),
        "Nothing measured is shown to have changed beyond K-07's ordinary swing-to-swing spread; for 1 of 2 measures there are too few swings to say"
    );
    assert_eq!(
        first(vec![ordinary(), unsettled(), unsettled()]),
        "No change is shown, and for 2 of 3 measures it is not settled: more swings are needed to tell"
    );
    assert_eq!(
        first(vec![few()]),
        "Too few swings have any one measure to say whether it changed: three a side are the least"
    );
    let mut two = comparison(vec![few()], Vec::new());
    two.sets[0].swings = 2;
    assert_eq!(
        sentences(&two, "K-07")[0],
        "There are too few swings to say whether anything changed: 2 in “before”, 6 in “after”, and three a side are the least"
    );
    assert_eq!(
        first(Vec::new()),
        "These recordings have no measure in common to compare"
    );
}

#[test]
fn the_third_sentence_counts_every_verdict() {
    let mut lost = clear("torque_zero_cross_s", 0.1, 0.01);
    lost.stands = Some(Stands {
        p: 0.2,
        by_t: false,
    });
    let found = comparison(
        vec![
            lost,
            clear("torque_min_nm", -45.0, -16.0),
            row("torque_max_nm", &about(-45.0, 2.0), &about(-42.0, 2.0), 0.2),
            row(
                "impulse_net_nms",
                &about(-45.0, 2.0),
                &about(-45.1, 2.0),
                1.0,
            ),
            row(
                "impulse_positive_nms",
                &[0.0, 5.0, 10.0],
                &[4.0, 12.0, 20.0],
                1.0,
            ),
            row("impulse_negative_nms", &[1.0, 2.0], &[3.0, 4.0, 5.0], 1.0),
        ],
        Vec::new(),
    );
    assert_eq!(
        sentences(&found, "K-07")[2],
        "6 and 6 swings, taken as one player’s on one occasion, show, of 6 measures, a clear change in 2, a change on average in 1, ordinary spread in 1, nothing settled in 1 and too few swings to say in 1; 1 stands when allowing for reading so many at once; 2 are not in every swing"
    );
    assert_eq!(
        sentences(&comparison(Vec::new(), Vec::new()), "K-07")[2],
        "6 and 6 swings, taken as one player’s on one occasion, have no measure in common"
    );
}
