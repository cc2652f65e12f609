//! Where the noisy swings are recorded: plates, bays, senses, hands and depths of sensors crossed
//! in full, unit systems dealt out so that they meet every level of everything else.

use crate::common::BAYS;
use footing_app::analysis::Handed;
use footing_core::recording::PlateKind;
use footing_simulate::Bay;
use footing_simulate::csv_out::{
    CM, INCH, KGF, KN, LBF, LBF_FT, M, MM, MS, N, N_M, N_MM, S, TableUnits, Unit,
};

const KINDS: [PlateKind; 3] = [
    PlateKind::SixComponent,
    PlateKind::ForceCop,
    PlateKind::EightChannel,
];
/// How far below the surface the point is that a plate's moments are about, m.
const DEPTHS_M: [f64; 4] = [0.0, 0.035, 0.06, 0.12];
const FORCES: [Unit; 4] = [N, KN, LBF, KGF];
const MOMENTS: [Unit; 3] = [N_M, N_MM, LBF_FT];
const LENGTHS: [Unit; 4] = [M, CM, MM, INCH];
const TIMES: [Unit; 2] = [S, MS];

/// How many levels each factor has: kind, bay, z up or down, sense, hand, depth; then the units
/// of force, moment, length and time.
const LEVELS: [usize; 10] = [
    KINDS.len(),
    BAYS.len(),
    2,
    2,
    2,
    DEPTHS_M.len(),
    FORCES.len(),
    MOMENTS.len(),
    LENGTHS.len(),
    TIMES.len(),
];
/// So many of them are crossed in full; the rest is dealt out.
const CROSSED: usize = 6;

/// Where and in which units one swing is recorded.
pub struct Place {
    levels: [usize; LEVELS.len()],
    pub bay: Bay,
    pub handed: Handed,
    pub units: TableUnits,
    /// All of that in words.
    pub name: String,
}

impl Place {
    fn new(levels: [usize; LEVELS.len()]) -> Self {
        let [
            kind,
            bay,
            z,
            sense,
            hand,
            depth,
            force,
            moment,
            length,
            time,
        ] = levels;
        let (kind, (azimuth, turn)) = (KINDS[kind], BAYS[bay]);
        let (z_up, on_player, depth_m) = (z == 0, sense == 0, DEPTHS_M[depth]);
        let handed = [Handed::Right, Handed::Left][hand];
        let units = units([force, moment, length, time]);
        let mut bay = Bay::two_plates(kind, azimuth, turn, z_up);
        bay.on_player = on_player;
        for plate in &mut bay.plates {
            plate.moment_point_m.z = if z_up { -depth_m } else { depth_m };
        }
        let name = format!(
            "{} {azimuth}° turn {turn}° z_up {z_up} on_player {on_player} {handed:?} depth {depth_m}, {}",
            kind.name(),
            units_name(&units),
        );
        Self {
            levels,
            bay,
            handed,
            units,
            name,
        }
    }
}

fn units([force, moment, length, time]: [usize; 4]) -> TableUnits {
    TableUnits {
        force: FORCES[force],
        moment: MOMENTS[moment],
        length: LENGTHS[length],
        time: TIMES[time],
    }
}

fn units_name(units: &TableUnits) -> String {
    [units.force, units.moment, units.length, units.time]
        .map(|unit| unit.name)
        .join(" ")
}

/// Every combination of levels, the last factor changing fastest.
fn crossed(levels: &[usize]) -> Vec<Vec<usize>> {
    let none = vec![Vec::new()];
    levels.iter().fold(none, |all, &count| {
        let longer = |start: &Vec<usize>, level| [start.as_slice(), &[level]].concat();
        all.iter()
            .flat_map(|start| (0..count).map(move |level| longer(start, level)))
            .collect()
    })
}

/// Every kind of plate × bay rotation and turn of the plates × z up or down × sense × hand × depth,
/// each in one of all unit systems: the one whose units have met its levels least often so far.
pub fn places() -> Vec<Place> {
    let systems = crossed(&LEVELS[CROSSED..]);
    // how often two levels of two factors have met
    let mut met = [[[[0_u32; 5]; 5]; LEVELS.len()]; LEVELS.len()];
    let pairs =
        || (CROSSED..LEVELS.len()).flat_map(|unit| (0..unit).map(move |other| (unit, other)));
    let mut out = Vec::new();
    for place in crossed(&LEVELS[..CROSSED]) {
        let full = |system: &Vec<usize>| -> [usize; LEVELS.len()] {
            let levels = [place.as_slice(), system].concat();
            levels.try_into().expect("one level of each factor")
        };
        let often = |system: &&Vec<usize>| -> u32 {
            let levels = full(system);
            pairs()
                .map(|(a, b)| met[a][b][levels[a]][levels[b]].pow(2))
                .sum()
        };
        let rarest = systems.iter().min_by_key(often).expect("unit systems");
        let levels = full(rarest);
        for (a, b) in pairs() {
            met[a][b][levels[a]][levels[b]] += 1;
        }
        out.push(Place::new(levels));
    }
    out
}

/// Every system of units.
pub fn unit_systems() -> Vec<(TableUnits, String)> {
    crossed(&LEVELS[CROSSED..])
        .into_iter()
        .map(|levels| units(levels.try_into().expect("four units")))
        .map(|units| (units, units_name(&units)))
        .collect()
}

/// What is crossed in full is, and of all the rest any three levels of any three factors meet.
#[test]
fn every_level_meets_every_other() {
    let places = places();
    let distinct = |factors: &[usize]| {
        let mut seen: Vec<Vec<usize>> = places
            .iter()
            .map(|p| factors.iter().map(|f| p.levels[*f]).collect())
            .collect();
        seen.sort();
        seen.dedup();
        seen.len()
    };
    let all: Vec<usize> = (0..CROSSED).collect();
    assert_eq!((places.len(), distinct(&all)), (480, 480));
    let mut triples = 0;
    for three in crossed(&[LEVELS.len(); 3]) {
        if three.is_sorted_by(|a, b| a < b) {
            let all: usize = three.iter().map(|f| LEVELS[*f]).product();
            assert_eq!(distinct(&three), all, "factors {three:?}");
            triples += 1;
        }
    }
    assert_eq!(triples, 120);
    assert_eq!(unit_systems().len(), 96);
}
