//! A comparison as lines a person can review.

use std::fmt::Write as _;

use footing_link::{Band, CurvePair, LowPass, Moments, PathPair, Shared, SharedMeasure, SharedSet};

pub fn lines(shared: &Shared) -> String {
    let mut out = String::new();
    let text = |text: &Option<String>| text.clone().unwrap_or_else(|| "–".into());
    let low_pass = match shared.low_pass {
        LowPass::Off => "off".into(),
        LowPass::Auto => "auto".into(),
        LowPass::Hz(hz) => format!("{hz} Hz"),
    };
    let mass = shared
        .mass_kg
        .map_or("–".into(), |mass| format!("{mass} kg"));
    let top = shared.top_node.map_or("–".into(), |node| node.to_string());
    let _ = writeln!(out, "title: {}", text(&shared.title));
    let _ = writeln!(out, "cue: {}", text(&shared.cue));
    let _ = writeln!(
        out,
        "handed {:?}, about {:?}, low-pass {low_pass}, mass {mass}, top on node {top}",
        shared.handed, shared.about
    );
    let _ = writeln!(
        out,
        "left out: {} newer measures, newer parts: {}",
        shared.newer_measures, shared.newer_parts
    );
    for (name, set) in [("A", &shared.a), ("B", &shared.b)] {
        let _ = writeln!(out, "set {name}: {}", one_set(set));
    }
    for measure in &shared.measures {
        let _ = writeln!(out, "{}", one_measure(measure));
    }
    for (name, pair) in [
        ("torque_nm", &shared.torque_nm),
        ("cop_angle_deg", &shared.cop_angle_deg),
    ] {
        if let Some(pair) = pair {
            one_curve(&mut out, name, pair);
        }
    }
    for (name, pair) in [
        ("lead_cop_mm", &shared.lead_cop),
        ("trail_cop_mm", &shared.trail_cop),
    ] {
        if let Some(pair) = pair {
            one_path(&mut out, name, pair);
        }
    }
    out
}

fn one_set(set: &SharedSet) -> String {
    let events = [
        ("takeaway", set.takeaway),
        ("arm level", set.arm_level),
        ("impact", set.impact),
    ];
    let events: Vec<String> = events
        .into_iter()
        .filter_map(|(name, event)| {
            event.map(|e| {
                let mark = if e.estimated { " (estimated)" } else { "" };
                format!("{name} {} s{mark}", e.from_top_s)
            })
        })
        .collect();
    format!(
        "{}; {} swings, {} set aside, {} overruled; top{}; {}",
        set.label.as_deref().unwrap_or("–"),
        set.swings,
        set.set_aside,
        set.overruled,
        if set.top_estimated {
            " (estimated)"
        } else {
            ""
        },
        events.join(", ")
    )
}

fn moments(m: &Moments) -> String {
    let mean = m.mean.map_or("–".into(), |mean| mean.to_string());
    let sd = m.sd.map_or("–".into(), |sd| sd.to_string());
    format!("{mean} ± {sd} ({})", m.n)
}

fn one_measure(m: &SharedMeasure) -> String {
    let mut line = format!("{}: A {}, B {}", m.id, moments(&m.a), moments(&m.b));
    if let Some(sd) = m.sd_of_differences {
        let _ = write!(line, ", paired, SD of differences {sd}");
    }
    if let Some(p) = m.permutation {
        let how = if p.exact { "exact" } else { "drawn" };
        let _ = write!(line, ", p {}/{} {how}", p.at_least, p.arrangements);
    }
    if let Some(r) = m.lag1_r {
        let _ = write!(line, ", lag-1 r {r}");
    }
    line
}

/// Every tenth node, two decimals: enough to see a change, little enough to read.
fn nodes(values: &[Option<f64>]) -> String {
    let shown: Vec<String> = values
        .iter()
        .step_by(10)
        .map(|value| value.map_or("–".into(), |v| format!("{v:.2}")))
        .collect();
    shown.join(" ")
}

fn band(out: &mut String, name: &str, set: &str, band: &Band) {
    let _ = writeln!(out, "{name} {set} ({}): {}", band.n, nodes(&band.mean));
    if !band.sd.is_empty() {
        let _ = writeln!(out, "{name} {set} SD: {}", nodes(&band.sd));
    }
}

fn one_curve(out: &mut String, name: &str, pair: &CurvePair) {
    band(out, name, "A", &pair.a);
    band(out, name, "B", &pair.b);
    for test in &pair.tests {
        let _ = writeln!(out, "{name} {:?}: |t| > {}", test.method, test.threshold);
        for s in &test.stretches {
            let way = if s.b_higher { "higher" } else { "lower" };
            let _ = writeln!(
                out,
                "  {} to {} %: B {way}, p {}",
                s.from_pct, s.to_pct, s.p
            );
        }
    }
}

fn one_path(out: &mut String, name: &str, pair: &PathPair) {
    for (set, path) in [("A", &pair.a), ("B", &pair.b)] {
        let _ = writeln!(out, "{name} {set} t: {}", nodes(&path.t_mm));
        let _ = writeln!(out, "{name} {set} a: {}", nodes(&path.a_mm));
    }
}
