//! The colours, and the proof that they can be told apart.

use plotters_backend::BackendColor;

/// A colour without transparency.
pub type Rgb = (u8, u8, u8);

/// The colours of one mode. `www/colours.css` holds the same values under the same names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Palette {
    /// The ground.
    pub paper: Rgb,
    /// Text and the line that matters.
    pub ink: Rgb,
    /// Quieter text.
    pub soft: Rgb,
    /// Hairlines; decoration only, nothing depends on seeing them.
    pub hair: Rgb,
    /// Lead foot.
    pub lead: Rgb,
    /// Trail foot.
    pub trail: Rgb,
    /// Area of torque toward the target.
    pub toward: Rgb,
    /// Hatching of torque away from the target.
    pub away: Rgb,
    /// Set A; set B is ink.
    pub set_a: Rgb,
}

impl Palette {
    /// Warm paper.
    pub const LIGHT: Self = Self {
        paper: (0xfb, 0xf8, 0xf1),
        ink: (0x1f, 0x1b, 0x16),
        soft: (0x5e, 0x57, 0x4c),
        hair: (0xd9, 0xd1, 0xc1),
        lead: (0x5b, 0x2f, 0xa8),
        trail: (0x8f, 0x52, 0x00),
        toward: (0x2a, 0x8c, 0x86),
        away: (0x96, 0x72, 0x32),
        set_a: (0x78, 0x73, 0x6b),
    };
    /// The same at night.
    pub const DARK: Self = Self {
        paper: (0x1b, 0x18, 0x15),
        ink: (0xef, 0xe8, 0xdb),
        soft: (0xb5, 0xac, 0x9d),
        hair: (0x45, 0x3f, 0x37),
        lead: (0xb7, 0x9b, 0xf2),
        trail: (0xe0, 0xa2, 0x4a),
        toward: (0x2c, 0x7f, 0x79),
        away: (0xb0, 0x8b, 0x4a),
        set_a: (0x98, 0x92, 0x88),
    };
    /// The same on white paper.
    pub const PRINT: Self = Self {
        paper: (0xff, 0xff, 0xff),
        ..Self::LIGHT
    };
    /// No colours at all: only line, hatch and marker tell things apart.
    pub const PLAIN_LIGHT: Self = Self::plain((0xff, 0xff, 0xff), (0, 0, 0), (0x76, 0x76, 0x76));
    /// The same at night.
    pub const PLAIN_DARK: Self = Self::plain((0, 0, 0), (0xff, 0xff, 0xff), (0x80, 0x80, 0x80));

    const fn plain(paper: Rgb, ink: Rgb, middle: Rgb) -> Self {
        Self {
            paper,
            ink,
            soft: ink,
            hair: middle,
            lead: ink,
            trail: ink,
            toward: middle,
            away: ink,
            set_a: middle,
        }
    }

    /// The palette of this name: `light`, `dark`, `print`, `plain-light` or `plain-dark`.
    pub fn named(name: &str) -> Option<Self> {
        Some(match name {
            "light" => Self::LIGHT,
            "dark" => Self::DARK,
            "print" => Self::PRINT,
            "plain-light" => Self::PLAIN_LIGHT,
            "plain-dark" => Self::PLAIN_DARK,
            _ => return None,
        })
    }
}

/// A colour as backends want it.
pub(crate) fn solid(rgb: Rgb) -> BackendColor {
    see_through(rgb, 1.0)
}

pub(crate) fn see_through(rgb: Rgb, alpha: f64) -> BackendColor {
    BackendColor { alpha, rgb }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn linear(channel: f64) -> f64 {
        if channel <= 0.040_45 {
            channel / 12.92
        } else {
            ((channel + 0.055) / 1.055).powf(2.4)
        }
    }

    fn linear_rgb(rgb: Rgb) -> [f64; 3] {
        [rgb.0, rgb.1, rgb.2].map(|c| linear(f64::from(c) / 255.0))
    }

    /// Contrast ratio. Source: WCAG 2.2, definitions of contrast ratio and relative luminance.
    fn contrast(a: [f64; 3], b: [f64; 3]) -> f64 {
        let luminance = |c: [f64; 3]| 0.2126 * c[0] + 0.7152 * c[1] + 0.0722 * c[2];
        let (high, low) = (
            luminance(a).max(luminance(b)),
            luminance(a).min(luminance(b)),
        );
        (high + 0.05) / (low + 0.05)
    }

    /// Full protanopia, deuteranopia, tritanopia in linear RGB. Source: Machado GM, Oliveira MM,
    /// Fernandes LAF (2009) IEEE Trans Vis Comput Graph 15(6):1291–1298, severity 1.0 (from memory).
    const VISIONS: [[[f64; 3]; 3]; 4] = [
        [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
        [
            [0.152_286, 1.052_583, -0.204_868],
            [0.114_503, 0.786_281, 0.099_216],
            [-0.003_882, -0.048_116, 1.051_998],
        ],
        [
            [0.367_322, 0.860_646, -0.227_968],
            [0.280_085, 0.672_501, 0.047_413],
            [-0.011_820, 0.042_940, 0.968_881],
        ],
        [
            [1.255_528, -0.076_749, -0.178_779],
            [-0.078_411, 0.930_809, 0.147_602],
            [0.004_733, 0.691_367, 0.303_900],
        ],
    ];

    fn seen(rgb: Rgb, vision: &[[f64; 3]; 3]) -> [f64; 3] {
        let c = linear_rgb(rgb);
        std::array::from_fn(|i| {
            (0..3)
                .map(|j| vision[i][j] * c[j])
                .sum::<f64>()
                .clamp(0.0, 1.0)
        })
    }

    #[test]
    fn black_on_white_is_21_to_1() {
        // Source: WCAG 2.2: contrast ratios range from 1 to 21.
        let ratio = contrast(linear_rgb((0, 0, 0)), linear_rgb((255, 255, 255)));
        assert!((ratio - 21.0).abs() < 1e-9);
    }

    #[test]
    fn graphics_pass_3_to_1_and_text_4_5_to_1_for_every_eye() {
        for palette in [
            Palette::LIGHT,
            Palette::DARK,
            Palette::PRINT,
            Palette::PLAIN_LIGHT,
            Palette::PLAIN_DARK,
        ] {
            for vision in &VISIONS {
                let against = |rgb| contrast(seen(rgb, vision), seen(palette.paper, vision));
                for graphic in [palette.toward, palette.away, palette.set_a] {
                    assert!(
                        against(graphic) >= 3.0,
                        "{graphic:?} {:.2}",
                        against(graphic)
                    );
                }
                // The feet's colours and both inks are also used for text.
                for text in [palette.ink, palette.soft, palette.lead, palette.trail] {
                    assert!(against(text) >= 4.5, "{text:?} {:.2}", against(text));
                }
                let line = contrast(seen(palette.ink, vision), seen(palette.toward, vision));
                assert!(line >= 3.0, "line on its own area {line:.2}");
            }
        }
    }

    #[test]
    fn the_style_sheet_holds_the_same_colours() {
        let css = std::fs::read_to_string(concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/../../www/colours.css"
        ))
        .expect("the page's colours");
        for palette in [Palette::LIGHT, Palette::DARK] {
            for (name, rgb) in [
                ("paper", palette.paper),
                ("ink", palette.ink),
                ("soft", palette.soft),
                ("hair", palette.hair),
                ("lead", palette.lead),
                ("trail", palette.trail),
                ("toward", palette.toward),
                ("away", palette.away),
                ("set-a", palette.set_a),
            ] {
                let rule = format!("--{name}: #{:02x}{:02x}{:02x};", rgb.0, rgb.1, rgb.2);
                assert!(css.contains(&rule), "colours.css lacks {rule}");
            }
        }
    }
}
