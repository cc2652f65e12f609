//! Checks that flag a recording, never change it.
//!
//! Every check has a stable code, a level and a text of two parts: what was seen, and what to do
//! about it. *Note* is worth knowing, *warn* may spoil some numbers, *stop* means that the recording
//! should stay out of a set until a person has looked and decided otherwise. [`concerns`] says which
//! measures and charts a code touches.
//!
//! Limits that are not physics are those between which published and customary swings lie, widened:
//! the soft ones are passed by odd swings, the hard ones by faults of units, wiring or calibration.
//! **Source** of the ranges they were widened from: Worsfold P, Smith NA, Dyson RJ (2007) JSSM
//! 6:484–489, table 1 (vertical and shear force); Worsfold et al. (2008) JSSM 7:408–414 (free
//! moment); Grober RD, Cholewicki J, "Towards a biomechanical understanding of tempo in the golf
//! swing" (preprint; times). What is derived or common practice says so beside its limit.

mod channels;
mod concerns;
mod direction;
mod limits;
mod lingers;
mod mass;
mod noise;
mod places;
mod sampling;
mod zero;

pub use channels::{flat_tops, missing_axes};
pub use concerns::{WHOLE, concerns};
pub use limits::TORQUE_LIMIT_NM_PER_KG;
pub use mass::{between_recordings, units};
pub use sampling::sampling;
pub use zero::{PlateZero, plate_zeros};

use crate::events::Events;
use crate::note::{Level, Note};
use crate::quiet::{AddressPlaces, Quiet, Residue};
use crate::recording::{EventKind, Recording};
use crate::stance::Stance;
use crate::torque::Curves;

/// What the checks of a swing rest on.
#[derive(Debug, Clone, Copy)]
pub struct Evidence<'a> {
    /// The recording as read: plates and their outlines.
    pub recording: &'a Recording,
    /// What each plate read with nobody on it, taken off everything; `None` when nothing was.
    pub zeros: Option<&'a [PlateZero]>,
    /// The stance, conditioned.
    pub stance: &'a Stance,
    /// Quiet stance.
    pub quiet: &'a Quiet,
    /// Where the feet press in it.
    pub places: &'a AddressPlaces,
    /// Curves about the chosen reference.
    pub curves: &'a Curves,
    /// The events that could be had.
    pub events: &'a Events,
    /// Body mass a person typed, kg.
    pub typed_mass_kg: Option<f64>,
    /// What quiet stance leaves; `None` without shear.
    pub residue: Option<Residue>,
    /// Whether that was taken off.
    pub residue_removed: bool,
}

/// How long a takeaway is followed when nothing tells where the swing ends, seconds.
const UNENDED_S: f64 = 1.5;

impl Evidence<'_> {
    /// Weight in quiet stance, N.
    fn weight_n(&self) -> f64 {
        self.quiet.fz_n
    }

    /// Body mass, kg: typed, or weighed.
    fn mass_kg(&self) -> f64 {
        self.typed_mass_kg
            .unwrap_or_else(|| self.quiet.body_mass_kg().0)
    }

    /// Takeaway to impact, when both are known and in order.
    fn until_impact_s(&self) -> Option<(f64, f64)> {
        let takeaway = self.events.time(EventKind::Takeaway)?;
        let impact = self.events.time(EventKind::Impact)?;
        (takeaway < impact).then_some((takeaway, impact))
    }

    /// Takeaway to finish, or to impact, or for [`UNENDED_S`]; `None` without a takeaway.
    fn whole_s(&self) -> Option<(f64, f64)> {
        let takeaway = self.events.time(EventKind::Takeaway)?;
        let end = [EventKind::Finish, EventKind::Impact]
            .into_iter()
            .filter_map(|kind| self.events.time(kind))
            .find(|t| *t > takeaway)
            .unwrap_or(takeaway + UNENDED_S);
        Some((takeaway, end))
    }

    /// Samples of the stance from one instant to another, both included.
    fn samples(&self, (from, to): (f64, f64)) -> std::ops::Range<usize> {
        let t_s = &self.stance.t_s;
        t_s.partition_point(|t| *t < from)..t_s.partition_point(|t| *t <= to)
    }
}

/// Checks of a recording as it was read, before anyone asks about a swing: its clock, its channels,
/// its zero, its units. `typed_mass_kg`: body mass a person typed; `zeros`: what was taken off, see
/// [`plate_zeros`].
pub fn recording(
    recording: &Recording,
    typed_mass_kg: Option<f64>,
    zeros: Option<&[PlateZero]>,
) -> Vec<Note> {
    let (each, together, _) = crate::stance::by_plate(recording);
    let mut notes = sampling(&recording.t_s);
    notes.extend(missing_axes(recording));
    notes.extend(flat_tops(recording));
    let total = together.total_fz_n();
    notes.extend(units(&total, typed_mass_kg));
    if let Some(load_n) = mass::load_n(&total) {
        notes.extend(places::off_plates(recording, load_n, zeros));
        notes.extend(places::sizes(recording, load_n));
    }
    notes.extend(zero::unloaded(recording, zeros, &each, &together));
    notes
}

/// Checks of the swing in a recording: mass, places, directions, zero and every limit.
pub fn swing(evidence: &Evidence<'_>) -> Vec<Note> {
    let mut notes = Vec::new();
    notes.extend(mass::typed(evidence));
    let feet = places::feet(evidence);
    // Feet that are exchanged make every direction wrong: one cause, one note.
    let exchanged = feet.iter().any(|note| note.code == "feet-swapped");
    // What one foot does means nothing when the other stands on its plate too.
    let one_foot = !feet.iter().any(|note| note.code == "plate-idle");
    notes.extend(feet);
    notes.extend(places::on_plates(evidence));
    if !exchanged {
        notes.extend(direction::check(evidence));
    }
    notes.extend(limits::check(evidence, one_foot));
    notes.extend(noise::noisy(evidence));
    notes.extend(lingers::torque_lingers(evidence));
    notes.extend(zero::quiet_residue(evidence));
    notes.extend(zero::between_stillness(evidence));
    notes
}

/// One note from what was seen and what to do, a sentence each.
fn note(code: &'static str, level: Level, seen: impl std::fmt::Display, remedy: &str) -> Note {
    Note::new(code, level, format!("{seen} {remedy}"))
}
