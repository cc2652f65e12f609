//! The place a swing is recorded in: plates, their axes and channels, noise and faults of zero.

use footing_core::frame::Handed;
use footing_core::geometry::{Pose, Rotation, Vec3};
use footing_core::plate::Wrench;
use footing_core::recording::{
    EventKind, FootRole, ForceSense, Mark, Plate, PlateKind, Recording, Shear,
};
use rand_pcg::Pcg64;
use rand_pcg::rand_core::SeedableRng;

use crate::curve::unit_step;
use crate::ground::{Foot, Ground, Motion};
use crate::noise::normal;
use crate::swing::Swing;

/// One plate.
#[derive(Debug, Clone, PartialEq)]
pub struct PlateSpec {
    /// Whose foot it carries: lead, trail or both.
    pub foot: FootRole,
    /// How it stores its channels.
    pub kind: PlateKind,
    /// Direction of its +x in the lab, degrees counter-clockwise from lab +x.
    pub x_azimuth_deg: f64,
    /// Whether its +z points up.
    pub z_up: bool,
    /// Centre of its surface in the lab, m.
    pub centre_m: Vec3,
    /// Size along its x and y, m.
    pub size_m: (f64, f64),
    /// The point its moments are about, in the plate frame from the surface centre, m.
    pub moment_point_m: Vec3,
    /// Sensor half-spacing in x and y of an eight-channel plate, m.
    pub sensor_offset_m: (f64, f64),
    /// What each channel reads too much, in SI units, in the order of [`channel_names`].
    pub offsets: [f64; 8],
}

/// The channels of a kind of plate in the order they are stored, by the names of the rig format.
pub fn channel_names(kind: PlateKind) -> &'static [&'static str] {
    match kind {
        PlateKind::SixComponent => &["fx", "fy", "fz", "mx", "my", "mz"],
        PlateKind::ForceCop => &["fx", "fy", "fz", "cop_x", "cop_y", "tz"],
        PlateKind::EightChannel => &["fx12", "fx34", "fy14", "fy23", "fz1", "fz2", "fz3", "fz4"],
        PlateKind::VerticalCop => &["fz", "cop_x", "cop_y"],
    }
}

impl PlateSpec {
    /// Plate axes and surface centre in the lab.
    pub fn pose(&self) -> Pose {
        Pose {
            rotation: Rotation::level(self.x_azimuth_deg.to_radians(), self.z_up),
            centre_m: self.centre_m,
        }
    }

    /// Corners in the lab in the order of quadrants (+x+y), (−x+y), (−x−y), (+x−y), m.
    pub fn corners_m(&self) -> [Vec3; 4] {
        let (x, y) = (0.5 * self.size_m.0, 0.5 * self.size_m.1);
        [(x, y), (-x, y), (-x, -y), (x, -y)].map(|(x, y)| self.pose().point(Vec3::new(x, y, 0.0)))
    }

    /// Channels in SI units from the wrench about the surface centre, both in the plate frame.
    fn channels_from_wrench(&self, at_surface: Wrench) -> Vec<f64> {
        let force = at_surface.force_n;
        match self.kind {
            PlateKind::SixComponent => {
                let moment = at_surface.about(self.moment_point_m).moment_nm;
                vec![force.x, force.y, force.z, moment.x, moment.y, moment.z]
            }
            PlateKind::ForceCop => {
                // Makers write nothing where nobody stands.
                let place = (force.z.abs() >= UNLOADED_N).then(|| at_surface.cop_m());
                let (cx, cy) = place.flatten().unwrap_or((0.0, 0.0));
                let tz = at_surface.moment_nm.z - cx * force.y + cy * force.x;
                vec![force.x, force.y, force.z, cx, cy, tz]
            }
            PlateKind::EightChannel => {
                let moment = at_surface.about(self.moment_point_m).moment_nm;
                let (a, b) = self.sensor_offset_m;
                let (x, y) = (0.25 * moment.x / b, 0.25 * moment.y / a);
                let quarter = 0.25 * force.z;
                vec![
                    0.5 * force.x - 0.25 * moment.z / b,
                    0.5 * force.x + 0.25 * moment.z / b,
                    0.5 * force.y + 0.25 * moment.z / a,
                    0.5 * force.y - 0.25 * moment.z / a,
                    quarter + x - y,
                    quarter + x + y,
                    quarter - x + y,
                    quarter - x - y,
                ]
            }
            PlateKind::VerticalCop => {
                let place = (force.z.abs() >= UNLOADED_N).then(|| at_surface.cop_m());
                let (cx, cy) = place.flatten().unwrap_or((0.0, 0.0));
                vec![force.z, cx, cy]
            }
        }
    }

    /// Back from channels to the wrench about the surface centre, as a reader has to.
    fn wrench_from_channels(&self, channels: &[f64]) -> Wrench {
        let to_surface = -self.moment_point_m;
        match (self.kind, channels) {
            (PlateKind::SixComponent, &[fx, fy, fz, mx, my, mz]) => Wrench {
                force_n: Vec3::new(fx, fy, fz),
                moment_nm: Vec3::new(mx, my, mz),
            }
            .about(to_surface),
            (PlateKind::ForceCop, &[fx, fy, fz, cx, cy, tz]) => {
                Wrench::from_cop(Vec3::new(fx, fy, fz), (cx, cy), tz)
            }
            (PlateKind::EightChannel, &[c1, c2, c3, c4, c5, c6, c7, c8]) => {
                let (a, b) = self.sensor_offset_m;
                Wrench::from_eight_channels([c1, c2, c3, c4, c5, c6, c7, c8], a, b)
                    .about(to_surface)
            }
            (PlateKind::VerticalCop, &[fz, cx, cy]) => {
                Wrench::from_cop(Vec3::new(0.0, 0.0, fz), (cx, cy), 0.0)
            }
            _ => unreachable!("channels come from channels_from_wrench of the same plate"),
        }
    }
}

/// Below this vertical force a plate that stores centres of pressure writes zero, N.
const UNLOADED_N: f64 = 10.0;

/// Seconds from the first foot on a plate to quiet stance, in a recording with a lead-in.
const STEP_ON_S: f64 = 0.9;

/// The place and the instruments.
#[derive(Debug, Clone, PartialEq)]
pub struct Bay {
    /// Direction to the target, degrees counter-clockwise from lab +x.
    pub target_azimuth_deg: f64,
    /// Where the player's stance centre is in the lab, m.
    pub stance_centre_m: (f64, f64),
    /// The plates, in file order.
    pub plates: Vec<PlateSpec>,
    /// Whether files hold the ground's push on the player (true) or the reverse.
    pub on_player: bool,
    /// What the recording or rig file says about that.
    pub declared_sense: ForceSense,
    /// Sampling rate, Hz.
    pub rate_hz: f64,
    /// White noise on each force channel, SD, N.
    pub force_noise_n: f64,
    /// White noise on each moment channel, SD, N·m.
    pub moment_noise_nm: f64,
    /// Stretch with nobody on the plates before the player steps on, s; none means that the
    /// recording begins in quiet stance.
    pub unloaded_s: Option<f64>,
    /// Whether the recording carries a mark at impact.
    pub impact_mark: bool,
}

impl Default for Bay {
    /// Two six-component plates side by side along lab +x, z up, no noise, 1000 Hz.
    fn default() -> Self {
        Self::two_plates(PlateKind::SixComponent, 0.0, 0.0, true)
    }
}

impl Bay {
    /// Two like plates of 0.5 m (along the target line when `turn_deg` is 0 or 180) by 0.6 m
    /// with 4 cm between them, the player's stance centre midway; the plates' +x is turned
    /// `turn_deg` counter-clockwise from the target line.
    pub fn two_plates(kind: PlateKind, target_azimuth_deg: f64, turn_deg: f64, z_up: bool) -> Self {
        let azimuth = target_azimuth_deg.to_radians();
        let (tx, ty) = (libm::cos(azimuth), libm::sin(azimuth));
        let across = libm::sin(turn_deg.to_radians()).abs() > 0.5;
        let plate = |foot, sign: f64| PlateSpec {
            foot,
            kind,
            x_azimuth_deg: target_azimuth_deg + turn_deg,
            z_up,
            centre_m: Vec3::new(sign * 0.27 * tx, sign * 0.27 * ty, 0.0),
            size_m: if across { (0.6, 0.5) } else { (0.5, 0.6) },
            // The sensors lie below the surface.
            moment_point_m: Vec3::new(0.0, 0.0, if z_up { -0.04 } else { 0.04 }),
            sensor_offset_m: if across { (0.2, 0.15) } else { (0.15, 0.2) },
            offsets: [0.0; 8],
        };
        Self {
            target_azimuth_deg,
            stance_centre_m: (0.0, 0.0),
            plates: vec![plate(FootRole::Lead, 1.0), plate(FootRole::Trail, -1.0)],
            on_player: true,
            declared_sense: ForceSense::Auto,
            rate_hz: 1000.0,
            force_noise_n: 0.0,
            moment_noise_nm: 0.0,
            unloaded_s: None,
            impact_mark: false,
        }
    }

    /// The same bay moved over the floor: plates and player together.
    pub fn moved(mut self, by_m: (f64, f64)) -> Self {
        self.stance_centre_m.0 += by_m.0;
        self.stance_centre_m.1 += by_m.1;
        for plate in &mut self.plates {
            plate.centre_m = plate.centre_m + Vec3::new(by_m.0, by_m.1, 0.0);
        }
        self
    }

    /// When the swing's own clock starts on the recording's clock, s.
    pub fn swing_start_s(&self) -> f64 {
        self.unloaded_s.map_or(0.0, |unloaded| unloaded + STEP_ON_S)
    }

    /// Player-frame components `(t, a)` as lab x and y.
    fn to_lab(&self, handed: Handed, t: f64, a: f64) -> (f64, f64) {
        let azimuth = self.target_azimuth_deg.to_radians();
        let (cos, sin) = (libm::cos(azimuth), libm::sin(azimuth));
        // Toeward is clockwise of the target line for a right-handed player seen from above.
        let turn = mirror(handed);
        (t * cos + turn * a * sin, t * sin - turn * a * cos)
    }

    /// One foot's action on a plate about its surface centre, in the plate frame, on the player.
    fn wrench_of_foot(&self, plate: &PlateSpec, handed: Handed, foot: &Foot) -> Wrench {
        let (x, y) = self.to_lab(handed, foot.cop_t_m, foot.cop_a_m);
        let place = Vec3::new(
            x + self.stance_centre_m.0,
            y + self.stance_centre_m.1,
            plate.centre_m.z,
        );
        let (fx, fy) = self.to_lab(handed, foot.ft_n, foot.fa_n);
        let force = Vec3::new(fx, fy, foot.fz_n);
        let moment = (place - plate.centre_m).cross(force)
            + Vec3::new(0.0, 0.0, mirror(handed) * foot.free_moment_nm);
        let rotation = plate.pose().rotation;
        let into = |v: Vec3| Vec3::new(v.dot(rotation.x), v.dot(rotation.y), v.dot(rotation.z));
        Wrench {
            force_n: into(force),
            moment_nm: into(moment),
        }
    }

    /// The ground reaction at an instant of the recording's clock.
    pub fn ground(&self, motion: &Motion, t_s: f64) -> Ground {
        let start = self.swing_start_s();
        if t_s >= start {
            return motion.ground(t_s - start);
        }
        // Stepping on: the trail foot takes the whole weight, then the lead foot its share.
        let since = t_s - (start - STEP_ON_S);
        let still = motion.ground(0.0);
        let on = unit_step(since / 0.35)[0];
        let shared = unit_step((since - 0.4) / 0.4)[0];
        let total = still.lead.fz_n + still.trail.fz_n;
        let scaled = |foot: Foot, fz_n: f64| Foot {
            ft_n: foot.ft_n * shared,
            fa_n: foot.fa_n * shared,
            fz_n,
            ..foot
        };
        Ground {
            lead: scaled(still.lead, still.lead.fz_n * shared),
            trail: scaled(still.trail, total * on - still.lead.fz_n * shared),
        }
    }
}

fn mirror(handed: Handed) -> f64 {
    match handed {
        Handed::Right => 1.0,
        Handed::Left => -1.0,
    }
}

/// What a recorder would store: channels in SI units, before any unit or format is chosen.
#[derive(Debug, Clone, PartialEq)]
pub struct Channels {
    /// Sample times, s.
    pub t_s: Vec<f64>,
    /// `[plate][channel][sample]`, channels in the order of [`channel_names`].
    pub plates: Vec<Vec<Vec<f64>>>,
    /// Impact on the recording's clock, s.
    pub impact_s: f64,
}

/// Samples a swing through the plates of a bay. The seed decides the noise.
pub fn sample(swing: &Swing, bay: &Bay, seed: u64) -> Channels {
    let motion = Motion::new(swing);
    let duration = bay.swing_start_s() + swing.end_s();
    let impact = bay.swing_start_s() + swing.impact_s();
    let ground = |t: f64| bay.ground(&motion, t);
    Channels {
        impact_s: impact,
        ..sample_ground(ground, swing.handed, duration, bay, seed)
    }
}

/// Samples whatever the ground does to two feet, as a function of the recording's clock, through
/// the plates of a bay. Impact is left at nothing.
pub fn sample_ground(
    ground: impl Fn(f64) -> Ground,
    handed: Handed,
    duration_s: f64,
    bay: &Bay,
    seed: u64,
) -> Channels {
    let mut random = Pcg64::seed_from_u64(seed);
    let n = (duration_s * bay.rate_hz).floor() as usize + 1;
    let t_s: Vec<f64> = (0..n).map(|i| i as f64 / bay.rate_hz).collect();
    let mut plates: Vec<Vec<Vec<f64>>> = bay
        .plates
        .iter()
        .map(|plate| vec![Vec::with_capacity(n); channel_names(plate.kind).len()])
        .collect();
    let sense = if bay.on_player { 1.0 } else { -1.0 };
    let nobody = Wrench {
        force_n: Vec3::default(),
        moment_nm: Vec3::default(),
    };
    for &t in &t_s {
        let ground = ground(t);
        for (plate, stored) in bay.plates.iter().zip(&mut plates) {
            let feet: &[Foot] = match plate.foot {
                FootRole::Lead => &[ground.lead],
                FootRole::Trail => &[ground.trail],
                FootRole::Both | FootRole::Unassigned => &[ground.lead, ground.trail],
            };
            let mut wrench = feet.iter().fold(nobody, |sum, foot| {
                let one = bay.wrench_of_foot(plate, handed, foot);
                Wrench {
                    force_n: sum.force_n + one.force_n,
                    moment_nm: sum.moment_nm + one.moment_nm,
                }
            });
            wrench.force_n = wrench.force_n * sense;
            wrench.moment_nm = wrench.moment_nm * sense;
            let derived = matches!(plate.kind, PlateKind::ForceCop | PlateKind::VerticalCop);
            if derived {
                // Their noise is in the wrench the maker computed the centre of pressure from.
                wrench.force_n = wrench.force_n + noise(&mut random, bay.force_noise_n);
                wrench.moment_nm = wrench.moment_nm + noise(&mut random, bay.moment_noise_nm);
            }
            let channels = plate.channels_from_wrench(wrench);
            for (c, value) in channels.into_iter().enumerate() {
                let sd = match (derived, plate.kind, c) {
                    (true, ..) => 0.0,
                    (_, PlateKind::SixComponent, 3..) => bay.moment_noise_nm,
                    _ => bay.force_noise_n,
                };
                let noise = if sd > 0.0 {
                    sd * normal(&mut random)
                } else {
                    0.0
                };
                stored[c].push(value + noise + plate.offsets[c]);
            }
        }
    }
    Channels {
        t_s,
        plates,
        impact_s: 0.0,
    }
}

fn noise(random: &mut Pcg64, sd: f64) -> Vec3 {
    if sd > 0.0 {
        Vec3::new(normal(random), normal(random), normal(random)) * sd
    } else {
        Vec3::default()
    }
}

/// The recording a flawless reader would make of a swing recorded in a bay.
pub fn record(swing: &Swing, bay: &Bay, seed: u64) -> Recording {
    recording_of(bay, &sample(swing, bay, seed))
}

/// The recording a flawless reader would make of stored channels.
pub fn recording_of(bay: &Bay, channels: &Channels) -> Recording {
    let n = channels.t_s.len();
    let plates = bay
        .plates
        .iter()
        .zip(&channels.plates)
        .enumerate()
        .map(|(index, (spec, stored))| {
            let wrenches: Vec<Wrench> = (0..n)
                .map(|i| {
                    let values: Vec<f64> = stored.iter().map(|channel| channel[i]).collect();
                    spec.wrench_from_channels(&values)
                })
                .collect();
            let each = |f: fn(&Wrench) -> f64| wrenches.iter().map(f).collect::<Vec<f64>>();
            Plate {
                label: format!("plate {}", index + 1),
                kind: spec.kind,
                foot: spec.foot,
                lab_from_plate: spec.pose(),
                corners_in_lab_m: Some(spec.corners_m()),
                fz_n: each(|w| w.force_n.z),
                mx_nm: each(|w| w.moment_nm.x),
                my_nm: each(|w| w.moment_nm.y),
                shear: (spec.kind != PlateKind::VerticalCop).then(|| Shear {
                    fx_n: each(|w| w.force_n.x),
                    fy_n: each(|w| w.force_n.y),
                    mz_nm: each(|w| w.moment_nm.z),
                }),
            }
        })
        .collect();
    Recording {
        rate_hz: bay.rate_hz,
        t_s: channels.t_s.clone(),
        plates,
        marks: if bay.impact_mark {
            vec![Mark {
                label: "Trigger".to_string(),
                event: Some(EventKind::Impact),
                t_s: first_sample_from(bay, channels.impact_s) as f64 / bay.rate_hz,
                uncertainty_s: 0.5 / bay.rate_hz,
            }]
        } else {
            Vec::new()
        },
        target_azimuth_rad: Some(bay.target_azimuth_deg.to_radians()),
        force_sense: bay.declared_sense,
    }
}

/// The first sample at or after an instant.
pub fn first_sample_from(bay: &Bay, t_s: f64) -> usize {
    // A hair less, so that an instant on a sample is that sample in spite of rounding.
    (t_s * bay.rate_hz - 1e-6).ceil() as usize
}
