//! A link as a QR code.

use std::fmt::Write as _;

use qrcodegen::{QrCode, QrCodeEcc, QrSegment};

/// A QR code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Qr {
    /// Modules along a side, without the quiet zone.
    pub size: usize,
    /// Dark modules, row by row.
    pub modules: Vec<bool>,
}

/// Modules of white that ISO/IEC 18004 asks for on every side.
pub const QUIET_ZONE: usize = 4;

/// The base address and `#` as bytes, the rest from the 45-character alphanumeric set, which
/// takes 5½ bits a character instead of eight.
pub(crate) fn draw(base: &str, fragment: &str) -> Option<Qr> {
    let (hash, coded) = fragment.split_at(1);
    let segments = [
        QrSegment::make_bytes((base.to_owned() + hash).as_bytes()),
        QrSegment::make_alphanumeric(coded),
    ];
    // The least correction is asked for; whatever more fits the same size is taken.
    let code = QrCode::encode_segments(&segments, QrCodeEcc::Low).ok()?;
    let side = code.size();
    Some(Qr {
        size: side as usize,
        modules: (0..side)
            .flat_map(|y| (0..side).map(move |x| (x, y)))
            .map(|(x, y)| code.get_module(x, y))
            .collect(),
    })
}

impl Qr {
    /// Whether a module is dark; those outside are not.
    pub fn is_dark(&self, x: usize, y: usize) -> bool {
        x < self.size && y < self.size && self.modules[y * self.size + x]
    }

    /// As SVG, one unit a module, with the quiet zone, dark on white whatever the page's colours: many
    /// readers do not see light on dark. `label` is what a screen reader says.
    pub fn svg(&self, label: &str) -> String {
        let side = self.size + 2 * QUIET_ZONE;
        let mut path = String::new();
        for y in 0..self.size {
            let mut x = 0;
            while x < self.size {
                let start = x;
                while self.is_dark(x, y) {
                    x += 1;
                }
                if x > start {
                    let (left, top, width) = (start + QUIET_ZONE, y + QUIET_ZONE, x - start);
                    // Writing to a string does not fail.
                    let _ = write!(path, "M{left} {top}h{width}v1h-{width}z");
                }
                x += 1;
            }
        }
        let label = label
            .replace('&', "&amp;")
            .replace('<', "&lt;")
            .replace('>', "&gt;")
            .replace('"', "&quot;");
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {side} {side}\" role=\"img\" \
             aria-label=\"{label}\" shape-rendering=\"crispEdges\"><rect width=\"{side}\" \
             height=\"{side}\" fill=\"#fff\"/><path d=\"{path}\" fill=\"#000\"/></svg>"
        )
    }
}
