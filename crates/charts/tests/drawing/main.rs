//! What lands on a backend: colours, places, gaps.

mod curves;
mod feet;
mod written_down;
