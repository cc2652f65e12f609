//! Tests that span rooms: simulated swings, whose truth is known by construction, through the
//! whole chain.

mod common;
mod compare_few;
mod conditioning;
mod event_errors;
mod files;
mod findings_by_hand;
mod findings_places;
mod findings_words;
mod guises;
mod links;
mod no_swing;
mod noise;
mod notes;
mod pieces;
mod properties;
mod quality;
mod restless;
mod truth;
mod zeros;
