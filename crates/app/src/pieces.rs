//! A long recording, cut into swings, each of which can be analysed by itself.

use crate::analysis::{Analysis, Settings};
use crate::swing;
use footing_core::condition;
pub use footing_core::cut::{Kind, Piece};
use footing_core::note::Note;
use footing_core::quality::PlateZero;
use footing_core::recording::Recording;
use footing_core::stance::{self, Stance, Standing};
use footing_formats::{Loaded, Problem};

/// The whole recording on its feet, zeroed and filtered.
struct Conditioned {
    standing: Standing,
    cutoff_hz: Option<f64>,
    /// What each plate read where nobody stood on it.
    zeros: Option<Vec<PlateZero>>,
    /// What was noticed on the way, in the order of [`analyse_loaded`](crate::analyse_loaded).
    notes: Vec<Note>,
}

fn conditioned(name: &str, loaded: &Loaded, settings: &Settings) -> Result<Conditioned, Problem> {
    let recording = &loaded.recording;
    let azimuth = swing::target_azimuth_rad(recording, settings);
    let mut standing = stance::stance(recording, azimuth, settings.handed)
        .map_err(|why| swing::no_stance(name, why))?;
    let mut notes = std::mem::take(&mut standing.notes);
    let zeroed = condition::zero_on_unloaded(&mut standing.stance);
    let zeros = swing::zeros(recording, zeroed);
    notes.extend(zeroed.map(swing::zero_note));
    let cutoff_hz = condition::low_pass(&mut standing.stance, settings.low_pass, &mut notes);
    Ok(Conditioned {
        standing,
        cutoff_hz,
        zeros,
        notes,
    })
}

/// Cuts a recording into swings and other movements; see [`footing_core::cut`].
///
/// # Errors
/// One [`Problem`] when the recording holds nothing to stand on.
pub fn pieces(name: &str, loaded: &Loaded, settings: &Settings) -> Result<Vec<Piece>, Problem> {
    let whole = conditioned(name, loaded, settings)?;
    Ok(footing_core::cut::cut(&whole.standing.stance))
}

/// A shorter recording has no room for two swings with the stillness around them, seconds.
const ROOM_FOR_TWO_S: f64 = 6.0;

/// The swings of a recording that holds several, and the other movements in it, in words.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Several {
    /// From and to, on the recording's clock, seconds, in order of time; empty when there are not
    /// two: such a recording is analysed as a whole.
    pub swings_s: Vec<(f64, f64)>,
    /// Each other movement and why it is not taken for a swing.
    pub others: Vec<String>,
}

/// Looks for several swings in a recording; see [`pieces`].
///
/// # Errors
/// As [`pieces`].
pub fn several(name: &str, loaded: &Loaded, settings: &Settings) -> Result<Several, Problem> {
    let t_s = &loaded.recording.t_s;
    let length_s = t_s.last().unwrap_or(&0.0) - t_s.first().unwrap_or(&0.0);
    if length_s < ROOM_FOR_TWO_S {
        return Ok(Several::default());
    }
    let whole = conditioned(name, loaded, settings)?;
    let survey = footing_core::cut::survey(&whole.standing.stance);
    let mut swings_s: Vec<(f64, f64)> = survey.swings_s().collect();
    if swings_s.len() < 2 {
        swings_s.clear();
    }
    Ok(Several {
        swings_s,
        others: survey.others().collect(),
    })
}

/// Analyses one piece of a recording as if nothing else had been recorded; the clock is kept.
///
/// Zero and filter come from the whole recording: an empty stretch before the first swing serves all
/// of them, and no piece has a filter's edge. Events given or marked outside the piece are not its.
/// A piece that is the whole recording gives what [`analyse_loaded`](crate::analyse_loaded) gives.
///
/// # Errors
/// One [`Problem`] when the recording holds nothing to stand on, or the piece no sample.
pub fn analyse_piece(
    name: &str,
    loaded: &Loaded,
    settings: &Settings,
    piece: &Piece,
) -> Result<Analysis, Problem> {
    let whole = conditioned(name, loaded, settings)?;
    let t_s = &loaded.recording.t_s;
    let first = t_s.partition_point(|t| *t < piece.from_s);
    let end = t_s.partition_point(|t| *t <= piece.to_s);
    if first >= end {
        return Err(Problem::new(
            name,
            format!("no sample from {} to {} s", piece.from_s, piece.to_s),
            format!(
                "a stretch between {} and {} s",
                t_s.first().unwrap_or(&0.0),
                t_s.last().unwrap_or(&0.0)
            ),
            "a piece of this recording",
        ));
    }
    let own = Loaded {
        recording: sliced(&loaded.recording, first, end),
        ..loaded.clone()
    };
    let mut standing = whole.standing;
    slice_stance(&mut standing.stance, first, end);
    let mut notes = swing::reader_notes(&own, settings, whole.zeros.as_deref());
    notes.extend(whole.notes);
    let swing = swing::read(
        &mut standing.stance,
        &own.recording,
        whole.zeros.as_deref(),
        settings,
        &mut notes,
    );
    let measures = swing::measures(&standing.stance, &swing);
    Ok(swing::analysis(
        name,
        &own,
        settings,
        &standing,
        whole.cutoff_hz,
        swing,
        measures,
        notes,
    ))
}

fn keep(series: &mut Vec<f64>, first: usize, end: usize) {
    series.truncate(end);
    series.drain(..first);
}

fn sliced(recording: &Recording, first: usize, end: usize) -> Recording {
    let mut own = recording.clone();
    keep(&mut own.t_s, first, end);
    for plate in &mut own.plates {
        keep(&mut plate.fz_n, first, end);
        keep(&mut plate.mx_nm, first, end);
        keep(&mut plate.my_nm, first, end);
        if let Some(shear) = &mut plate.shear {
            keep(&mut shear.fx_n, first, end);
            keep(&mut shear.fy_n, first, end);
            keep(&mut shear.mz_nm, first, end);
        }
    }
    let inside = |t: f64| own.t_s.first() <= Some(&t) && Some(&t) <= own.t_s.last();
    own.marks.retain(|mark| inside(mark.t_s));
    own
}

fn slice_stance(stance: &mut Stance, first: usize, end: usize) {
    keep(&mut stance.t_s, first, end);
    for load in stance.loads_mut() {
        for series in load.series_mut() {
            keep(series, first, end);
        }
    }
}
