//! Tests that span rooms: simulated swings, whose truth is known by construction, through the
//! whole chain.

mod common;
mod event_errors;
mod files;
mod guises;
mod links;
mod pieces;
mod properties;
mod quality;
mod truth;
mod zeros;
