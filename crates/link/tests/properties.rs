//! What holds for every comparison.

mod support;

use footing_link::{
    Band, Moments, Path, Shared, SharedMeasure, Unsendable, decode, encode, restore::comparison,
    restore::comparisons,
};
use proptest::prelude::*;
use support::{Invented, Plan, invent, six_and_six};

const BASE: &str = "https://example.org/footing/";

/// The promise: two sets of six swings within so many characters, address included.
const LONGEST_URL: usize = 1_500;

fn plans() -> impl Strategy<Value = Plan> {
    (
        any::<u64>(),
        [0_usize..13, 0_usize..13],
        any::<bool>(),
        any::<bool>(),
        any::<bool>(),
    )
        .prop_map(|(seed, [a, b], paired, everything, texts)| Plan {
            seed,
            swings: if paired { [a.max(2); 2] } else { [a, b] },
            paired,
            everything,
            texts,
        })
}

/// An absolute error above the allowed one, told with its place.
fn close(place: &str, x: f64, y: f64, allowed: f64) -> Result<(), TestCaseError> {
    prop_assert!(
        (x - y).abs() <= allowed,
        "{place}: {x} became {y}, allowed {allowed}"
    );
    Ok(())
}

fn curves_close(
    place: &str,
    before: &[Option<f64>],
    after: &[Option<f64>],
    allowed: f64,
) -> Result<(), TestCaseError> {
    prop_assert_eq!(before.len(), after.len());
    for (x, y) in before.iter().zip(after) {
        prop_assert_eq!(x.is_some(), y.is_some());
        close(place, x.unwrap_or(0.0), y.unwrap_or(0.0), allowed + 1e-9)?;
    }
    Ok(())
}

fn moments_close(id: &str, x: &Moments, y: &Moments, allowed: f64) -> Result<(), TestCaseError> {
    prop_assert_eq!(x.n, y.n);
    prop_assert_eq!(
        (x.mean.is_some(), x.sd.is_some()),
        (y.mean.is_some(), y.sd.is_some())
    );
    close(id, x.mean.unwrap_or(0.0), y.mean.unwrap_or(0.0), allowed)?;
    close(id, x.sd.unwrap_or(0.0), y.sd.unwrap_or(0.0), allowed)
}

fn bands_close(x: &Band, y: &Band, allowed: f64) -> Result<(), TestCaseError> {
    prop_assert_eq!(x.n, y.n);
    curves_close("mean", &x.mean, &y.mean, allowed)?;
    curves_close("SD", &x.sd, &y.sd, allowed)
}

fn paths_close(x: &Path, y: &Path) -> Result<(), TestCaseError> {
    curves_close("t", &x.t_mm, &y.t_mm, 1.0)?;
    curves_close("a", &x.a_mm, &y.a_mm, 1.0)?;
    for (before, after) in x.t_mm.iter().zip(&x.a_mm).zip(y.t_mm.iter().zip(&y.a_mm)) {
        let ((Some(t), Some(a)), (Some(t_after), Some(a_after))) = (before, after) else {
            continue;
        };
        close("path", (t - t_after).hypot(a - a_after), 0.0, 1.0)?;
    }
    Ok(())
}

/// Root-mean-square of the SDs over the nodes of both sets.
fn spread(bands: [&Band; 2]) -> f64 {
    let all: Vec<f64> = bands
        .iter()
        .flat_map(|b| b.sd.iter().flatten())
        .copied()
        .collect();
    (all.iter().map(|sd| sd * sd).sum::<f64>() / all.len().max(1) as f64).sqrt()
}

/// A hundredth of the spread, a hair for the arithmetic; without a spread, 0.1 unit.
fn within(measure: &SharedMeasure, spread: Option<f64>) -> f64 {
    // As near as the format comes: half of its finest step, a millionth, or of the finest by which
    // the largest number is below 2²³ steps.
    let numbers = [measure.a.mean, measure.b.mean];
    let largest = numbers
        .into_iter()
        .flatten()
        .fold(0.0, |m, v| v.abs().max(m));
    let nearest = f64::max(0.5e-6, 1.25 * largest / f64::from(1 << 23));
    match spread {
        Some(sd) if sd > 0.0 => f64::max(sd / 100.0 * (1.0 + 1e-6), nearest),
        _ => 0.1,
    }
}

/// Every promise on accuracy, field by field.
fn kept(before: &Shared, after: &Shared) -> Result<(), TestCaseError> {
    prop_assert_eq!(&before.title, &after.title);
    prop_assert_eq!(&before.cue, &after.cue);
    prop_assert_eq!((before.handed, before.about), (after.handed, after.about));
    prop_assert_eq!(
        (before.low_pass, before.top_node),
        (after.low_pass, after.top_node)
    );
    prop_assert_eq!((after.newer_measures, after.newer_parts), (0, false));
    close(
        "mass",
        before.mass_kg.unwrap_or(0.0),
        after.mass_kg.unwrap_or(0.0),
        0.0501,
    )?;
    for (x, y) in [(&before.a, &after.a), (&before.b, &after.b)] {
        prop_assert_eq!(&x.label, &y.label);
        prop_assert_eq!(
            (x.swings, x.set_aside, x.overruled, x.top_estimated),
            (y.swings, y.set_aside, y.overruled, y.top_estimated)
        );
        for (x, y) in [
            (x.takeaway, y.takeaway),
            (x.arm_level, y.arm_level),
            (x.impact, y.impact),
        ] {
            prop_assert_eq!(x.map(|e| e.estimated), y.map(|e| e.estimated));
            let seconds = |e: Option<footing_link::EventTime>| e.map_or(0.0, |e| e.from_top_s);
            close("event", seconds(x), seconds(y), 0.000_501)?;
        }
    }
    prop_assert_eq!(before.measures.len(), after.measures.len());
    for (x, y) in before.measures.iter().zip(&after.measures) {
        prop_assert_eq!(x.id, y.id);
        prop_assert_eq!(x.permutation, y.permutation);
        let [a, b] = [&x.a, &x.b].map(|side| within(x, side.sd));
        moments_close(x.id, &x.a, &y.a, a)?;
        moments_close(x.id, &x.b, &y.b, b)?;
        let allowed = within(x, comparison(x).spread);
        let differences = (x.sd_of_differences, y.sd_of_differences);
        prop_assert_eq!(differences.0.is_some(), differences.1.is_some());
        close(
            x.id,
            differences.0.unwrap_or(0.0),
            differences.1.unwrap_or(0.0),
            allowed,
        )?;
        prop_assert_eq!(x.lag1_r.is_some(), y.lag1_r.is_some());
        close(
            x.id,
            x.lag1_r.unwrap_or(0.0),
            y.lag1_r.unwrap_or(0.0),
            0.025 + 1e-9,
        )?;
    }
    for (x, y) in [
        (&before.torque_nm, &after.torque_nm),
        (&before.cop_angle_deg, &after.cop_angle_deg),
    ] {
        prop_assert_eq!(x.is_some(), y.is_some());
        let (Some(x), Some(y)) = (x, y) else { continue };
        let allowed = f64::max(0.1, spread([&x.a, &x.b]) / 100.0);
        bands_close(&x.a, &y.a, allowed)?;
        bands_close(&x.b, &y.b, allowed)?;
        prop_assert_eq!(x.tests.len(), y.tests.len());
        for (x, y) in x.tests.iter().zip(&y.tests) {
            prop_assert_eq!((x.method, x.stretches.len()), (y.method, y.stretches.len()));
            close("threshold", x.threshold, y.threshold, 0.000_501)?;
            for (x, y) in x.stretches.iter().zip(&y.stretches) {
                prop_assert_eq!(x.b_higher, y.b_higher);
                close("from", x.from_pct, y.from_pct, 0.0501)?;
                close("to", x.to_pct, y.to_pct, 0.0501)?;
                close("p", x.p, y.p, 0.005 * x.p)?;
            }
        }
    }
    for (x, y) in [
        (&before.lead_cop, &after.lead_cop),
        (&before.trail_cop, &after.trail_cop),
    ] {
        prop_assert_eq!(x.is_some(), y.is_some());
        let (Some(x), Some(y)) = (x, y) else { continue };
        paths_close(&x.a, &y.a)?;
        paths_close(&x.b, &y.b)?;
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn everything_comes_back_as_promised(plan in plans()) {
        let Invented { shared, .. } = invent(plan);
        let link = encode(&shared).unwrap();
        let back = decode(&link.url(BASE)).unwrap();
        kept(&shared, &back)?;
        prop_assert_eq!(decode(&link.qr_url(BASE)).unwrap(), back);
    }

    #[test]
    fn a_link_packed_again_is_the_same_link(plan in plans()) {
        let link = encode(&invent(plan).shared).unwrap();
        let back = decode(&link.fragment()).unwrap();
        let again = encode(&back).unwrap();
        prop_assert_eq!(again.fragment(), link.fragment());
        prop_assert_eq!(decode(&again.fragment()).unwrap(), back);
    }

    /// The receiver reads the verdicts that the sender read, and the same p.
    #[test]
    fn verdicts_survive(plan in plans()) {
        let Invented { shared, said } = invent(plan);
        let back = decode(&encode(&shared).unwrap().fragment()).unwrap();
        let restored = comparisons(&back.measures);
        for ((id, before), after) in shared.measures.iter().map(|m| m.id).zip(&said).zip(&restored) {
            prop_assert_eq!(before.verdict, after.verdict, "{}", id);
            prop_assert_eq!(before.design, after.design);
            prop_assert_eq!(before.p_permutation, after.p_permutation);
            let (Some(x), Some(y), Some(sd)) = (before.change, after.change, before.spread) else { continue };
            if sd > 0.0 {
                // The finest step of the format is a millionth, in whatever unit.
                close(id, x, y, f64::max(sd / 50.0 * (1.0 + 1e-6), 1e-6))?;
            }
            let (Some(x), Some(y)) = (before.lag1, after.lag1) else { continue };
            prop_assert_eq!(x.neighbours, y.neighbours);
        }
    }

    /// From unrounded numbers the conclusions are those of the crate that works on single swings.
    #[test]
    fn conclusions_from_summaries_are_those_from_swings(plan in plans()) {
        let Invented { shared, said } = invent(plan);
        for (measure, said) in shared.measures.iter().zip(&said) {
            let restored = comparison(measure);
            let near = |x: Option<f64>, y: Option<f64>| match (x, y) {
                (Some(x), Some(y)) => (x - y).abs() <= 1e-9 * (1.0 + x.abs()),
                (x, y) => x.is_none() && y.is_none(),
            };
            prop_assert!(near(restored.ci95.map(|c| c.0), said.ci95.map(|c| c.0)));
            prop_assert!(near(restored.ci95.map(|c| c.1), said.ci95.map(|c| c.1)));
            prop_assert!(near(restored.p_t, said.p_t));
            prop_assert!(near(restored.mdc95, said.mdc95));
            prop_assert!(near(restored.effect.map(|e| e.g), said.effect.map(|e| e.g)));
            prop_assert!(near(restored.effect.map(|e| e.ci95.0), said.effect.map(|e| e.ci95.0)));
            prop_assert!(near(restored.lag1.map(|l| l.effective_n.0), said.lag1.map(|l| l.effective_n.0)));
            prop_assert_eq!(restored.more_swings, said.more_swings);
            prop_assert_eq!(restored.verdict, said.verdict);
        }
    }

    #[test]
    fn six_and_six_stay_within_the_promise(seed in any::<u64>()) {
        let link = encode(&invent(six_and_six(seed)).shared).unwrap();
        let url = link.url(BASE);
        prop_assert!(url.len() <= LONGEST_URL, "{} characters", url.len());
        // Up to version 25 a phone reads it comfortably (our judgement): 117 modules.
        prop_assert!(link.qr(BASE).unwrap().size <= 117);
    }
}

/// A set that varies little keeps a hundredth of its own spread beside one that varies much; a set without a
/// spread comes within 0.1 unit.
#[test]
fn each_set_keeps_its_own_spread() {
    let set = |n, mean, sd| Moments {
        n,
        mean: Some(mean),
        sd,
    };
    for (a, b) in [
        (set(6, 131.264_4, Some(1.0)), set(6, 151.004_4, Some(50.0))),
        (set(6, 151.006_4, Some(50.0)), set(6, 131.264_4, Some(1.0))),
        (set(1, 131.264_4, None), set(6, 151.004_4, Some(50.0))),
        (set(6, 131.264_4, Some(0.0)), set(6, 151.0, Some(50.0))),
    ] {
        let before = SharedMeasure {
            id: "shear_spread_max_n",
            a,
            b,
            sd_of_differences: None,
            permutation: None,
            lag1_r: None,
            step: None,
        };
        let mut shared = Shared::default();
        (shared.a.swings, shared.b.swings) = (a.n, b.n);
        shared.measures.push(before.clone());
        let back = decode(&encode(&shared).unwrap().fragment()).unwrap();
        let after = &back.measures[0];
        for (x, y) in [(&a, &after.a), (&b, &after.b)] {
            moments_close(before.id, x, y, within(&before, x.sd)).unwrap();
        }
    }
}

#[test]
fn the_longest_texts_still_fit() {
    let mut shared = invent(six_and_six(7)).shared;
    let long = |chars: usize| Some("Größe, Qualität; ".repeat(20).chars().take(chars).collect());
    shared.title = long(footing_link::TITLE_CHARS);
    shared.cue = long(footing_link::CUE_CHARS);
    shared.a.label = long(footing_link::LABEL_CHARS);
    shared.b.label = long(footing_link::LABEL_CHARS);
    let url = encode(&shared).unwrap().url(BASE);
    assert!(url.len() <= LONGEST_URL, "{} characters", url.len());
}

#[test]
fn texts_are_cleaned_and_cut() {
    let shared = Shared {
        cue: Some(format!("lead\u{202e} heel\n{}", "x".repeat(300))),
        title: Some(" \t\u{0} ".into()),
        ..Shared::default()
    };
    let back = decode(&encode(&shared).unwrap().fragment()).unwrap();
    assert_eq!(back.title, None);
    let cue = back.cue.unwrap();
    assert!(cue.starts_with("lead heel xxx"));
    assert_eq!(cue.chars().count(), footing_link::CUE_CHARS);
}

#[test]
fn what_cannot_be_sent_is_named() {
    let refused = |change: fn(&mut Shared)| {
        let mut shared = invent(six_and_six(3)).shared;
        change(&mut shared);
        encode(&shared).unwrap_err().to_string()
    };
    assert_eq!(
        refused(|s| s.measures[1].a.mean = Some(f64::NAN)),
        "torque_min_nm, set A: expected a finite mean from one swing on, got Some(NaN) of 6"
    );
    assert_eq!(
        refused(|s| s.measures[1].b.sd = None),
        "torque_min_nm, set B: expected an SD of nil or more from two swings on, got None of 6"
    );
    assert_eq!(
        refused(|s| s.measures[2].id = "torque_min_nm"),
        "torque_min_nm: given twice; leave one out"
    );
    assert_eq!(
        refused(|s| s.measures[2].id = "smash_n"),
        "smash_n: the link format has no such measure; leave it out"
    );
    assert_eq!(
        refused(|s| s.torque_nm.as_mut().unwrap().a.mean[4] = Some(f64::INFINITY)),
        "torque_nm: expected values below a million, got inf"
    );
    assert_eq!(
        refused(|s| s.lead_cop.as_mut().unwrap().a.t_mm.truncate(50)),
        "lead_cop: expected 101 nodes, got 50"
    );
    assert_eq!(
        refused(|s| s.mass_kg = Some(-1.0)),
        "mass_kg: expected a mass up to 1 000 kg, got -1"
    );
    assert!(matches!(
        encode(&Shared {
            top_node: Some(101),
            ..Shared::default()
        }),
        Err(Unsendable::Number { .. })
    ));
}
