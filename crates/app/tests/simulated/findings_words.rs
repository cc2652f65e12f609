//! The three sentences, every form of each, from comparisons built by hand.

use footing_app::analysis::{Handed, Reference};
use footing_app::comparison::{
    Align, Band, Comparison, CurveRow, CurveTest, Design, Direction, Method, Path, Row, SetSummary,
    Stands, Stretch, Verdict,
};
use footing_app::core::compare::compare;
use footing_app::core::compare::permutation::PermutationPlan;
use footing_app::core::measures::CATALOGUE;
use footing_app::findings::sentences;
use footing_app::view::compared::view;

/// A row as it would be of these swings; `p` is what Holm's adjustment leaves of it.
fn row(id: &str, a: &[f64], b: &[f64], p: f64) -> Row {
    let spec = CATALOGUE.iter().find(|spec| spec.id == id).unwrap();
    let found = compare(a, b, Design::Separate, &PermutationPlan::default()).unwrap();
    Row {
        id: spec.id,
        label: spec.label,
        unit: spec.unit,
        a: a.iter().copied().map(Some).collect(),
        b: b.iter().copied().map(Some).collect(),
        estimated: false,
        lacking: None,
        sd_of_differences: None,
        found: Ok(found),
        stands: Some(Stands { p, by_t: false }),
    }
}

/// Six swings about a mean.
fn about(mean: f64, spread: f64) -> Vec<f64> {
    [-1.0, 0.4, 0.9, -0.6, 0.1, 0.2]
        .map(|off| mean + off * spread)
        .to_vec()
}

/// A row whose mean goes from `a` to `b`, far beyond its spread, that stands.
fn clear(id: &str, a: f64, b: f64) -> Row {
    let spread = (b - a).abs() / 20.0;
    row(id, &about(a, spread), &about(b, spread), 0.01)
}

fn comparison(rows: Vec<Row>, curves: Vec<CurveRow>) -> Comparison {
    let set = |label: &str| SetSummary {
        label: label.into(),
        swings: 6,
        ..SetSummary::default()
    };
    Comparison {
        handed: Handed::Right,
        about: Reference::StanceCentre,
        low_pass_hz: None,
        design: Design::Separate,
        align: Align::Piecewise,
        top_node: Some(75),
        sets: [set("before"), set("after")],
        rows,
        curves,
        lead_path: [Path::default(), Path::default()],
        trail_path: [Path::default(), Path::default()],
        notes: Vec::new(),
    }
}

fn labelled(mut comparison: Comparison, labels: [&str; 2]) -> Comparison {
    for (set, label) in comparison.sets.iter_mut().zip(labels) {
        set.label = label.into();
    }
    comparison
}

fn torque(n: [usize; 2], stretches: &[(f64, f64, Direction)]) -> CurveRow {
    let band = |n| Band {
        n,
        ..Band::default()
    };
    let stretches = stretches
        .iter()
        .map(|(from_pct, to_pct, direction)| Stretch {
            from_pct: *from_pct,
            to_pct: *to_pct,
            direction: *direction,
            p: 0.0021,
        });
    CurveRow {
        name: "torque_nm",
        label: "vertical torque",
        unit: "N·m",
        a: band(n[0]),
        b: band(n[1]),
        tests: Ok(vec![CurveTest {
            method: Method::Permutation,
            threshold: 3.0,
            stretches: stretches.collect(),
            t: Vec::new(),
        }]),
    }
}

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
        (0.0, 0.4, "somewhere at takeaway, 0 % of the swing"),
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
        (99.6, 100.0, "somewhere at impact, 100 % of the swing"),
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
        assert_eq!(
            second(Some(75), &[(from, to, Lower)]),
            format!("{after} away from the target {place} ({percent})")
        );
        let found = comparison(Vec::new(), vec![torque([6, 6], &[(from, to, Higher)])]);
        assert_eq!(
            view(&found).differences[0].sentence,
            format!("B lies above A {words}, p 0.002")
        );
    }
    // Laid as one stretch there are no phases to name, and a share of the swing is told once.
    assert_eq!(
        second(None, &[(4.0, 39.0, Higher)]),
        format!("{after} toward the target somewhere in 4–39 % of the swing")
    );
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
