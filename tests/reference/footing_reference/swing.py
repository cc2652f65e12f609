"""From plates to feet, torque and the curves that measures are read from.

Player frame (t, a, z): t toward the target, a the way the player faces, z up; torque toward the
target is positive. See the definitions in the documentation.
"""

from dataclasses import dataclass

import numpy as np
from scipy.interpolate import make_interp_spline
from scipy.signal import butter, sosfiltfilt

from .recording import Recording

GRAVITY = 9.80665  # m/s^2, 3rd CGPM (1901), resolution 2


def zero_lag_sections(cutoff_hz, rate_hz):
    """Second-order Butterworth whose forward-and-backward run has gain 1/sqrt(2) at the cut-off.

    The warped frequency is corrected: tan(pi f'/fs) = tan(pi f/fs) / (sqrt(2) - 1)^(1/4).
    """
    correction = (2 ** (1 / 2) - 1) ** (1 / 4)
    single = rate_hz / np.pi * np.arctan(np.tan(np.pi * cutoff_hz / rate_hz) / correction)
    return butter(2, single, fs=rate_hz, output="sos")


def low_pass(signal, cutoff_hz, rate_hz):
    """Zero-lag low-pass along axis 0, scipy's default padding."""
    return sosfiltfilt(zero_lag_sections(cutoff_hz, rate_hz), signal, axis=0)


@dataclass
class Foot:
    """Ground reaction under one foot, player frame; moments about the lab origin."""

    ft: np.ndarray
    fa: np.ndarray
    fz: np.ndarray
    cop_t_times_fz: np.ndarray
    cop_a_times_fz: np.ndarray
    torque_origin: np.ndarray
    shear: bool

    def __add__(self, other):
        return Foot(
            self.ft + other.ft,
            self.fa + other.fa,
            self.fz + other.fz,
            self.cop_t_times_fz + other.cop_t_times_fz,
            self.cop_a_times_fz + other.cop_a_times_fz,
            self.torque_origin + other.torque_origin,
            self.shear and other.shear,
        )

    def cop(self, threshold_n):
        """(n, 2) in (t, a), metres from the lab origin; NaN below the threshold."""
        loaded = self.fz >= threshold_n
        safe = np.where(loaded, self.fz, np.nan)
        return np.stack([self.cop_t_times_fz / safe, self.cop_a_times_fz / safe], axis=-1)

    def torque_about(self, place):
        """Vertical moment about `place` (t, a): T_O - (a F_t - t F_a)."""
        return self.torque_origin - (place[..., 1] * self.ft - place[..., 0] * self.fa)


@dataclass
class Swing:
    """Everything over time."""

    t: np.ndarray
    feet: dict
    total: Foot
    threshold: float
    mass: float
    stance_centre: np.ndarray
    address: dict
    reference: np.ndarray
    torque: np.ndarray
    quiet: slice

    def cop(self, name):
        return (self.total if name == "total" else self.feet[name]).cop(self.threshold)

    def free_moment(self, name):
        foot = self.total if name == "total" else self.feet[name]
        return foot.torque_about(foot.cop(self.threshold))

    def cop_angle_deg(self):
        """atan2(a_lead - a_trail, t_lead - t_trail)."""
        d = self.cop("lead") - self.cop("trail")
        return np.degrees(np.arctan2(d[:, 1], d[:, 0]))


def feet_of(recording: Recording, handed, azimuth_deg=None, low_pass_hz=None):
    """Lead and trail foot, or `both`, from a recording's plates."""
    recording = recording.turned_to_player()
    if azimuth_deg is None:
        azimuth_deg = recording.target_azimuth_deg or 0.0
    angle = np.radians(azimuth_deg)
    toward = np.array([np.cos(angle), np.sin(angle), 0.0])
    up = np.array([0.0, 0.0, 1.0])
    # A right-hander has the target on the left: facing is the target direction turned clockwise.
    facing = np.cross(toward, up) if handed == "right" else np.cross(up, toward)
    sense = 1.0 if handed == "right" else -1.0
    loads = []
    for plate in recording.plates:
        force_in_plate, moment_in_plate = plate.force, plate.moment
        if low_pass_hz is not None:
            force_in_plate = low_pass(force_in_plate, low_pass_hz, recording.rate)
            moment_in_plate = low_pass(moment_in_plate, low_pass_hz, recording.rate)
        force = force_in_plate @ plate.axes.T
        about_centre = moment_in_plate @ plate.axes.T
        # where the horizontal moments about the surface plane vanish, times Fz (level plates)
        cop_times_fz = np.stack(
            [
                plate.centre[0] * force[:, 2] - about_centre[:, 1],
                plate.centre[1] * force[:, 2] + about_centre[:, 0],
                np.zeros(len(force)),
            ],
            axis=-1,
        )
        origin_moment = about_centre + np.cross(plate.centre, force)
        load = Foot(
            force @ toward,
            force @ facing,
            force[:, 2],
            cop_times_fz @ toward,
            cop_times_fz @ facing,
            sense * origin_moment[:, 2],
            plate.shear,
        )
        loads.append((plate, load))
    if all(plate.foot for plate, _ in loads):
        feet = {}
        for plate, load in loads:
            feet[plate.foot] = feet[plate.foot] + load if plate.foot in feet else load
        return feet
    if len(loads) == 1:
        return {"both": loads[0][1]}
    busiest = sorted(loads, key=lambda pl: -pl[1].fz.max())[:2]
    lead, trail = sorted(busiest, key=lambda pl: -float(pl[0].centre @ toward))
    return {"lead": lead[1], "trail": trail[1]}


def swing(recording, *, handed, about, quiet_s, azimuth_deg=None, low_pass_hz=None, mass_kg=None):
    """All curves about one reference; `quiet_s` is the stretch of quiet stance (address)."""
    feet = feet_of(recording, handed, azimuth_deg, low_pass_hz)
    total = sum(list(feet.values())[1:], start=list(feet.values())[0])
    t = recording.t
    step = 0.25 / recording.rate
    inside = np.flatnonzero((t >= quiet_s[0] - step) & (t <= quiet_s[1] + step))
    quiet = slice(int(inside[0]), int(inside[-1]) + 1)
    weight = float(np.mean(total.fz[quiet]))
    threshold = max(30.0, 0.05 * weight)
    mass = weight / GRAVITY if mass_kg is None else mass_kg
    address = {name: np.nanmean(foot.cop(threshold)[quiet], axis=0) for name, foot in feet.items()}
    combined = np.nanmean(total.cop(threshold)[quiet], axis=0)
    if "lead" in feet:
        centre = 0.5 * (address["lead"] + address["trail"])
    else:
        centre = combined
    if about == "stance-centre":
        reference = np.broadcast_to(centre, (len(t), 2))
    elif about == "combined-cop":
        reference = total.cop(threshold)
    elif about == "com":
        reference = centre_of_mass(t, total, mass, combined, quiet.stop - 1)
    else:
        raise ValueError(about)
    return Swing(
        t,
        feet,
        total,
        threshold,
        mass,
        centre,
        address,
        reference,
        total.torque_about(reference),
        quiet,
    )


def centre_of_mass(t, total, mass, start_place, start):
    """(t, a) of the centre of mass: the acceleration's sampled line integrated twice, exactly.

    At rest over the mean combined CoP until the end of quiet stance.
    """
    force = np.stack([total.ft, total.fa], axis=-1)
    path = np.tile(start_place, (len(t), 1))
    line = make_interp_spline(t[start:] - t[start], force[start:] / mass, k=1)
    path[start:] += line.antiderivative(2)(t[start:] - t[start])
    return path
