//! How much nobody could know under the noise, from the true torque of the swings measured: what is
//! beyond three tolerances for want of signal, in numbers.

use footing_core::recording::PlateKind;
use footing_simulate::{About, Bay, Events, Motion, Swing, Truth};

/// The stretch around an extreme from which its place is read: so far to each side, s, …
const REACH_S: f64 = 0.15;
/// … and so far down, N·m: 32 standard deviations of the low-passed noise.
const DEPTH_NM: f64 = 8.0;

/// What one swing's torque lets one know.
pub struct Limit {
    /// Standard deviation of the place of the lowest torque, s.
    pub place_sd_s: f64,
    /// After takeaway, before torque turns away from the target: for how long, s, …
    pub toward_s: f64,
    /// … how high, N·m, …
    pub toward_nm: f64,
    /// … and by how many standard deviations of the noise it could be told from nothing by one who
    /// knew its course.
    pub told_sd: f64,
    /// Torque at impact, N·m.
    pub at_impact_nm: f64,
}

/// Density of the noise on torque, N²·m²·s, as white noise on each plate's channels adds up over the
/// plates' distance from the middle of the stance.
fn density(bay: &Bay) -> f64 {
    let of_plates = bay.plates.iter().map(|plate| {
        let centre = plate.centre_m;
        let lever_squared = centre.x * centre.x + centre.y * centre.y;
        let (a, b) = plate.sensor_offset_m;
        // of a horizontal force and of the vertical moment: two sensors make each force of eight
        let (force, moment) = match plate.kind {
            PlateKind::EightChannel => (
                2.0 * bay.force_noise_n.powi(2),
                2.0 * (a * a + b * b) * bay.force_noise_n.powi(2),
            ),
            _ => (bay.force_noise_n.powi(2), bay.moment_noise_nm.powi(2)),
        };
        lever_squared * force + moment
    });
    of_plates.sum::<f64>() / bay.rate_hz
}

impl Limit {
    /// Of a swing recorded in a noisy bay.
    ///
    /// ```text
    /// SD(place) = √(75·S / 8h³) / T″      slope in the middle of a fitted curve of the 4th (or 3rd)
    ///                                     degree over ± h, noise of density S, over the curvature
    /// d′ = √(∫T² dt / S)                  the best test for a known course in white noise
    /// ```
    /// **Source:** the first follows from least squares; the second is North DO (1943) RCA report
    /// PTR-6C, reprinted in Proc IEEE 51(7):1016–1027, 1963.
    pub fn of(swing: &Swing, bay: &Bay, about: About, truth: &Truth) -> Self {
        const STEP_S: f64 = 0.000_5;
        const NEAR_S: f64 = 0.05;
        let density = density(bay);
        let motion = Motion::new(swing);
        let torque = |t: f64| motion.torque_nm(about, t);
        let events = Events::of(swing);
        let lowest = events.top_s + truth.get("torque_min_time_s").expect("a lowest torque");
        let rise = torque(lowest - NEAR_S) + torque(lowest + NEAR_S) - 2.0 * torque(lowest);
        let reach = |side: f64| {
            let steps = (1..).map(|i| STEP_S * f64::from(i));
            let within =
                |s: &f64| *s <= REACH_S && torque(lowest + side * s) <= torque(lowest) + DEPTH_NM;
            steps.take_while(within).last().unwrap_or(STEP_S)
        };
        let half = 0.5 * (reach(-1.0) + reach(1.0));
        let slope_sd = (75.0 * density / (8.0 * half.powi(3))).sqrt();
        let toward: Vec<f64> = (1..)
            .map(|i| torque(events.takeaway_s + STEP_S * f64::from(i)))
            .take_while(|torque| *torque > -1e-9)
            .collect();
        let energy: f64 = toward.iter().map(|torque| torque * torque * STEP_S).sum();
        Self {
            place_sd_s: slope_sd / (rise / NEAR_S.powi(2)),
            toward_s: STEP_S * toward.len() as f64,
            toward_nm: toward.iter().copied().fold(0.0, f64::max),
            told_sd: (energy / density).sqrt(),
            at_impact_nm: torque(events.impact_s),
        }
    }
}
