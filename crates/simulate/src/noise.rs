//! Seeded randomness that gives the same bytes on every machine.

use rand_pcg::Pcg64;
use rand_pcg::rand_core::Rng;

/// A number between 0 (included) and 1 (excluded), 53 random bits.
fn unit(random: &mut Pcg64) -> f64 {
    (random.next_u64() >> 11) as f64 / (1u64 << 53) as f64
}

/// A number spread evenly between two bounds.
pub fn uniform(random: &mut Pcg64, lo: f64, hi: f64) -> f64 {
    lo + (hi - lo) * unit(random)
}

/// A standard normal number. **Source:** Box GEP, Muller ME (1958) A note on the generation of
/// random normal deviates. Ann Math Stat 29(2):610–611.
pub fn normal(random: &mut Pcg64) -> f64 {
    let radius = (-2.0 * libm::log(1.0 - unit(random))).sqrt();
    radius * libm::cos(std::f64::consts::TAU * unit(random))
}
