//! The one traceable room: what any face of Footing shows, as plain data.
//!
//! The way of a recording, one call a line, is [`analyse`].

pub mod analysis;
pub mod comparison;
pub mod document;
pub mod findings;
pub mod inspection;
pub mod pieces;
pub mod share;
mod swing;
pub mod view;

pub use analysis::{Analysis, Settings};
pub use comparison::{Choice, Comparison, compare};
pub use footing_core as core;
pub use footing_formats as formats;
pub use inspection::{Inspection, inspect};

use footing_core::condition;
use footing_core::cut;
use footing_core::stance;
use footing_formats::Problem;
use footing_formats::rig::Rig;

/// Reads a file and computes everything about the swing in it.
///
/// # Errors
/// One [`Problem`] when the file cannot be read or holds nothing to stand on. A recording without
/// a swing is not an error: its measures are absent with the reason.
pub fn analyse(
    name: &str,
    bytes: &[u8],
    rig: Option<&Rig>,
    settings: &Settings,
) -> Result<Analysis, Problem> {
    let loaded = footing_formats::read(name, bytes, rig)?;
    analyse_loaded(name, &loaded, settings)
}

/// The same for a file that is already read, so that dragging an event does not read it again.
///
/// # Errors
/// As [`analyse`].
pub fn analyse_loaded(
    name: &str,
    loaded: &footing_formats::Loaded,
    settings: &Settings,
) -> Result<Analysis, Problem> {
    let recording = &loaded.recording;
    let azimuth = swing::target_azimuth_rad(recording, settings);
    let mut standing = stance::stance(recording, azimuth, settings.handed)
        .map_err(|why| swing::no_stance(name, why))?;
    let zeroed = condition::zero_on_unloaded(&mut standing.stance);
    let zeros = swing::zeros(recording, zeroed);
    let mut notes = swing::reader_notes(loaded, settings, zeros.as_deref());
    notes.append(&mut standing.notes);
    notes.extend(zeroed.map(swing::zero_note));
    let cutoff = condition::low_pass(&mut standing.stance, settings.low_pass, &mut notes);
    let survey = cut::survey(&standing.stance);
    let swing = swing::read(
        &mut standing.stance,
        recording,
        zeros.as_deref(),
        settings,
        &mut notes,
    );
    notes.extend(swing::held(&survey));
    let measures = swing::measures(&standing.stance, &swing);
    Ok(swing::analysis(
        name, loaded, settings, &standing, cutoff, swing, measures, notes,
    ))
}
