//! What lands on a backend: colours, places, gaps. The backend here writes down every call.

use footing_app::view::chart::{
    ChartView, Foot, Line, Outline, Path, PlanView, Readings, Rule, Set,
};
use footing_charts::{Palette, Rgb, Sheet, Span, draw_chart, draw_plan};
use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind,
};

const UNITS_PER_PX: f64 = 4.0;

#[derive(Debug, PartialEq)]
enum Call {
    Path(Rgb, Vec<(f64, f64)>),
    Polygon(Rgb, f64, Vec<(f64, f64)>),
    Disc(Rgb, (f64, f64)),
    Rect,
    Text(String, (f64, f64)),
}

#[derive(Default)]
struct Notes(Vec<Call>);

type Drawn = Result<(), DrawingErrorKind<std::io::Error>>;

fn px(at: BackendCoord) -> (f64, f64) {
    (
        f64::from(at.0) / UNITS_PER_PX,
        f64::from(at.1) / UNITS_PER_PX,
    )
}

impl DrawingBackend for Notes {
    type ErrorType = std::io::Error;

    fn get_size(&self) -> (u32, u32) {
        (0, 0)
    }

    fn ensure_prepared(&mut self) -> Drawn {
        Ok(())
    }

    fn present(&mut self) -> Drawn {
        Ok(())
    }

    fn draw_pixel(&mut self, _: BackendCoord, _: BackendColor) -> Drawn {
        panic!("a chart asks for no single pixels");
    }

    fn draw_rect<S: BackendStyle>(
        &mut self,
        _: BackendCoord,
        _: BackendCoord,
        _: &S,
        _: bool,
    ) -> Drawn {
        self.0.push(Call::Rect);
        Ok(())
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Drawn {
        self.0.push(Call::Path(
            style.color().rgb,
            path.into_iter().map(px).collect(),
        ));
        Ok(())
    }

    fn draw_circle<S: BackendStyle>(
        &mut self,
        centre: BackendCoord,
        _: u32,
        style: &S,
        _: bool,
    ) -> Drawn {
        self.0.push(Call::Disc(style.color().rgb, px(centre)));
        Ok(())
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Drawn {
        let color = style.color();
        self.0.push(Call::Polygon(
            color.rgb,
            color.alpha,
            path.into_iter().map(px).collect(),
        ));
        Ok(())
    }

    fn draw_text<S: BackendTextStyle>(&mut self, text: &str, _: &S, at: BackendCoord) -> Drawn {
        self.0.push(Call::Text(text.into(), px(at)));
        Ok(())
    }

    fn estimate_text_size<S: BackendTextStyle>(
        &self,
        text: &str,
        style: &S,
    ) -> Result<(u32, u32), DrawingErrorKind<Self::ErrorType>> {
        Ok((
            (text.chars().count() as f64 * 0.6 * style.size()) as u32,
            style.size() as u32,
        ))
    }
}

impl Notes {
    fn paths(&self, color: Rgb) -> Vec<&Vec<(f64, f64)>> {
        self.0
            .iter()
            .filter_map(|call| match call {
                Call::Path(c, points) if *c == color => Some(points),
                _ => None,
            })
            .collect()
    }

    fn texts(&self) -> Vec<&str> {
        self.0
            .iter()
            .filter_map(|call| match call {
                Call::Text(text, _) => Some(text.as_str()),
                _ => None,
            })
            .collect()
    }
}

const SHEET: Sheet = Sheet {
    width_px: 800.0,
    height_px: 200.0,
    units_per_px: UNITS_PER_PX,
};

fn line(label: &str, foot: Option<Foot>, y: impl IntoIterator<Item = Option<f64>>) -> Line {
    Line {
        label: label.into(),
        foot,
        set: None,
        y: y.into_iter().collect(),
        spread: None,
    }
}

fn chart(lines: Vec<Line>, shaded: bool) -> ChartView {
    ChartView {
        id: "made".into(),
        title: "Made".into(),
        unit: "N·m".into(),
        decimals: 1,
        up: "up".into(),
        down: "down".into(),
        sentence: String::new(),
        shaded,
        lines,
        rules: Vec::new(),
        absent: None,
        readings: Readings::default(),
    }
}

fn seconds(n: usize) -> Vec<f64> {
    (0..n).map(|i| i as f64 * 0.001).collect()
}

const SPAN: Span = Span {
    from_s: 0.0,
    to_s: 1.0,
    axis: true,
};

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
    let mut notes = Notes::default();
    draw_plan(
        &mut notes,
        &view,
        &seconds(11),
        SPAN,
        Some(5),
        &Palette::LIGHT,
        sheet,
    )
    .unwrap();
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
        let mut notes = Notes::default();
        draw_plan(
            &mut notes,
            &view,
            &seconds(11),
            SPAN,
            Some(5),
            &Palette::LIGHT,
            SHEET,
        )
        .unwrap();
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
        let mut notes = Notes::default();
        draw_plan(
            &mut notes,
            &view,
            &seconds(11),
            SPAN,
            None,
            &Palette::LIGHT,
            SHEET,
        )
        .unwrap();
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
