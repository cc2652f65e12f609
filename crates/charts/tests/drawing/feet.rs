//! The feet from above.

use footing_app::view::chart::{Foot, Outline, Path, PlanView, Set};
use footing_charts::{Palette, Sheet, Span, draw_plan};

use crate::written_down::{Call, Notes, SHEET, SPAN, seconds};

/// What drawing feet of eleven samples writes down.
fn drawn(view: &PlanView, now: Option<usize>, sheet: Sheet) -> Notes {
    let mut notes = Notes::default();
    let palette = &Palette::LIGHT;
    draw_plan(&mut notes, view, &seconds(11), SPAN, now, palette, sheet).unwrap();
    notes
}

#[test]
fn on_a_high_sheet_the_plates_are_whole_and_each_way_is_enlarged_with_its_bar() {
    let foot = |foot: Foot, t: f64| Path {
        label: foot.name().into(),
        foot: Some(foot),
        set: None,
        // A way of 29 mm, as that of a foot in a swing.
        t_m: (0..11).map(|i| Some(t + 0.0029 * f64::from(i))).collect(),
        a_m: vec![Some(0.0); 11],
    };
    let plate = |t: f64| Outline {
        label: "plate".into(),
        corners_m: [
            (t - 0.2, 0.3),
            (t + 0.2, 0.3),
            (t + 0.2, -0.3),
            (t - 0.2, -0.3),
        ],
    };
    let view = PlanView {
        target_on_left: true,
        plates: vec![plate(0.21), plate(-0.21)],
        paths: vec![foot(Foot::Lead, 0.2), foot(Foot::Trail, -0.2)],
        sentence: String::new(),
    };
    let sheet = Sheet {
        width_px: 360.0,
        height_px: 500.0,
        ..SHEET
    };
    let notes = drawn(&view, Some(5), sheet);
    let outlines: Vec<_> = notes
        .paths(Palette::LIGHT.soft)
        .into_iter()
        .filter(|p| p.len() == 5)
        .collect();
    assert_eq!(outlines.len(), 2);
    for (x, y) in outlines.into_iter().flatten() {
        assert!(
            (0.0..=360.0).contains(x) && (0.0..=320.0).contains(y),
            "({x}, {y})"
        );
    }
    let lead = notes.paths(Palette::LIGHT.lead);
    let wide = |way: &[(f64, f64)]| {
        let xs = way.iter().map(|p| p.0);
        xs.clone().fold(f64::MIN, f64::max) - xs.fold(f64::MAX, f64::min)
    };
    assert_eq!(lead.len(), 2, "once where it is, once enlarged");
    assert!(
        wide(lead[1]) > 100.0 && wide(lead[1]) > 4.0 * wide(lead[0]),
        "{lead:?}"
    );
    // Seen from above with the toes up, the lead foot of a right-handed player is on the left.
    assert!(
        lead[1].iter().all(|p| p.0 < 180.0 && p.1 > 320.0),
        "{lead:?}"
    );
    let texts = notes.texts();
    for word in ["lead foot, enlarged", "trail foot, enlarged", "100 mm"] {
        assert!(texts.contains(&word), "{word}: {texts:?}");
    }
    assert_eq!(
        texts
            .iter()
            .filter(|t| ["10 mm", "20 mm"].contains(*t))
            .count(),
        2,
        "{texts:?}"
    );
    assert_eq!(
        notes
            .0
            .iter()
            .filter(|c| matches!(c, Call::Disc(..)))
            .count(),
        2
    );
}

#[test]
fn the_target_lies_on_the_side_it_has_from_above() {
    let foot = |foot: Foot, t: f64| Path {
        label: foot.name().into(),
        foot: Some(foot),
        set: None,
        t_m: vec![Some(t); 11],
        a_m: vec![Some(0.0); 11],
    };
    for (target_on_left, word) in [(true, "← target"), (false, "target →")] {
        let view = PlanView {
            target_on_left,
            plates: Vec::new(),
            paths: vec![foot(Foot::Lead, 0.2), foot(Foot::Trail, -0.2)],
            sentence: String::new(),
        };
        let notes = drawn(&view, Some(5), SHEET);
        assert!(notes.texts().contains(&word));
        let lead = notes.0.iter().find_map(|call| match call {
            Call::Disc(c, at) if *c == Palette::LIGHT.lead => Some(at.0),
            _ => None,
        });
        // The lead foot stands nearer the target.
        assert_eq!(lead.unwrap() < SHEET.width_px / 2.0, target_on_left);
    }
}

#[test]
fn of_two_sets_the_way_further_toward_the_toes_is_named_above_both() {
    for (a_m, b_m, upper) in [(0.0, 0.05, "lead B"), (0.05, 0.0, "lead A")] {
        let foot = |set: Set, label: &str, a_m: f64| Path {
            label: label.into(),
            foot: Some(Foot::Lead),
            set: Some(set),
            t_m: vec![Some(0.2); 11],
            a_m: (0..11).map(|i| Some(a_m + 0.006 * f64::from(i))).collect(),
        };
        let view = PlanView {
            target_on_left: false,
            plates: Vec::new(),
            paths: vec![foot(Set::A, "lead A", a_m), foot(Set::B, "lead B", b_m)],
            sentence: String::new(),
        };
        let notes = drawn(&view, None, SHEET);
        let named = |label: &str| {
            let found = notes.0.iter().find_map(|call| match call {
                Call::Text(text, at) if text == label => Some(at.1),
                _ => None,
            });
            found.unwrap()
        };
        let ways = [Palette::LIGHT.set_a, Palette::LIGHT.ink].map(|c| notes.paths(c));
        let heights = ways.iter().flatten().copied().flatten().map(|p| p.1);
        let (top, bottom) = heights.fold((f64::MAX, f64::MIN), |(t, b), y| (t.min(y), b.max(y)));
        let lower = if upper == "lead A" {
            "lead B"
        } else {
            "lead A"
        };
        assert!(named(upper) < top, "{upper} above {top}: {}", named(upper));
        assert!(
            named(lower) > bottom,
            "{lower} below {bottom}: {}",
            named(lower)
        );
    }
}

#[test]
fn two_minutes_of_standing_are_drawn_in_a_few_thousand_points() {
    let seconds = seconds(120_000);
    // Any walk about a place: no two of its first 10 000 points are the same.
    let about = |middle: f64, step: usize| -> Vec<Option<f64>> {
        (0..seconds.len())
            .map(|i| Some(middle + 1e-6 * ((i * step) % 9973) as f64))
            .collect()
    };
    let foot = |foot: Foot, t: f64| Path {
        label: foot.name().into(),
        foot: Some(foot),
        set: None,
        t_m: about(t, 4001),
        a_m: about(0.0, 2753),
    };
    let view = PlanView {
        target_on_left: false,
        plates: Vec::new(),
        paths: vec![foot(Foot::Lead, 0.2), foot(Foot::Trail, -0.2)],
        sentence: String::new(),
    };
    let sheet = Sheet {
        width_px: 360.0,
        height_px: 500.0,
        ..SHEET
    };
    let span = Span {
        to_s: 120.0,
        ..SPAN
    };
    let mut notes = Notes::default();
    let palette = Palette::LIGHT;
    draw_plan(&mut notes, &view, &seconds, span, Some(5), &palette, sheet).unwrap();
    let points: usize = [palette.lead, palette.trail]
        .iter()
        .flat_map(|colour| notes.paths(*colour))
        .map(Vec::len)
        .sum();
    assert!((500..20_000).contains(&points), "{points} points");
}
