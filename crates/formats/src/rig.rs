//! Rig files: how a table's columns become ground reaction on a player.

/// A rig file, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Rig {}
