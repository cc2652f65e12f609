//! Invented swings whose truth is known by construction, for tests of the whole chain and for the
//! samples.
//!
//! A [`Swing`] is a set of plain numbers. [`Motion`] turns it into closed forms: the path of the
//! centre of mass, the angular momentum about the vertical through it, the centres of pressure and
//! the load split; the force under each foot follows from Newton's and Euler's laws. [`truth()`]
//! reads every measure off the closed forms, [`record`] samples them through the plates of a
//! [`Bay`].
//!
//! Frames, signs and units are those of `footing_core`. Trigonometry comes from `libm` and
//! randomness from a seeded generator, so the same seed gives the same bytes on every machine.

pub mod bad;
mod bad_channels;
pub mod bad_moves;
pub mod bay;
mod c3d_bytes;
pub mod c3d_out;
pub mod csv_out;
pub mod curve;
pub mod ground;
mod noise;
pub mod players;
pub mod scenario;
pub mod session;
pub mod swing;
pub mod truth;

pub use bay::{Bay, PlateSpec, record};
pub use c3d_bytes::Processor;
pub use ground::{Body, Foot, Ground, Motion};
pub use scenario::{OutFile, scenario, scenario_names};
pub use swing::Swing;
pub use truth::{About, Events, Truth, truth};
