//! Markers: the sign beside the colour.

use footing_app::view::chart::{Foot, Set};
use plotters_backend::{BackendColor, DrawingBackend};

use crate::ink::{Drawn, Pen, Place};
use crate::palette::{Palette, solid};

/// The colour of a curve: its set's, else its foot's, else ink.
pub fn color(palette: &Palette, foot: Option<Foot>, set: Option<Set>) -> BackendColor {
    solid(match (set, foot) {
        (Some(Set::A), _) => palette.set_a,
        (Some(Set::B), _) => palette.ink,
        (None, Some(Foot::Lead)) => palette.lead,
        (None, Some(Foot::Trail)) => palette.trail,
        (None, None) => palette.ink,
    })
}

/// Rings for set A, filled squares for set B, as in the table of findings: what tells the sets' lines
/// apart beside their greys.
pub fn of_set<DB: DrawingBackend>(
    pen: &mut Pen<'_, DB>,
    set: Set,
    (x, y): Place,
    color: BackendColor,
    ground: BackendColor,
) -> Drawn<DB> {
    match set {
        Set::A => {
            pen.disc((x, y), 3.75, color)?;
            pen.disc((x, y), 2.25, ground)
        }
        Set::B => pen.fill((x - 3.0, y - 3.0), (x + 3.0, y + 3.0), color),
    }
}

/// Filled circle for the lead foot, open diamond for the trail foot, a short bar for anything else.
pub fn marker<DB: DrawingBackend>(
    pen: &mut Pen<'_, DB>,
    foot: Option<Foot>,
    place: Place,
    size_px: f64,
    color: BackendColor,
    ground: BackendColor,
) -> Drawn<DB> {
    let (x, y) = place;
    match foot {
        Some(Foot::Lead) => pen.disc(place, size_px, color),
        Some(Foot::Trail) => {
            let s = size_px * 1.25;
            let diamond = [
                (x, y - s),
                (x + s, y),
                (x, y + s),
                (x - s, y),
                (x, y - s),
                (x + s, y),
            ];
            pen.polygon(&diamond[..4], ground)?;
            pen.path(&diamond, color, (size_px * 0.4).max(1.25))
        }
        None => pen.path(&[(x - size_px, y), (x + size_px, y)], color, 2.0),
    }
}
