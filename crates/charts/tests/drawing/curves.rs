//! Curves over time.

use footing_app::view::chart::{ChartView, Foot, Rule, Set};
use footing_charts::{Palette, Sheet, Span, draw_chart};

use crate::written_down::{Call, Notes, SHEET, SPAN, chart, line, seconds};

#[test]
fn a_sine_fills_its_upper_half_and_hatches_only_its_lower_half() {
    let x = seconds(1001);
    let sine = x
        .iter()
        .map(|t| Some(10.0 * (std::f64::consts::TAU * t).sin()));
    let view = chart(vec![line("torque", None, sine)], true);
    let mut notes = Notes::default();
    let frame = draw_chart(&mut notes, &view, &x, SPAN, &Palette::LIGHT, SHEET).unwrap();
    let y_of = |v: f64| {
        frame.bottom_px
            + (v - frame.low) / (frame.high - frame.low) * (frame.top_px - frame.bottom_px)
    };
    let x_of = |t: f64| frame.left_px + t * (frame.right_px - frame.left_px);

    let filled: Vec<_> = notes
        .0
        .iter()
        .filter_map(|call| match call {
            Call::Polygon(c, _, points) if *c == Palette::LIGHT.toward => Some(points),
            _ => None,
        })
        .collect();
    assert_eq!(filled.len(), 1, "one positive half wave");
    let highest = filled[0].iter().map(|p| p.1).fold(f64::INFINITY, f64::min);
    assert!((highest - y_of(10.0)).abs() < 0.5);
    assert!(
        filled[0]
            .iter()
            .all(|p| p.0 <= x_of(0.5) + 1.0 && p.1 <= y_of(0.0) + 0.5)
    );

    let hatching = notes.paths(Palette::LIGHT.away);
    assert!(hatching.len() > 20, "{} strokes", hatching.len());
    for (x, y) in hatching.into_iter().flatten() {
        let t = (x - frame.left_px) / (frame.right_px - frame.left_px);
        let curve = y_of(10.0 * (std::f64::consts::TAU * t).sin());
        assert!(
            t > 0.49 && *y >= y_of(0.0) - 0.6 && *y <= curve + 1.2,
            "({x}, {y}) lies outside"
        );
    }
}

#[test]
fn the_trail_foot_is_dashed_with_a_diamond_and_the_lead_foot_is_whole_with_a_disc() {
    let x = seconds(1001);
    let view = chart(
        vec![
            line("lead", Some(Foot::Lead), x.iter().map(|t| Some(*t))),
            line("trail", Some(Foot::Trail), x.iter().map(|t| Some(-t))),
        ],
        false,
    );
    let mut notes = Notes::default();
    let frame = draw_chart(&mut notes, &view, &x, SPAN, &Palette::LIGHT, SHEET).unwrap();
    assert_eq!(notes.paths(Palette::LIGHT.lead).len(), 1);
    assert!(notes.paths(Palette::LIGHT.trail).len() > 40);
    let disc = notes.0.iter().any(|call| matches!(call, Call::Disc(c, at) if *c == Palette::LIGHT.lead && (at.0 - frame.right_px).abs() < 1.0));
    assert!(disc, "the disc sits on the end of the line");
    let diamond = notes.0.iter().any(|call| matches!(call, Call::Polygon(c, _, points) if *c == Palette::LIGHT.paper && points.len() == 4));
    assert!(diamond, "the diamond is open: filled with the ground");
    for text in ["lead", "trail", "↑ up", "↓ down", "0.4"] {
        assert!(
            notes.texts().contains(&text),
            "{text} is written: {:?}",
            notes.texts()
        );
    }
}

#[test]
fn a_gap_stays_a_gap() {
    let x = seconds(1001);
    let y = x.iter().map(|t| (!(0.4..0.6).contains(t)).then_some(1.0));
    let view = chart(vec![line("lead", Some(Foot::Lead), y)], false);
    let mut notes = Notes::default();
    let frame = draw_chart(&mut notes, &view, &x, SPAN, &Palette::LIGHT, SHEET).unwrap();
    let paths = notes.paths(Palette::LIGHT.lead);
    assert_eq!(paths.len(), 2);
    let x_of = |t: f64| frame.left_px + t * (frame.right_px - frame.left_px);
    for (x, _) in paths.into_iter().flatten() {
        assert!(*x <= x_of(0.4) || *x >= x_of(0.6) - 0.5);
    }
}

#[test]
fn a_mean_has_its_band_and_one_recording_over_it_is_finer() {
    let x = seconds(1001);
    let mut mean = line("torque A", None, vec![Some(10.0); 1001]);
    mean.set = Some(Set::A);
    mean.spread = Some(vec![Some(2.0); 1001]);
    let view = chart(
        vec![mean, line("torque this", None, vec![Some(11.0); 1001])],
        false,
    );
    let mut notes = Notes::default();
    let frame = draw_chart(&mut notes, &view, &x, SPAN, &Palette::LIGHT, SHEET).unwrap();
    let y_of = |v: f64| {
        frame.bottom_px
            + (v - frame.low) / (frame.high - frame.low) * (frame.top_px - frame.bottom_px)
    };
    let band = notes.0.iter().find_map(|call| match call {
        Call::Polygon(c, alpha, points) if *c == Palette::LIGHT.set_a && *alpha < 1.0 => {
            Some(points)
        }
        _ => None,
    });
    let ys: Vec<f64> = band.unwrap().iter().map(|p| p.1).collect();
    let (top, low) = (
        ys.iter().copied().fold(f64::INFINITY, f64::min),
        ys.iter().copied().fold(0.0, f64::max),
    );
    assert!(
        (top - y_of(12.0)).abs() < 0.5 && (low - y_of(8.0)).abs() < 0.5,
        "mean ± SD"
    );
    assert!(
        notes.paths(Palette::LIGHT.ink).len() > 100,
        "the single recording is dotted"
    );
}

#[test]
fn a_low_or_narrow_chart_has_two_labels_on_its_axis_and_no_name_beyond_its_edge() {
    let x = seconds(1001);
    for (width_px, height_px, axis) in [
        (320.0, 80.0, true),
        (358.0, 112.0, false),
        (800.0, 66.0, true),
    ] {
        for (low, high) in [(-104.0, 96.0), (-39.0, 149.0), (0.0, 1180.0), (-0.4, 7.9)] {
            let mut lines = Vec::new();
            for (label, foot, set) in [
                ("lead A", Foot::Lead, Some(Set::A)),
                ("trail A", Foot::Trail, Some(Set::A)),
                ("lead B", Foot::Lead, Some(Set::B)),
                ("trail B", Foot::Trail, Some(Set::B)),
                ("lead this recording", Foot::Lead, None),
                ("trail this recording", Foot::Trail, None),
            ] {
                let y = x.iter().map(|t| Some(low + (high - low) * t));
                let mut made = line(label, Some(foot), y);
                made.set = set;
                lines.push(made);
            }
            let mut view = chart(lines, false);
            view.rules.push(Rule {
                y: high,
                label: "body weight".into(),
            });
            let sheet = Sheet {
                width_px,
                height_px,
                ..SHEET
            };
            let span = Span { axis, ..SPAN };
            let mut notes = Notes::default();
            let frame = draw_chart(&mut notes, &view, &x, span, &Palette::LIGHT, sheet).unwrap();
            let number = |text: &str| text.replace('\u{2212}', "-").parse::<f64>().is_ok();
            let texts = notes.0.iter().filter_map(|call| match call {
                Call::Text(text, at) => Some((text.as_str(), *at)),
                _ => None,
            });
            let labels = texts
                .clone()
                .filter(|(text, at)| number(text) && at.0 < frame.left_px);
            assert!(
                labels.count() >= 2,
                "{height_px} px, {low} to {high}: {:?}",
                notes.texts()
            );
            for (text, at) in texts.filter(|(_, at)| at.0 > frame.right_px) {
                assert!(
                    (0.0..=height_px).contains(&at.1),
                    "{text} at {at:?} of {height_px}"
                );
            }
            let written = notes.texts().join(" ");
            for name in ["body weight", "lead A", "trail B", "recording"] {
                assert!(written.contains(name), "{name}: {written}");
            }
        }
    }
}

#[test]
fn the_lines_of_two_sets_carry_rings_and_squares() {
    let x = seconds(1001);
    let mut lines = Vec::new();
    for (label, set, y) in [("A", Set::A, 1.0), ("B", Set::B, 2.0)] {
        let mut made = line(label, None, vec![Some(y); 1001]);
        made.set = Some(set);
        lines.push(made);
    }
    let rings = |view: &ChartView| {
        let mut notes = Notes::default();
        draw_chart(&mut notes, view, &x, SPAN, &Palette::LIGHT, SHEET).unwrap();
        let disc = |call: &&Call| matches!(call, Call::Disc(c, _) if *c == Palette::LIGHT.set_a);
        notes.0.iter().filter(disc).count()
    };
    assert!(rings(&chart(lines.clone(), false)) >= 5);
    assert_eq!(
        rings(&chart(lines[..1].to_vec(), false)),
        0,
        "one set alone needs none"
    );
}

#[test]
fn what_is_absent_is_excused_in_words() {
    let mut view = chart(Vec::new(), false);
    view.absent = Some("no torque: these plates do not measure horizontal forces".into());
    let mut notes = Notes::default();
    draw_chart(
        &mut notes,
        &view,
        &seconds(11),
        SPAN,
        &Palette::LIGHT,
        SHEET,
    )
    .unwrap();
    assert!(
        notes
            .texts()
            .join(" ")
            .contains("do not measure horizontal forces")
    );
}
