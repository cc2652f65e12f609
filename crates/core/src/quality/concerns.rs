//! What a note's code touches.

/// Every measure and every chart alike: such a note stands over all of them, not at each.
pub const WHOLE: &[&str] = &[];

const TORQUE: &[&str] = &["torque", "impulse"];
const SHEAR: &[&str] = &[
    "shear", "torque", "impulse", "lead_fa", "trail_fa", "total_ft",
];
const PLACES: &[&str] = &[
    "cop",
    "angle",
    "plan",
    "torque",
    "impulse",
    "lead_cop",
    "trail_cop",
];
/// The torque about a vertical axis is the same whichever way the target lies.
const DIRECTIONS: &[&str] = &[
    "cop",
    "angle",
    "plan",
    "shear",
    "lead_fa",
    "trail_fa",
    "total_ft",
    "lead_cop",
    "trail_cop",
];
const WEIGHT: &[&str] = &[
    "vertical",
    "body_mass",
    "lead_fz",
    "trail_fz",
    "total_fz",
    "lead_share",
];
/// Per kilogram and in body weights.
const PER_MASS: &[&str] = &[
    "body_mass",
    "lead_fz",
    "trail_fz",
    "total_fz",
    "torque_min_nm_per_kg",
    "torque_max_nm_per_kg",
    "torque_at_top_nm_per_kg",
    "impulse_negative_nms_per_kg",
    "impulse_positive_nms_per_kg",
    "impulse_net_nms_per_kg",
];
/// What is read of one foot against the other.
const FEET: &[&str] = &[
    "shear",
    "vertical",
    "angle",
    "plan",
    "cop",
    "lead",
    "trail",
    "impulse_net_lead",
    "impulse_net_trail",
];
const TIMES: &[&str] = &["backswing", "downswing", "tempo"];
/// Everything that is read off the channels; times between events are not.
const FORCES: &[&str] = &[
    "torque",
    "impulse",
    "shear",
    "vertical",
    "angle",
    "plan",
    "cop",
    "body_mass",
    "lead",
    "trail",
    "total",
];

/// Which measures (by the beginning of their id) and which charts a note's code touches; charts are
/// `torque`, `shear`, `vertical`, `angle` and `plan`. [`WHOLE`]: all of them. `None`: a code that
/// nobody has placed.
pub fn concerns(code: &str) -> Option<&'static [&'static str]> {
    Some(match code {
        "torque-implausible"
        | "torque-peak"
        | "impulse-positive"
        | "free-moment"
        | "free-moment-absent"
        | "com-drift"
        | "descriptive-reference"
        | "hand-mirrored" => TORQUE,
        "torque-lingers" => &["torque_negative_duration"],
        "no-shear" | "axis-missing" | "shear-range" | "shear-ratio" | "quiet-residue" => SHEAR,
        "stance-width"
        | "cop-near-edge"
        | "cop-off-plate"
        | "cop-frozen"
        | "moment-unit-guessed"
        | "origin-missing"
        | "length-unit-guessed"
        | "plate-sizes" => PLACES,
        "lead-fz-peak" | "trail-fz-peak" | "total-fz-range" => WEIGHT,
        "mass-typed" | "mass-differs" => PER_MASS,
        "target-direction" | "target-unknown" | "axes-undecided" | "corners-order" => DIRECTIONS,
        "feet-swapped" | "feet-across-plates" | "feet-undecided" | "plates-swapped"
        | "plate-idle" | "one-plate" | "load-shift" => FEET,
        "swing-times" | "marker-absent" => TIMES,
        "units"
        | "off-plates"
        | "saturated"
        | "offset"
        | "offset-mended"
        | "drift"
        | "cutoff-not-found"
        | "cutoff-too-high"
        | "too-short-to-filter"
        | "calibration-missing"
        | "calibration-transposed"
        | "plate-left-out"
        | "plate-place-unknown"
        | "plate-tilted"
        | "plate-type-changed"
        | "plates-chosen"
        | "sense-turned"
        | "units-disagree"
        | "zero-frames"
        | "zero-frames-loaded"
        | "zeroed" => FORCES,
        // The clock, the events, the swing itself, or the file as such.
        "gap"
        | "jitter"
        | "noisy"
        | "uneven-times"
        | "rates-disagree"
        | "truncated"
        | "events-out-of-order"
        | "no-quiet-stance"
        | "no-swing"
        | "several-swings"
        | "processor-guessed"
        | "parameters-damaged"
        | "further-block"
        | "rows-differ" => WHOLE,
        _ => return None,
    })
}
