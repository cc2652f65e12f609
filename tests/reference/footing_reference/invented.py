"""An invented swing in closed form, and the files it may come in.

Nobody's data: smooth steps and bumps with the sizes a swing has, plus a little seeded noise so that
quiet stance looks like one.
"""

import json
from dataclasses import dataclass

import numpy as np

from . import mechanics


@dataclass
class Truth:
    """Force (t, a, z), CoP (t, a) and free moment of each foot in the player frame."""

    t: np.ndarray
    rate: float
    force: dict
    cop: dict
    free_moment: dict
    takeaway: float = 1.2
    top: float = 2.05
    impact: float = 2.33


def step(t, start, end):
    """Smooth step from 0 to 1."""
    x = np.clip((t - start) / (end - start), 0.0, 1.0)
    return x**3 * (10 - 15 * x + 6 * x**2)


def bump(t, start, end):
    """Smooth bump of height 1 between start and end."""
    middle = 0.5 * (start + end)
    return step(t, start, middle) - step(t, middle, end)


def swing(rate=1000.0, seed=7, mass=78.0):
    """Both feet of one swing of 3.6 s."""
    t = np.arange(int(round(3.6 * rate))) / rate
    noise = np.random.default_rng(seed)

    def jitter(size):
        return size * noise.standard_normal(len(t))

    weight = mass * 9.80665
    share = (
        0.5
        - 0.28 * step(t, 1.25, 1.95)
        + 0.55 * step(t, 1.98, 2.30)
        - 0.05 * step(t, 2.40, 3.00)
    )
    total = weight * (1 - 0.06 * bump(t, 1.22, 1.70) + 0.35 * bump(t, 2.00, 2.32) - 0.22 * bump(t, 2.28, 2.60))
    lead_fa = 70 * bump(t, 1.25, 1.75) - 165 * bump(t, 1.80, 2.36)
    trail_fa = -52 * bump(t, 1.22, 1.75) + 140 * bump(t, 1.82, 2.40)
    lead_ft = 45 * bump(t, 1.3, 2.0) - 60 * bump(t, 2.1, 2.5) - 12
    trail_ft = -30 * bump(t, 1.3, 2.0) + 85 * bump(t, 1.9, 2.3) + 12
    force = {
        "lead": np.stack([lead_ft, lead_fa, share * total], axis=-1),
        "trail": np.stack([trail_ft, trail_fa, (1 - share) * total], axis=-1),
    }
    cop = {
        "lead": np.stack(
            [
                0.26 + 0.01 * bump(t, 1.5, 2.6),
                0.012 + 0.03 * step(t, 1.3, 2.0) - 0.07 * step(t, 2.0, 2.4),
            ],
            axis=-1,
        ),
        "trail": np.stack(
            [
                -0.24 + 0.02 * step(t, 1.4, 2.3),
                -0.004 - 0.04 * step(t, 1.3, 2.0) + 0.09 * step(t, 2.0, 2.4),
            ],
            axis=-1,
        ),
    }
    free = {
        "lead": -3 * bump(t, 1.25, 1.8) + 15 * bump(t, 1.95, 2.4),
        "trail": -2 * bump(t, 1.25, 1.8) + 6 * bump(t, 1.9, 2.35),
    }
    for foot in force:
        force[foot] += np.stack([jitter(0.4), jitter(0.4), jitter(1.2)], axis=-1)
        cop[foot] += np.stack([jitter(2e-4), jitter(2e-4)], axis=-1)
        free[foot] += jitter(0.03)
    return Truth(t, rate, force, cop, free)


@dataclass
class Mount:
    """How a plate is built in: what its exporter writes for the same push of the ground."""

    kind: str
    x_azimuth_deg: float = 0.0
    z_axis: str = "up"
    centre: tuple = (0.0, 0.0, 0.0)
    moment_point: tuple = (0.0, 0.0, 0.0)
    sensor_offset: tuple = (0.12, 0.2)
    size: tuple = (0.4, 0.6)

    def axes(self):
        angle = np.radians(self.x_azimuth_deg)
        x = np.array([np.cos(angle), np.sin(angle), 0.0])
        z = np.array([0.0, 0.0, 1.0 if self.z_axis == "up" else -1.0])
        return np.stack([x, np.cross(z, x), z], axis=1)

    def corners(self):
        """Lab, in the order of quadrants (+x+y), (-x+y), (-x-y), (+x-y)."""
        half = 0.5 * np.array(self.size)
        signs = np.array([(1, 1), (-1, 1), (-1, -1), (1, -1)])
        in_plate = np.concatenate([signs * half, np.zeros((4, 1))], axis=1)
        return np.array(self.centre) + in_plate @ self.axes().T

    def wrench(self, force_lab, cop_lab, couple_lab):
        """Force, CoP, free moment and moment about the surface centre, plate frame."""
        axes = self.axes()
        force = force_lab @ axes
        arm = np.concatenate([cop_lab, np.full((len(cop_lab), 1), self.centre[2])], axis=1)
        cop = ((arm - np.array(self.centre)) @ axes)[:, :2]
        couple = couple_lab * (1.0 if self.z_axis == "up" else -1.0)
        return force, cop, couple, mechanics.wrench_from_cop(force, cop, couple)

    def channels(self, force_lab, cop_lab, couple_lab):
        """Columns by rig channel name, SI units, ground on player."""
        force, cop, couple, moment = self.wrench(force_lab, cop_lab, couple_lab)
        fx, fy, fz = force.T
        if self.kind == "six-component":
            about = mechanics.moment_about(force, moment, self.moment_point)
            return dict(zip(["fx", "fy", "fz", "mx", "my", "mz"], [*force.T, *about.T]))
        if self.kind == "force-cop":
            return dict(
                zip(["fx", "fy", "fz", "cop_x", "cop_y", "tz"], [fx, fy, fz, *cop.T, couple])
            )
        if self.kind == "vertical-cop":
            return dict(zip(["fz", "cop_x", "cop_y"], [fz, *cop.T]))
        if self.kind == "eight-channel":
            return eight_channels_for(
                force, mechanics.moment_about(force, moment, self.moment_point), *self.sensor_offset
            )
        raise ValueError(self.kind)

    def rig(self, foot, names):
        spec = {
            "foot": foot,
            "kind": self.kind,
            "columns": names,
            "x_azimuth_deg": self.x_azimuth_deg,
            "z_axis": self.z_axis,
            "centre_m": list(self.centre),
            "moment_point_m": list(self.moment_point),
            "size_m": list(self.size),
        }
        if self.kind == "eight-channel":
            spec["sensor_offset_m"] = list(self.sensor_offset)
        if self.kind in ("force-cop", "vertical-cop"):
            del spec["moment_point_m"]
        return spec


def eight_channels_for(force, moment, a, b):
    """Eight channels with these sums: the freedom left (two numbers) is spread evenly."""
    fx, fy, fz = force.T
    mx, my, mz = moment.T
    # fz1..fz4: sum fz, y-moment b(1+2-3-4) = mx, x-moment a(-1+2+3-4) = my, twist nil
    signs = np.array([(1, 1, -1), (1, 1, 1), (1, -1, 1), (1, -1, -1)], float)
    fz1, fz2, fz3, fz4 = (
        (s[0] * fz + s[1] * mx / b + s[2] * my / a) / 4 for s in signs
    )
    # mz = b(fx34 - fx12) + a(fy14 - fy23), half of it from each pair
    dx, dy = mz / (2 * b), mz / (2 * a)
    values = [(fx - dx) / 2, (fx + dx) / 2, (fy + dy) / 2, (fy - dy) / 2, fz1, fz2, fz3, fz4]
    return dict(zip(["fx12", "fx34", "fy14", "fy23", "fz1", "fz2", "fz3", "fz4"], values))


def to_lab(truth, foot, handed, azimuth_deg, origin=(0.0, 0.0)):
    """Force, CoP and vertical couple of a foot in the lab; `origin`: where the player stands.

    `both`: the one push that does what both feet do.
    """
    if foot == "both":
        parts = [to_lab(truth, f, handed, azimuth_deg, origin) for f in ("lead", "trail")]
        force = sum(f for f, _, _ in parts)
        cop = sum(c * f[:, 2:] for f, c, _ in parts) / force[:, 2:]
        couple = sum(m + vertical_moment(c - cop, f) for f, c, m in parts)
        return force, cop, couple
    angle = np.radians(azimuth_deg)
    toward = np.array([np.cos(angle), np.sin(angle)])
    # a right-hander faces a quarter turn clockwise from the target, a left-hander the other way
    facing = np.array([toward[1], -toward[0]]) * (1.0 if handed == "right" else -1.0)
    ground = np.stack([toward, facing])
    force = np.concatenate(
        [truth.force[foot][:, :2] @ ground, truth.force[foot][:, 2:]], axis=1
    )
    cop = truth.cop[foot] @ ground + np.array(origin)
    couple = truth.free_moment[foot] * (1.0 if handed == "right" else -1.0)
    return force, cop, couple


def vertical_moment(arm, force):
    """x Fy - y Fx."""
    return arm[:, 0] * force[:, 1] - arm[:, 1] * force[:, 0]


FORCE = {"N": 1.0, "kN": 1000.0, "lbf": 4.4482216152605, "kgf": 9.80665}
MOMENT = {"N.m": 1.0, "N.mm": 0.001, "lbf.ft": 4.4482216152605 * 0.3048}
LENGTH = {"m": 1.0, "cm": 0.01, "mm": 0.001, "in": 0.0254}
TIME = {"s": 1.0, "ms": 0.001}


def write_table(
    folder,
    truth,
    mounts,
    *,
    handed="right",
    azimuth_deg=0.0,
    origin=(0.0, 0.0),
    units=None,
    sense="on-player",
    delimiter=",",
    decimal=".",
    by_number=False,
    file="swing.csv",
):
    """A table and its rig; returns both paths."""
    units = {"force": "N", "moment": "N.m", "length": "m", "time": "s"} | (units or {})
    columns = {"Time": truth.t / TIME[units["time"]]}
    plates = []
    sign = -1.0 if sense == "on-plate" else 1.0
    for number, (foot, mount) in enumerate(mounts.items(), start=1):
        names = {}
        for channel, values in mount.channels(*to_lab(truth, foot, handed, azimuth_deg, origin)).items():
            if channel.startswith("f"):
                values = sign * values / FORCE[units["force"]]
            elif channel in ("mx", "my", "mz", "tz"):
                values = sign * values / MOMENT[units["moment"]]
            else:
                values = values / LENGTH[units["length"]]
            names[channel] = f"{channel.capitalize()} {number}"
            columns[names[channel]] = values
        plates.append((foot, mount, names))
    order = {name: f"#{i}" for i, name in enumerate(columns, start=1)}

    def call(name):
        return order[name] if by_number else name

    rig = {
        "format": "footing-rig/1",
        "name": "invented",
        "target_azimuth_deg": azimuth_deg,
        "force_sense": sense,
        "units": units,
        "time": {"column": call("Time")},
        "plates": [
            mount.rig(foot, {c: call(n) for c, n in names.items()}) for foot, mount, names in plates
        ],
    }
    table = np.stack(list(columns.values()), axis=1)
    lines = [] if by_number else [delimiter.join(columns)]
    for row in table:
        lines.append(delimiter.join(repr(float(v)).replace(".", decimal) for v in row))
    path, rig_path = folder / file, folder / "bay.rig.json"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    rig_path.write_text(json.dumps(rig, indent=1), encoding="utf-8")
    return path, rig_path
