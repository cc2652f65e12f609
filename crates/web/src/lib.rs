//! The only room that knows JavaScript: exports for the page. It converts and decides nothing.
//!
//! The same module runs twice. In the worker the functions of [`page`] do the heavy work on the
//! recordings kept on the [`shelf`]; on the main thread [`draw`] paints what the worker sent.
//!
//! It is built three times: a first module of the feature `page`, which reads, measures and draws;
//! the whole one of the feature `whole`, to which the worker changes when comparing, a link or wiring
//! is asked for; and one of the feature `packed` alone, which a worker of its own runs for as long
//! as archives and workbooks are taken apart.
//!
//! # What crosses the border
//!
//! Small things as plain objects ([`wire`]); anything per sample as `Float64Array`s in one list,
//! `columns`, that the objects point into by number. Only there NaN means "no value"; inside, a
//! missing value is always an `Option`.

#[cfg(feature = "page")]
mod canvas;
#[cfg(feature = "whole")]
mod compare;
#[cfg(feature = "page")]
mod draw;
#[cfg(feature = "packed")]
mod packed;
#[cfg(feature = "page")]
mod page;
#[cfg(feature = "page")]
mod settings;
#[cfg(feature = "page")]
mod shelf;
#[cfg(feature = "page")]
mod wire;
#[cfg(feature = "whole")]
mod wiring;
