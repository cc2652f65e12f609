//! Stance: the ground reaction under each foot, in the player frame.

use crate::frame::{Handed, PlayerFrame};
use crate::geometry::Vec3;
use crate::note::{Level, Note};
use crate::recording::{FootRole, ForceSense, Plate, Recording};
use std::fmt;

/// The ground reaction of each foot over time.
#[derive(Debug, Clone, PartialEq)]
pub struct Stance {
    /// Times, seconds.
    pub t_s: Vec<f64>,
    /// Sampling rate, Hz.
    pub rate_hz: f64,
    /// How lab and player frame relate.
    pub frame: PlayerFrame,
    /// Who stands where.
    pub feet: Feet,
}

/// One foot on each plate, or both on one.
#[derive(Debug, Clone, PartialEq)]
pub enum Feet {
    /// One foot, one plate (or group of plates).
    Two {
        /// The foot nearer the target.
        lead: Box<FootLoad>,
        /// The foot further from it.
        trail: Box<FootLoad>,
    },
    /// Both feet on what is measured: no foot-to-foot measures.
    Both(Box<FootLoad>),
}

/// Ground reaction under one foot. Every series is linear in what the plate measured, so that
/// filtering them is filtering the plate; centre of pressure and free moment come after.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FootLoad {
    /// Vertical force, N, up is positive.
    pub fz_n: Vec<f64>,
    /// Force along the plate's normal, N, positive when the plate pushes up.
    pub normal_n: Vec<f64>,
    /// Normal force times the centre of pressure's place along the target line, N·m, from the
    /// lab origin.
    pub cop_t_moment_nm: Vec<f64>,
    /// Normal force times the centre of pressure's place toeward, N·m, from the lab origin.
    pub cop_a_moment_nm: Vec<f64>,
    /// Horizontal part; `None` when some plate under the foot does not measure it.
    pub shear: Option<FootShear>,
}

/// Horizontal part of the ground reaction under one foot.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FootShear {
    /// Force toward the target, N.
    pub ft_n: Vec<f64>,
    /// Force toward the toes, N.
    pub fa_n: Vec<f64>,
    /// Vertical moment about the vertical through the lab origin, N·m, positive toward the target.
    pub torque_about_origin_nm: Vec<f64>,
}

impl FootLoad {
    /// Every series, for those who treat them alike.
    pub fn series_mut(&mut self) -> Vec<&mut Vec<f64>> {
        let mut all = vec![
            &mut self.fz_n,
            &mut self.normal_n,
            &mut self.cop_t_moment_nm,
            &mut self.cop_a_moment_nm,
        ];
        if let Some(shear) = &mut self.shear {
            all.extend([
                &mut shear.ft_n,
                &mut shear.fa_n,
                &mut shear.torque_about_origin_nm,
            ]);
        }
        all
    }

    /// Centre of pressure `(t, a)` at sample `i`, metres from the lab origin; `None` when the foot
    /// carries less than `threshold_n`.
    ///
    /// ```text
    /// cop = c + R·(−M'y, M'x, 0)/F'z       plate frame, surface centre c, plate axes R
    /// ```
    pub fn cop_m(&self, i: usize, threshold_n: f64) -> Option<(f64, f64)> {
        let load = *self.normal_n.get(i)?;
        (load >= threshold_n && load > 0.0).then(|| {
            (
                self.cop_t_moment_nm[i] / load,
                self.cop_a_moment_nm[i] / load,
            )
        })
    }

    fn add_plate(&mut self, plate: &Plate, sense: f64, frame: PlayerFrame) {
        let n = plate.fz_n.len();
        let first = self.fz_n.is_empty();
        if first {
            for series in [
                &mut self.fz_n,
                &mut self.normal_n,
                &mut self.cop_t_moment_nm,
                &mut self.cop_a_moment_nm,
            ] {
                series.resize(n, 0.0);
            }
            self.shear = Some(FootShear {
                ft_n: vec![0.0; n],
                fa_n: vec![0.0; n],
                torque_about_origin_nm: vec![0.0; n],
            });
        }
        let rotation = plate.lab_from_plate.rotation;
        let centre = plate.lab_from_plate.centre_m;
        let up = if rotation.z.z < 0.0 { -1.0 } else { 1.0 };
        for i in 0..n {
            let (fz, mx, my) = (plate.fz_n[i], plate.mx_nm[i], plate.my_nm[i]);
            let (fx, fy) = plate
                .shear
                .as_ref()
                .map_or((0.0, 0.0), |s| (s.fx_n[i], s.fy_n[i]));
            let force = rotation.apply(Vec3::new(fx, fy, fz)) * sense;
            // centre of pressure times normal force: linear in the wrench, unlike the centre itself
            let cop = (rotation.apply(Vec3::new(-my, mx, 0.0)) + centre * fz) * (sense * up);
            self.fz_n[i] += force.z;
            self.normal_n[i] += fz * sense * up;
            self.cop_t_moment_nm[i] += frame.t(cop);
            self.cop_a_moment_nm[i] += frame.a(cop);
            if let (Some(own), Some(plate)) = (&mut self.shear, &plate.shear) {
                let moment = rotation.apply(Vec3::new(mx, my, plate.mz_nm[i])) * sense;
                let about_origin = moment + centre.cross(force);
                own.ft_n[i] += frame.t(force);
                own.fa_n[i] += frame.a(force);
                own.torque_about_origin_nm[i] += frame.toward_target(about_origin.z);
            }
        }
        if plate.shear.is_none() {
            self.shear = None;
        }
    }
}

/// What was made of the plates.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// The stance.
    pub stance: Stance,
    /// Per plate in file order: whose foot, `Unassigned` for plates left out.
    pub roles: Vec<FootRole>,
    /// What a person should know.
    pub notes: Vec<Note>,
}

/// Why nobody can be put on the plates: what is found, what is expected, what to try.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NoStance {
    /// What was found.
    pub what: &'static str,
    /// What was expected.
    pub expected: &'static str,
    /// What to do about it.
    pub remedy: &'static str,
}

impl NoStance {
    const NOBODY: Self = Self {
        what: "no plate is ever loaded",
        expected: "one or two plates with a player on them",
        remedy: "another recording, or check the rig file's feet and units",
    };
    const MIXED: Self = Self {
        what: "some plates carry one foot and another carries both",
        expected: "a plate for each foot, or plates that carry both",
        remedy: "\"foot\": \"lead\" or \"trail\" for every plate of the rig, or \"both\" for every one",
    };
    const LEAD_ONLY: Self = Self {
        what: "only the lead foot has a plate",
        expected: Self::FOR_EACH,
        remedy: "adding the trail foot's plate to the rig, or \"foot\": \"both\" if this plate carries both feet",
    };
    const TRAIL_ONLY: Self = Self {
        what: "only the trail foot has a plate",
        expected: Self::FOR_EACH,
        remedy: "adding the lead foot's plate to the rig, or \"foot\": \"both\" if this plate carries both feet",
    };
    const FOR_EACH: &'static str = "a plate for each foot, or one that carries both";
}

impl fmt::Display for NoStance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            what,
            expected,
            remedy,
        } = self;
        write!(f, "{what}; expected {expected}; try {remedy}")
    }
}

/// Turns plates into feet.
///
/// The sense of the stored force is settled per plate: a foot cannot pull on a plate, so the load
/// must push up (`Auto`), or it is as stated. A plate whose sense is reversed is turned over as a
/// whole, force and moment. Feet come from the rig; where the file does not say, the one or two
/// plates that carry weight are taken, and of two the one further along the target line is the
/// lead foot's.
///
/// `target_azimuth_rad` and `handed` give the player frame.
///
/// # Errors
/// [`NoStance`] when no plate is ever loaded or the rig names only one foot.
pub fn stance(
    recording: &Recording,
    target_azimuth_rad: f64,
    handed: Handed,
) -> Result<Standing, NoStance> {
    let frame = PlayerFrame::new(target_azimuth_rad, handed);
    let mut notes = Vec::new();
    let senses = senses(recording, &mut notes);
    let roles = roles(recording, &senses, frame, &mut notes)?;
    let gather = |role: FootRole| -> Option<Box<FootLoad>> {
        let mut load = FootLoad::default();
        for ((plate, sense), own) in recording.plates.iter().zip(&senses).zip(&roles) {
            if *own == role {
                load.add_plate(plate, *sense, frame);
            }
        }
        (!load.fz_n.is_empty()).then(|| Box::new(load))
    };
    let feet = match (gather(FootRole::Lead), gather(FootRole::Trail)) {
        (Some(lead), Some(trail)) => Feet::Two { lead, trail },
        (None, None) => Feet::Both(gather(FootRole::Both).ok_or(NoStance::NOBODY)?),
        (Some(_), None) => return Err(NoStance::LEAD_ONLY),
        (None, Some(_)) => return Err(NoStance::TRAIL_ONLY),
    };
    Ok(Standing {
        stance: Stance {
            t_s: recording.t_s.clone(),
            rate_hz: recording.rate_hz,
            frame,
            feet,
        },
        roles,
        notes,
    })
}

/// Every plate by itself, and all together as one load, in the lab's axes: `t` is lab x, `a` is
/// minus lab y, torque is about lab z. For looking at a recording that need not hold a swing.
pub fn by_plate(recording: &Recording) -> (Vec<FootLoad>, Stance, Vec<Note>) {
    let frame = PlayerFrame::new(0.0, Handed::Right);
    let mut notes = Vec::new();
    let senses = senses(recording, &mut notes);
    let mut all = FootLoad::default();
    let mut each = Vec::with_capacity(recording.plates.len());
    for (plate, sense) in recording.plates.iter().zip(&senses) {
        let mut own = FootLoad::default();
        own.add_plate(plate, *sense, frame);
        each.push(own);
        all.add_plate(plate, *sense, frame);
    }
    let stance = Stance {
        t_s: recording.t_s.clone(),
        rate_hz: recording.rate_hz,
        frame,
        feet: Feet::Both(Box::new(all)),
    };
    (each, stance, notes)
}

/// +1 where the stored wrench is that of the ground on the player, −1 where it is the reverse.
fn senses(recording: &Recording, notes: &mut Vec<Note>) -> Vec<f64> {
    match recording.force_sense {
        ForceSense::OnPlayer => return vec![1.0; recording.plates.len()],
        ForceSense::OnPlate => return vec![-1.0; recording.plates.len()],
        ForceSense::Auto => {}
    }
    let pushes: Vec<f64> = recording
        .plates
        .iter()
        .map(|plate| upward_push(plate).unwrap_or(0.0))
        .collect();
    // A plate that is never loaded shares the sense of the most loaded one.
    let strongest = pushes.iter().copied().fold(
        0.0,
        |best: f64, p| if p.abs() > best.abs() { p } else { best },
    );
    let senses: Vec<f64> = pushes
        .iter()
        .map(|p| if *p == 0.0 { strongest } else { *p })
        .map(|p| if p < 0.0 { -1.0 } else { 1.0 })
        .collect();
    if senses.iter().any(|s| *s < 0.0) {
        let which: Vec<&str> = recording
            .plates
            .iter()
            .zip(&senses)
            .filter(|(_, s)| **s < 0.0)
            .map(|(plate, _)| plate.label.as_str())
            .collect();
        notes.push(Note::new(
            "sense-turned",
            Level::Note,
            format!(
                "{}: the stored force is that of the player on the plate; it was turned over, because a loaded plate must push up.",
                which.join(", ")
            ),
        ));
    }
    senses
}

/// Mean vertical force in the lab over the samples that carry at least a fifth of the plate's
/// peak, in the stored sense; `None` when the plate never carries 50 N.
fn upward_push(plate: &Plate) -> Option<f64> {
    const LOADED_N: f64 = 50.0;
    let rotation = plate.lab_from_plate.rotation;
    let vertical = |i: usize| {
        let (fx, fy) = plate
            .shear
            .as_ref()
            .map_or((0.0, 0.0), |s| (s.fx_n[i], s.fy_n[i]));
        rotation.apply(Vec3::new(fx, fy, plate.fz_n[i])).z
    };
    let peak = (0..plate.fz_n.len())
        .map(|i| vertical(i).abs())
        .fold(0.0, f64::max);
    if peak < LOADED_N {
        return None;
    }
    let (sum, count) = (0..plate.fz_n.len())
        .map(vertical)
        .filter(|f| f.abs() >= 0.2 * peak)
        .fold((0.0, 0_usize), |(sum, n), f| (sum + f, n + 1));
    Some(sum / count as f64)
}

fn roles(
    recording: &Recording,
    senses: &[f64],
    frame: PlayerFrame,
    notes: &mut Vec<Note>,
) -> Result<Vec<FootRole>, NoStance> {
    let stated: Vec<FootRole> = recording.plates.iter().map(|p| p.foot).collect();
    if stated.iter().any(|r| *r != FootRole::Unassigned) {
        let feet = stated
            .iter()
            .any(|r| matches!(r, FootRole::Lead | FootRole::Trail));
        if feet && stated.contains(&FootRole::Both) {
            return Err(NoStance::MIXED);
        }
        return Ok(stated);
    }
    let n = recording.t_s.len().max(1) as f64;
    let means: Vec<f64> = recording
        .plates
        .iter()
        .zip(senses)
        .map(|(plate, sense)| {
            let up = plate.lab_from_plate.rotation.z.z;
            (plate.fz_n.iter().sum::<f64>() / n * sense * up).max(0.0)
        })
        .collect();
    let total: f64 = means.iter().sum();
    let mut loaded: Vec<usize> = (0..means.len())
        .filter(|i| means[*i] >= 0.05 * total && means[*i] > 10.0)
        .collect();
    loaded.sort_by(|a, b| means[*b].total_cmp(&means[*a]));
    let mut roles = vec![FootRole::Unassigned; means.len()];
    match loaded.as_slice() {
        [] => return Err(NoStance::NOBODY),
        [only] => {
            roles[*only] = FootRole::Both;
            if means.len() > 1 {
                notes.push(Note::new(
                    "one-plate",
                    Level::Warn,
                    format!(
                        "Only {} carries weight: both feet are taken to stand on it, so foot-to-foot measures are absent. If each foot stood on a plate, check the channels of the others.",
                        recording.plates[*only].label
                    ),
                ));
            }
        }
        [first, second, rest @ ..] => {
            let along = |i: usize| frame.t(recording.plates[i].lab_from_plate.centre_m);
            let (lead, trail) = if along(*first) > along(*second) {
                (*first, *second)
            } else {
                (*second, *first)
            };
            roles[lead] = FootRole::Lead;
            roles[trail] = FootRole::Trail;
            if (along(lead) - along(trail)).abs() < 0.05 {
                notes.push(Note::new(
                    "feet-undecided",
                    Level::Warn,
                    "The two plates lie side by side across the target line, so lead and trail cannot be told apart: set the target direction.",
                ));
            }
            if !rest.is_empty() {
                notes.push(Note::new(
                    "plates-chosen",
                    Level::Warn,
                    format!(
                        "{} plates carry weight; the two most loaded, {} and {}, were taken. Say in a rig file which plate is whose, or keep everything else off the plates.",
                        loaded.len(),
                        recording.plates[lead].label,
                        recording.plates[trail].label
                    ),
                ));
            }
        }
    }
    Ok(roles)
}

impl Stance {
    /// The feet as a list: lead and trail, or the one load that carries both.
    pub fn loads(&self) -> Vec<&FootLoad> {
        match &self.feet {
            Feet::Two { lead, trail } => vec![lead, trail],
            Feet::Both(both) => vec![both],
        }
    }

    /// The same, to be changed in place.
    pub fn loads_mut(&mut self) -> Vec<&mut FootLoad> {
        match &mut self.feet {
            Feet::Two { lead, trail } => vec![lead, trail],
            Feet::Both(both) => vec![both],
        }
    }

    /// Sum of one quantity over the feet, sample by sample.
    pub fn sum(&self, of: impl Fn(&FootLoad) -> &[f64]) -> Vec<f64> {
        let mut loads = self.loads().into_iter();
        let Some(first) = loads.next() else {
            return Vec::new();
        };
        let mut sum = of(first).to_vec();
        for load in loads {
            for (s, v) in sum.iter_mut().zip(of(load)) {
                *s += v;
            }
        }
        sum
    }

    /// Whole-body vertical force, N.
    pub fn total_fz_n(&self) -> Vec<f64> {
        self.sum(|load| &load.fz_n)
    }

    /// Whole-body horizontal force and vertical torque about the lab origin; `None` when some
    /// plate does not measure shear.
    pub fn total_shear(&self) -> Option<FootShear> {
        if self.loads().iter().any(|load| load.shear.is_none()) {
            return None;
        }
        fn part(load: &FootLoad) -> &FootShear {
            const EMPTY: &FootShear = &FootShear {
                ft_n: Vec::new(),
                fa_n: Vec::new(),
                torque_about_origin_nm: Vec::new(),
            };
            load.shear.as_ref().unwrap_or(EMPTY)
        }
        Some(FootShear {
            ft_n: self.sum(|load| &part(load).ft_n),
            fa_n: self.sum(|load| &part(load).fa_n),
            torque_about_origin_nm: self.sum(|load| &part(load).torque_about_origin_nm),
        })
    }

    /// Combined centre of pressure `(t, a)` at sample `i`, metres from the lab origin: the mean of
    /// the feet's, weighted by load (exact on a common surface plane); `None` below the threshold.
    pub fn combined_cop_m(&self, i: usize, threshold_n: f64) -> Option<(f64, f64)> {
        let (mut load, mut t, mut a) = (0.0, 0.0, 0.0);
        for foot in self.loads() {
            load += foot.normal_n.get(i)?;
            t += foot.cop_t_moment_nm[i];
            a += foot.cop_a_moment_nm[i];
        }
        (load >= threshold_n && load > 0.0).then(|| (t / load, a / load))
    }
}
