//! Adds golden links of the current version to `tests/links/`: `cargo run -p footing-link --example golden`.
//!
//! Writes what is not there and never touches what is: a golden link is a promise.

#[path = "../tests/support/mod.rs"]
mod support;

use std::fs;
use std::path::Path as FilePath;

use footing_link::{LATEST, Method, Shared, decode, encode};
use support::{Plan, invent, six_and_six, text::lines};

const BASE: &str = "https://example.org/footing/";

fn main() {
    let six = invent(six_and_six(1)).shared;
    let plan = |seed, swings, paired, everything, texts| {
        invent(Plan {
            seed,
            swings,
            paired,
            everything,
            texts,
        })
        .shared
    };
    let mut gaps = invent(six_and_six(4)).shared;
    if let Some(path) = &mut gaps.trail_cop {
        for axis in [&mut path.a.t_mm, &mut path.a.a_mm] {
            axis[40..44].fill(None);
            axis[97..].fill(None);
        }
    }
    let mut no_shear = invent(six_and_six(5)).shared;
    no_shear.torque_nm = None;
    no_shear
        .measures
        .retain(|m| m.id.contains("cop") || m.id.contains("share") || m.id.ends_with("_bw"));
    let mut alike = invent(six_and_six(6)).shared;
    for m in &mut alike.measures {
        (m.a.sd, m.b.sd) = (Some(0.0), Some(0.0));
        m.lag1_r = None;
    }
    let mut unseen_p = invent(six_and_six(8)).shared;
    if let Some(curve) = &mut unseen_p.torque_nm {
        curve
            .tests
            .retain(|test| test.method == Method::RandomField);
        for stretch in curve.tests.iter_mut().flat_map(|test| &mut test.stretches) {
            stretch.p = 3.2e-9;
        }
    }
    for (name, shared, in_qr) in [
        ("empty", &Shared::default(), false),
        ("six-and-six", &six, false),
        ("six-and-six-qr", &six, true),
        (
            "six-and-six-other-words",
            &invent(six_and_six(2)).shared,
            false,
        ),
        ("eight-pairs", &plan(2, [8, 8], true, true, true), false),
        (
            "twelve-and-nine-some-absent",
            &plan(3, [12, 9], false, false, true),
            false,
        ),
        ("one-and-two", &plan(9, [1, 2], false, true, false), false),
        (
            "none-and-five",
            &plan(10, [0, 5], false, false, false),
            false,
        ),
        ("gaps", &gaps, false),
        ("no-shear", &no_shear, false),
        ("all-alike", &alike, false),
        ("small-p", &unseen_p, false),
    ] {
        let link = encode(shared).expect("can be sent");
        let url = if in_qr {
            link.qr_url(BASE)
        } else {
            link.url(BASE)
        };
        let expected = lines(&decode(&url).expect("opens"));
        let folder =
            FilePath::new(env!("CARGO_MANIFEST_DIR")).join(format!("../../tests/links/v{LATEST}"));
        fs::create_dir_all(&folder).expect("a folder");
        let files = [
            (format!("{name}.txt"), url + "\n"),
            (format!("{name}.expected.txt"), expected),
        ];
        for (file, text) in files {
            if !folder.join(&file).exists() {
                fs::write(folder.join(&file), text).expect("written");
                println!("added {file}");
            }
        }
    }
}
