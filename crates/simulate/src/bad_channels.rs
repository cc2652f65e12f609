//! What a fault does to the channels, or to the lines of the table.

use footing_core::recording::FootRole;

use crate::bay::{Bay, Channels, sample, sample_ground};
use crate::curve::unit_step;
use crate::ground::{Foot, Ground, Motion};
use crate::swing::Swing;

/// Changes the cells of each line; lines are counted from 1, the header is line 1.
pub(crate) fn map_cells(text: &str, change: impl Fn(usize, &mut Vec<String>)) -> String {
    text.lines()
        .enumerate()
        .map(|(index, line)| {
            let mut cells: Vec<String> = line.split(',').map(str::to_string).collect();
            change(index + 1, &mut cells);
            cells.join(",") + "\n"
        })
        .collect()
}

/// The channels of the chosen plates and kinds times a factor.
pub(crate) fn scaled(
    mut channels: Channels,
    plates: impl Fn(usize) -> bool,
    kinds: impl Fn(usize) -> bool,
    factor: f64,
) -> Channels {
    for (_, plate) in channels
        .plates
        .iter_mut()
        .enumerate()
        .filter(|(index, _)| plates(*index))
    {
        for (_, values) in plate
            .iter_mut()
            .enumerate()
            .filter(|(channel, _)| kinds(*channel))
        {
            values.iter_mut().for_each(|value| *value *= factor);
        }
    }
    channels
}

/// Both feet on the first plate, noise alone on the second.
pub(crate) fn on_one_plate(swing: &Swing, clean: &Bay, seed: u64) -> Channels {
    let mut bay = clean.clone();
    bay.plates[0].foot = FootRole::Both;
    let centre = bay.plates[0].centre_m;
    bay.stance_centre_m = (centre.x, centre.y);
    let silent = Bay {
        force_noise_n: 0.0,
        moment_noise_nm: 0.0,
        ..bay.clone()
    };
    let mut channels = sample(swing, &bay, seed);
    let still = sample(swing, &silent, seed);
    for (values, without) in channels.plates[1].iter_mut().zip(&still.plates[1]) {
        for (value, exact) in values.iter_mut().zip(without) {
            *value -= exact;
        }
    }
    channels
}

/// The first plate's vertical force, cut off at 80 % of its peak.
pub(crate) fn clipped(mut channels: Channels) -> Channels {
    let fz = &mut channels.plates[0][2];
    let limit = 0.8 * fz.iter().fold(0.0_f64, |peak, v| peak.max(*v));
    for value in fz.iter_mut() {
        *value = value.min(limit);
    }
    channels
}

/// The player leaves the plates at the top.
pub(crate) fn stepping_off(swing: &Swing, clean: &Bay, seed: u64) -> Channels {
    let motion = Motion::new(swing);
    let left = |t: f64| {
        let on = 1.0 - unit_step((t - swing.top_s()) / 0.4)[0];
        let Ground { lead, trail } = motion.ground(t);
        let lighter = |foot: Foot| Foot {
            ft_n: foot.ft_n * on,
            fa_n: foot.fa_n * on,
            fz_n: foot.fz_n * on,
            free_moment_nm: foot.free_moment_nm * on,
            ..foot
        };
        Ground {
            lead: lighter(lead),
            trail: lighter(trail),
        }
    };
    sample_ground(left, swing.handed, swing.end_s(), clean, seed)
}

/// Only 15 % reach the recorder for 25 ms, 0.3 s before the top.
pub(crate) fn dropped_out(mut channels: Channels, swing: &Swing) -> Channels {
    let from = channels.t_s.partition_point(|t| *t < swing.top_s() - 0.3);
    let end = channels.t_s.partition_point(|t| *t < swing.top_s() - 0.275);
    for values in channels.plates.iter_mut().flatten() {
        values[from..end].iter_mut().for_each(|v| *v *= 0.15);
    }
    channels
}

/// The player bobs: 60 N up and down on each plate, three times in two seconds, all along.
pub(crate) fn bobbing(mut channels: Channels) -> Channels {
    for plate in &mut channels.plates {
        for (fz, t) in plate[2].iter_mut().zip(&channels.t_s) {
            *fz += 60.0 * libm::sin(9.0 * t);
        }
    }
    channels
}
