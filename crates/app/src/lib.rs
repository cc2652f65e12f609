//! The one traceable room: what any face of Footing shows, as plain data.

pub mod analysis;
