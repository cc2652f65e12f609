//! Conditioning: zero, low-pass.

/// The low-pass filter a person asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LowPass {
    /// No filter.
    Off,
    /// Zero-lag Butterworth with this cut-off, Hz.
    Hz(f64),
    /// Cut-off chosen by residual analysis.
    Auto,
}
