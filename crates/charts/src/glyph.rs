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
