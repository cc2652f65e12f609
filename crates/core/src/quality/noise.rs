//! How much the readings jitter while nobody moves.

use super::{Evidence, note};
use crate::note::{Level, Note};
use crate::recording::EventKind;
use crate::stance::Feet;

/// Jitter of a foot's force that counts, as a share of the weight.
const COUNTS: f64 = 0.0025;

/// Noise of the forces in quiet stance, after the low-pass: from a quarter of a per cent of the weight on
/// a warning.
///
/// There a takeaway, which is looked for from half a per cent of the weight on, begins to drown: its ±
/// grows (see `EVENT_ERRORS.md`). A good laboratory's plates stay under a tenth of that.
/// **Source:** ours.
pub(super) fn noisy(evidence: &Evidence<'_>) -> Option<Note> {
    let stance = evidence.stance;
    let names: &[&str] = match stance.feet {
        Feet::Two { .. } => &["lead foot's", "trail foot's"],
        Feet::Both(_) => &["feet's"],
    };
    let mut most = (0.0, "");
    for (load, name) in stance.loads().into_iter().zip(names) {
        let shear = load.shear.iter().flat_map(|s| [&s.ft_n, &s.fa_n]);
        for series in shear.chain([&load.fz_n]) {
            let sd = evidence.quiet.noise_sd(series, stance.rate_hz);
            if sd > most.0 {
                most = (sd, name);
            }
        }
    }
    let (sd, name) = most;
    if sd <= COUNTS * evidence.weight_n() {
        return None;
    }
    let takeaway = evidence.events.get(EventKind::Takeaway);
    let known = takeaway.map_or_else(String::new, |event| {
        format!(
            ", and takeaway is known to ± {:.0} ms",
            1000.0 * event.uncertainty_s
        )
    });
    Some(note(
        "noisy",
        Level::Warn,
        format_args!(
            "While the player stands still the {name} force jitters by {sd:.1} N (standard deviation), {:.1} % of the weight: what is read at an instant is off by as much{known}.",
            100.0 * sd / evidence.weight_n()
        ),
        "Check cables, earthing and measuring range; set the events by hand or from film.",
    ))
}
