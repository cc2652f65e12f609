//! Measures of a swing, by their ids: a value with a unit, or the reason there is none.
//!
//! The window "swing" is takeaway → impact. Ids carry their unit as suffix and never change; new
//! ones are added at the end of a family. Definitions stand beside each entry of [`CATALOGUE`].

mod catalogue;
mod context;
mod flat;
mod local;

pub use catalogue::{CATALOGUE, Spec};
pub use context::{Context, Instants};
pub(crate) use flat::SIGN_SD;
pub use flat::time_below_zero;

/// Why a measure is absent, in plain words.
pub type Absent = String;

/// A value or the reason there is none.
pub type Value = Result<f64, Absent>;

/// Computes every measure, in the order of [`CATALOGUE`].
pub fn measure(context: &Context<'_>) -> Vec<(&'static Spec, Value)> {
    CATALOGUE
        .iter()
        .map(|spec| (spec, (spec.compute)(context)))
        .collect()
}
