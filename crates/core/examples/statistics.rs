//! Speaks JSON for the comparison with reference libraries: one request a line on standard input, one
//! answer a line on standard output.
//!
//! ```text
//! {"do":"compare","a":[…],"b":[…],"design":"separate"|"paired","exact_up_to":20000}
//! {"do":"curves","a":[[…]…],"b":[[…]…],"design":"pooled"|"welch"|"paired"|"one-sample","tails":1|2}
//! {"do":"icc","rows":[[…]…]}
//! ```

use std::io::{BufRead, Write};

use footing_core::compare::{Design, compare, permutation::PermutationPlan};
use footing_core::curves::{
    CurvePlan, compare_curves,
    field::{Question, Variance},
    random_field::Tails,
    stretches::Stretch,
};
use footing_core::reliability::{Icc, iccs, mean_squares, reading_error};
use serde_json::{Value, json};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut out = std::io::stdout().lock();
    for line in std::io::stdin().lock().lines() {
        let request: Value = serde_json::from_str(&line?)?;
        let answer = match request["do"].as_str() {
            Some("compare") => measures(&request)?,
            Some("curves") => curves(&request)?,
            Some("icc") => reliability(&request)?,
            other => return Err(format!("expected compare, curves or icc, got {other:?}").into()),
        };
        writeln!(out, "{answer}")?;
        out.flush()?;
    }
    Ok(())
}

type Answer = Result<Value, Box<dyn std::error::Error>>;

fn numbers(value: &Value) -> Vec<f64> {
    value
        .as_array()
        .map(|v| v.iter().filter_map(Value::as_f64).collect())
        .unwrap_or_default()
}

fn rows<T>(value: &Value, of: impl Fn(&Value) -> T) -> Vec<T> {
    value
        .as_array()
        .map(|v| v.iter().map(of).collect())
        .unwrap_or_default()
}

fn measures(request: &Value) -> Answer {
    let design = if request["design"] == "paired" {
        Design::Paired
    } else {
        Design::Separate
    };
    let plan = PermutationPlan {
        exact_up_to: request["exact_up_to"].as_u64().unwrap_or(20_000),
        ..PermutationPlan::default()
    };
    let found = compare(
        &numbers(&request["a"]),
        &numbers(&request["b"]),
        design,
        &plan,
    )?;
    Ok(json!({
        "change": found.change, "ci95": found.ci95, "t": found.t, "df": found.df, "p_t": found.p_t,
        "p_permutation": found.p_permutation.map(|p| p.p),
        "arrangements": found.p_permutation.map(|p| p.arrangements),
        "exact": found.p_permutation.map(|p| p.exact),
        "g": found.effect.map(|e| e.g), "g_ci95": found.effect.map(|e| e.ci95),
        "spread": found.spread, "mdc95": found.mdc95, "verdict": format!("{:?}", found.verdict),
    }))
}

fn curves(request: &Value) -> Answer {
    let set = |key: &str| {
        rows(&request[key], |row| {
            rows(row, Value::as_f64) as Vec<Option<f64>>
        })
    };
    let (a, b) = (set("a"), set("b"));
    let separate = |variance| Question::Separate {
        a: &a,
        b: &b,
        variance,
    };
    let question = match request["design"].as_str() {
        Some("pooled") => separate(Variance::Pooled),
        Some("welch") => separate(Variance::Welch),
        Some("paired") => Question::Paired { a: &a, b: &b },
        Some("one-sample") => Question::OneSample {
            curves: &a,
            level: 0.0,
        },
        other => {
            return Err(
                format!("expected pooled, welch, paired or one-sample, got {other:?}").into(),
            );
        }
    };
    let plan = CurvePlan {
        tails: if request["tails"] == 1 {
            Tails::One
        } else {
            Tails::Two
        },
        ..CurvePlan::default()
    };
    let found = compare_curves(&question, &plan)?;
    let stretches = |stretches: &[Stretch]| -> Vec<Value> {
        let one = |s: &Stretch| json!([s.from_pct, s.to_pct, s.p, s.peak_t]);
        stretches.iter().map(one).collect()
    };
    Ok(json!({
        "t": found.t, "df": found.df, "segments": found.segments,
        "random_field": found.random_field.as_ref().map(|r| json!({
            "fwhm": r.fwhm_nodes, "resels": r.resels, "threshold": r.threshold,
            "bonferroni": r.bonferroni, "stretches": stretches(&r.stretches),
        })),
        "permutation": json!({
            "threshold": found.permutation.threshold, "largest": found.permutation.largest,
            "p": found.permutation.whole.p, "stretches": stretches(&found.permutation.stretches),
        }),
    }))
}

fn reliability(request: &Value) -> Answer {
    let ms = mean_squares(&rows(&request["rows"], numbers))?;
    let icc = |icc: Icc| json!([icc.value, icc.ci95]);
    let error = reading_error(&ms);
    Ok(json!({
        "icc": iccs(&ms).map(|i| [icc(i.icc1), icc(i.icc2), icc(i.icc3), icc(i.icc1k), icc(i.icc2k), icc(i.icc3k)]),
        "sem": error.sem, "sem_ci95": error.sem_ci95, "mdc95": error.mdc95,
    }))
}
