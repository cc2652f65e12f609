//! What measures are read from: curves, events, and the windows every measure shares.

use super::local::{Corner, REACH_S};
use super::{Value, flat};
use crate::events::Events;
use crate::quiet::{AddressPlaces, Quiet, STANDARD_GRAVITY};
use crate::recording::EventKind;
use crate::sampled::{Line, Value as Sample, area, lowest, mean_sd, upward_crossings};
use crate::stance::{Feet, FootLoad, FootShear, Stance};
use crate::torque::{Curves, FootCurves, Reference};

/// How long torque must stay above zero after a crossing for the crossing to count, seconds. Ours.
const SUSTAINED_S: f64 = 0.03;

/// The instants measures are read at, on the recording's clock, seconds.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Instants {
    /// The swing begins.
    pub takeaway: Option<f64>,
    /// Lead arm level in the backswing.
    pub arm_level: Option<f64>,
    /// Top of the backswing.
    pub top: Option<f64>,
    /// Club meets ball.
    pub impact: Option<f64>,
}

impl Instants {
    /// The instants of these events.
    pub fn of(events: &Events) -> Self {
        Self {
            takeaway: events.time(EventKind::Takeaway),
            arm_level: events.time(EventKind::ArmLevel),
            top: events.time(EventKind::Top),
            impact: events.time(EventKind::Impact),
        }
    }
}

/// Which foot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Foot {
    /// Nearer the target.
    Lead,
    /// Further from it.
    Trail,
}

impl Foot {
    fn name(self) -> &'static str {
        match self {
            Self::Lead => "lead",
            Self::Trail => "trail",
        }
    }
}

/// Everything measures are read from.
#[derive(Debug, Clone, Copy)]
pub struct Context<'a> {
    /// The stance, conditioned.
    pub stance: &'a Stance,
    /// Curves about the chosen reference.
    pub curves: &'a Curves,
    /// Quiet stance, which shows the noise; without it none is assumed.
    pub quiet: Option<&'a Quiet>,
    /// Where the feet press at address.
    pub places: Option<&'a AddressPlaces>,
    /// Body mass, kg: typed in, or from quiet stance.
    pub mass_kg: Option<f64>,
    /// When things happen.
    pub instants: Instants,
}

/// Which extreme of a quantity in the swing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Extreme {
    /// The smallest value.
    Lowest,
    /// The largest value.
    Highest,
}

impl Extreme {
    /// Of a line, between two instants.
    fn of(self, line: &[Corner], between: (f64, f64), noise_sd: &dyn Fn(f64) -> f64) -> Peak {
        match self {
            Self::Lowest => flat::lowest_between(line, between, noise_sd),
            Self::Highest => flat::highest_between(line, between, noise_sd),
        }
        .ok_or_else(|| EMPTY.to_owned())
    }
}

/// Instant and value of an extreme, or the reason there is none.
pub type Peak = Result<Corner, String>;

/// A window's corners or the reason there is no window.
pub type Corners = Result<Vec<(f64, f64)>, String>;

impl<'a> Context<'a> {
    fn known(time: Option<f64>, name: &str) -> Value {
        time.ok_or_else(|| format!("{name} is not known"))
    }

    /// Time of takeaway.
    pub fn takeaway(&self) -> Value {
        Self::known(self.instants.takeaway, "takeaway")
    }

    /// Time of lead arm level.
    pub fn arm_level(&self) -> Value {
        Self::known(self.instants.arm_level, "lead arm level")
    }

    /// Time of the top.
    pub fn top(&self) -> Value {
        Self::known(self.instants.top, "the top")
    }

    /// Time of impact.
    pub fn impact(&self) -> Value {
        Self::known(self.instants.impact, "impact")
    }

    /// The swing: takeaway and impact, in that order, with the top between them where it is known. Of
    /// events in another order one is wrong, and no one can say which: then there is no such window.
    fn swing(&self) -> Result<(f64, f64), String> {
        let (from, to) = (self.takeaway()?, self.impact()?);
        match self.instants.top {
            _ if to <= from => Err("impact is not after takeaway".into()),
            Some(top) if top <= from => Err("the top is not after takeaway".into()),
            Some(top) if to <= top => Err("impact is not after the top".into()),
            _ => Ok((from, to)),
        }
    }

    /// Body mass.
    pub fn mass(&self) -> Value {
        match self.mass_kg {
            Some(mass) if mass > 0.0 => Ok(mass),
            _ => Err("there is no quiet stance to weigh the player in; type the mass in".into()),
        }
    }

    /// Body weight, N.
    pub fn weight(&self) -> Value {
        Ok(self.mass()? * STANDARD_GRAVITY)
    }

    /// Why there is no reference, where there is none.
    fn reference(&self) -> Result<(), String> {
        let absent = self.curves.reference_m.iter().all(Option::is_none);
        match self.curves.about {
            _ if !absent => Ok(()),
            Reference::StanceCentre => {
                Err("there is no quiet stance to find the stance centre in".into())
            }
            Reference::Com => Err("there is no quiet stance to find the centre of mass in".into()),
            Reference::CombinedCop => Err("the feet never carry the load threshold".into()),
        }
    }

    fn window<V: Sample>(&self, values: &[V], what: &str) -> Corners {
        let (from, to) = self.swing()?;
        Line::new(&self.stance.t_s, values)
            .window(from, to)
            .ok_or_else(|| format!("{what} is not known throughout the swing"))
    }

    fn torque_curve(&self) -> Result<&'a [Option<f64>], String> {
        if self.curves.torque_nm.is_empty() {
            return Err(NO_SHEAR.into());
        }
        self.reference()?;
        Ok(&self.curves.torque_nm)
    }

    /// Torque over the swing.
    pub fn torque(&self) -> Corners {
        self.window(self.torque_curve()?, TORQUE)
    }

    /// A quantity from a little before the swing to a little after it.
    fn around<V: Sample>(&self, values: &[V]) -> Result<Vec<Corner>, String> {
        Ok(Line::new(&self.stance.t_s, values).around(self.swing()?, REACH_S))
    }

    /// Standard deviation of the noise on a quantity, from quiet stance.
    fn noise<V: Sample>(&self, values: &[V]) -> f64 {
        let rate_hz = self.stance.rate_hz;
        self.quiet.map_or(0.0, |q| q.noise_sd(values, rate_hz))
    }

    /// The extreme of a quantity in the swing, instant and value: see [`flat`].
    fn extreme_of<V: Sample>(&self, values: &[V], what: &str, which: Extreme) -> Peak {
        self.window(values, what)?;
        let noise = self.noise(values);
        which.of(&self.around(values)?, self.swing()?, &|_| noise)
    }

    /// Lowest or highest torque in the swing, and when.
    pub fn torque_extreme(&self, which: Extreme) -> Peak {
        self.extreme_of(self.torque_curve()?, TORQUE, which)
    }

    /// For how long torque is below zero in the swing: see [`flat`].
    pub fn torque_negative_duration(&self) -> Value {
        self.torque()?;
        let curve = self.torque_curve()?;
        let line = self.around(curve)?;
        Ok(flat::time_below_zero(
            &line,
            self.swing()?,
            self.noise(curve),
        ))
    }

    /// Torque at an instant: where there is none, placing the instant would not help.
    pub fn torque_at(&self, t: Value) -> Value {
        Line::new(&self.stance.t_s, self.torque_curve()?)
            .at(t?)
            .ok_or_else(|| "torque about this reference is not known then".into())
    }

    /// When torque turns toward the target: see [`turn_toward_target`]; the instant is read off a curve
    /// where noise makes that better, see [`flat`].
    pub fn torque_zero_cross(&self) -> Value {
        let at = turn_toward_target(self.torque()?)?;
        let curve = self.torque_curve()?;
        let near = flat::crossing_near(
            &self.around(curve)?,
            at,
            true,
            self.swing()?,
            self.noise(curve),
        );
        Ok(near.unwrap_or(at))
    }

    fn load(&self, foot: Foot) -> Result<&'a FootLoad, String> {
        match (&self.stance.feet, foot) {
            (Feet::Two { lead, .. }, Foot::Lead) => Ok(lead),
            (Feet::Two { trail, .. }, Foot::Trail) => Ok(trail),
            (Feet::Both(_), _) => Err(ONE_PLATE.into()),
        }
    }

    fn foot_shear(&self, foot: Foot) -> Result<&'a FootShear, String> {
        self.load(foot)?
            .shear
            .as_ref()
            .ok_or_else(|| NO_SHEAR.into())
    }

    fn foot_curves(&self, foot: Foot) -> Result<&'a FootCurves, String> {
        match foot {
            Foot::Lead => self.curves.lead.as_ref(),
            Foot::Trail => self.curves.trail.as_ref(),
        }
        .ok_or_else(|| ONE_PLATE.into())
    }

    /// Foot-to-foot angle at an instant.
    pub fn angle_at(&self, t: Value) -> Value {
        let angle = &self.curves.cop_angle_deg;
        if angle.is_empty() {
            return Err(ONE_PLATE.into());
        }
        Line::new(&self.stance.t_s, angle)
            .at(t?)
            .ok_or_else(|| "a foot carries less than the load threshold then".into())
    }

    /// Foot-to-foot angle between the mean centres of pressure at address.
    pub fn angle_at_address(&self) -> Value {
        let places = self
            .places
            .ok_or("there is no quiet stance before the swing")?;
        match (places.lead_m, places.trail_m) {
            (Some(lead), Some(trail)) => {
                Ok(libm::atan2(lead.1 - trail.1, lead.0 - trail.0).to_degrees())
            }
            _ => Err(ONE_PLATE.into()),
        }
    }

    /// Smallest or largest foot-to-foot angle where both feet are loaded in the swing.
    pub fn angle_extreme(&self, which: Extreme) -> Value {
        let angle = &self.curves.cop_angle_deg;
        if angle.is_empty() {
            return Err(ONE_PLATE.into());
        }
        let (lead, trail) = (self.load(Foot::Lead)?, self.load(Foot::Trail)?);
        // a centre of pressure is a moment over a load: the lighter a foot, the noisier
        let unrest = |lead: f64, trail: f64| libm::hypot(1.0 / lead, 1.0 / trail);
        let mean = |load: &FootLoad| {
            let still = self.quiet.and_then(|q| load.fz_n.get(q.first..q.end));
            mean_sd(still.unwrap_or_default().iter().copied()).map_or(1.0, |m| m.0)
        };
        let at = |load: &FootLoad, t| Line::new(&self.stance.t_s, &load.fz_n).at(t);
        let noise = self.noise(angle) / unrest(mean(lead), mean(trail));
        let noise_at = |t: f64| match (at(lead, t), at(trail, t)) {
            (Some(lead), Some(trail)) => noise * unrest(lead, trail),
            _ => 0.0,
        };
        match which.of(&self.around(angle)?, self.swing()?, &noise_at) {
            Ok((_, angle)) => Ok(angle),
            Err(_) => Err("the feet are never both loaded in the swing".into()),
        }
    }

    /// Lead foot's share of the vertical force at an instant.
    pub fn lead_share_at(&self, t: Value) -> Value {
        /// What counts as a load where body weight is not known, N.
        const LOADED_N: f64 = 30.0;
        let (lead, trail) = (self.load(Foot::Lead)?, self.load(Foot::Trail)?);
        let t = t?;
        let fz = |load: &FootLoad| -> Value {
            Line::new(&self.stance.t_s, &load.fz_n)
                .at(t)
                .ok_or_else(|| "that instant is outside the recording".into())
        };
        let (lead, trail) = (fz(lead)?, fz(trail)?);
        let total = lead + trail;
        if total > self.weight().map_or(LOADED_N, |weight| 0.05 * weight) {
            Ok(lead / total)
        } else {
            Err("neither foot is loaded then".into())
        }
    }

    /// Largest vertical force of a foot in the swing, body weights.
    pub fn foot_fz_max_bw(&self, foot: Foot) -> Value {
        let fz = &self.load(foot)?.fz_n;
        let (_, most) = self.extreme_of(fz, "vertical force", Extreme::Highest)?;
        Ok(most / self.weight()?)
    }

    /// Largest whole-body vertical force in the swing, body weights.
    pub fn total_fz_max_bw(&self) -> Value {
        let fz = self.stance.total_fz_n();
        let (_, most) = self.extreme_of(&fz, "vertical force", Extreme::Highest)?;
        Ok(most / self.weight()?)
    }

    /// Lowest or highest toe–heel shear of a foot in the swing.
    pub fn foot_fa(&self, foot: Foot, which: Extreme) -> Value {
        let fa = &self.foot_shear(foot)?.fa_n;
        self.extreme_of(fa, "shear", which).map(|peak| peak.1)
    }

    /// Lowest or highest whole-body force along the target line in the swing.
    pub fn total_ft(&self, which: Extreme) -> Value {
        let shear = self.stance.total_shear().ok_or(NO_SHEAR)?;
        self.extreme_of(&shear.ft_n, "shear", which)
            .map(|peak| peak.1)
    }

    /// Largest difference between the feet's toe–heel shear in the swing.
    pub fn shear_spread_max(&self) -> Value {
        let lead = self.foot_shear(Foot::Lead)?;
        let trail = self.foot_shear(Foot::Trail)?;
        let difference: Vec<f64> = lead
            .fa_n
            .iter()
            .zip(&trail.fa_n)
            .map(|(l, t)| l - t)
            .collect();
        let (_, most) = self.extreme_of(&difference, "shear", Extreme::Highest)?;
        let (_, least) = self.extreme_of(&difference, "shear", Extreme::Lowest)?;
        Ok(most.max(-least))
    }

    /// Toeward shift of a foot's centre of pressure since address, at an instant, mm.
    pub fn cop_a_shift_mm(&self, foot: Foot, t: Value) -> Value {
        let places = self
            .places
            .ok_or("there is no quiet stance before the swing")?;
        let address = match foot {
            Foot::Lead => places.lead_m,
            Foot::Trail => places.trail_m,
        }
        .ok_or(ONE_PLATE)?;
        let now = Line::new(&self.stance.t_s, &self.foot_curves(foot)?.cop_a_m)
            .at(t?)
            .ok_or_else(|| {
                format!(
                    "the {} foot carries less than the load threshold then",
                    foot.name()
                )
            })?;
        Ok(1000.0 * (now - address.1))
    }

    /// Part of the net impulse from a foot's shear, N·m·s.
    pub fn shear_impulse(&self, foot: Foot) -> Value {
        let curve = &self.foot_curves(foot)?.shear_torque_nm;
        if curve.is_empty() {
            return Err(NO_SHEAR.into());
        }
        self.reference()?;
        self.window(curve, TORQUE).map(|corners| area(&corners))
    }

    /// Part of the net impulse from a foot's free moment, N·m·s; nothing while it is unloaded.
    pub fn free_moment_impulse(&self, foot: Foot) -> Value {
        let curve = &self.foot_curves(foot)?.free_moment_nm;
        if curve.is_empty() {
            return Err(NO_SHEAR.into());
        }
        // the split needs the reference too: where there is no torque there is nothing to split
        self.torque()?;
        let loaded: Vec<f64> = curve.iter().map(|m| m.unwrap_or(0.0)).collect();
        self.window(&loaded, "free moment")
            .map(|corners| area(&corners))
    }
}

const EMPTY: &str = "the swing is empty";
const TORQUE: &str = "torque about this reference";
const NO_SHEAR: &str =
    "the recording has no horizontal forces, so shear, free moment and torque cannot be had";
const ONE_PLATE: &str = "one plate carries both feet, so there are no foot-to-foot measures";

/// Upward crossing of zero after the minimum of torque over the swing, the first that is sustained for 30 ms (or to
/// impact, the last corner).
fn turn_toward_target(corners: Vec<(f64, f64)>) -> Value {
    let (lowest_t, lowest_y) = lowest(&corners).ok_or(EMPTY)?;
    if lowest_y >= 0.0 {
        return Err("torque never turns away from the target".into());
    }
    let after: Vec<(f64, f64)> = corners.into_iter().filter(|c| c.0 >= lowest_t).collect();
    let crossings = upward_crossings(&after);
    let falls_back = |t: f64| {
        let soon = after.iter().filter(|c| c.0 > t && c.0 <= t + SUSTAINED_S);
        soon.into_iter().any(|c| c.1 < 0.0)
    };
    let sustained = crossings.iter().copied().find(|t| !falls_back(*t));
    sustained.ok_or_else(|| {
        if crossings.is_empty() {
            "torque does not return above zero before impact".into()
        } else {
            "torque rises above zero before impact but does not stay there for 30 ms".into()
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A line through corners at whole hundredths of a second.
    fn line(values: &[f64]) -> Vec<(f64, f64)> {
        (0..)
            .map(|i| 0.01 * f64::from(i))
            .zip(values.iter().copied())
            .collect()
    }

    #[test]
    fn a_blip_is_no_turn_toward_the_target() {
        let blip = line(&[0.0, -8.0, -2.0, 2.0, -2.0, -6.0, -6.0, -6.0, -6.0]);
        assert!(
            turn_toward_target(blip)
                .unwrap_err()
                .contains("does not stay")
        );
        let turned = line(&[
            0.0, -8.0, -2.0, 2.0, -2.0, -6.0, -2.0, 2.0, 6.0, 9.0, 9.0, 9.0,
        ]);
        assert!((turn_toward_target(turned).unwrap() - 0.065).abs() < 1e-12);
        let never = line(&[0.0, -8.0, -2.0, -1.0]);
        assert!(
            turn_toward_target(never)
                .unwrap_err()
                .contains("does not return")
        );
        // Up to impact is enough, however near it is.
        let late = line(&[0.0, -8.0, -2.0, 2.0]);
        assert!((turn_toward_target(late).unwrap() - 0.025).abs() < 1e-12);
    }
}
