//! What a person should know about a recording.

/// How much a note matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// Worth knowing.
    Note,
    /// May spoil some numbers.
    Warn,
    /// Do not use without looking.
    Stop,
}

impl Level {
    /// The word used in JSON.
    pub fn name(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Warn => "warn",
            Self::Stop => "stop",
        }
    }
}

/// Something noticed about a recording.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    /// Stable code, kebab-case.
    pub code: &'static str,
    /// How much it matters.
    pub level: Level,
    /// What was seen and what to do, in plain words.
    pub text: String,
}

impl Note {
    /// Builds a note.
    pub fn new(code: &'static str, level: Level, text: impl Into<String>) -> Self {
        Self {
            code,
            level,
            text: text.into(),
        }
    }
}
