"""One plate's mechanics.

Source: force-plate formulae sheet (FORMULAE 1/3, 03.02.99); Winter DA (2009) Biomechanics and Motor
Control of Human Movement, 4th ed., ch. 5.
"""

import numpy as np


def moment_about(force_n, moment_nm, from_old_to_new_m):
    """Moment about a point displaced by `from_old_to_new_m`: M' = M + F x o."""
    return moment_nm + np.cross(force_n, np.asarray(from_old_to_new_m, float))


def centre_of_pressure(force_n, moment_nm):
    """CoP in the surface plane from the point the moment is about: (-My, Mx) / Fz, metres."""
    fz = force_n[..., 2]
    return np.stack([-moment_nm[..., 1] / fz, moment_nm[..., 0] / fz], axis=-1)


def free_moment(force_n, moment_nm):
    """Vertical moment about the CoP: Mz - x Fy + y Fx, N.m."""
    cop = centre_of_pressure(force_n, moment_nm)
    return moment_nm[..., 2] - cop[..., 0] * force_n[..., 1] + cop[..., 1] * force_n[..., 0]


def wrench_from_cop(force_n, cop_m, free_moment_nm):
    """Moment about the surface centre of force acting at a point, plus a couple: r x F + (0, 0, Tz)."""
    arm = np.concatenate([cop_m, np.zeros(cop_m.shape[:-1] + (1,))], axis=-1)
    moment = np.cross(arm, force_n)
    moment[..., 2] += free_moment_nm
    return moment


def eight_channels(channels, a_m, b_m):
    """Force and moment of an eight-channel plate about the middle of its sensors.

    channels: (..., 8) fx12 fx34 fy14 fy23 fz1 fz2 fz3 fz4. Sensor 1 sits at (+a, +b), 2 at (-a, +b),
    3 at (-a, -b), 4 at (+a, -b): the sums are the moments of those eight forces.
    """
    fx12, fx34, fy14, fy23, fz1, fz2, fz3, fz4 = np.moveaxis(np.asarray(channels, float), -1, 0)
    corners = [(+a_m, +b_m), (-a_m, +b_m), (-a_m, -b_m), (+a_m, -b_m)]
    force = np.stack([fx12 + fx34, fy14 + fy23, fz1 + fz2 + fz3 + fz4], axis=-1)
    mx = sum(y * fz for (_, y), fz in zip(corners, (fz1, fz2, fz3, fz4)))
    my = sum(-x * fz for (x, _), fz in zip(corners, (fz1, fz2, fz3, fz4)))
    mz = a_m * fy14 - a_m * fy23 - b_m * fx12 + b_m * fx34
    return force, np.stack([mx, my, mz], axis=-1)


def screw_axis_point(force_n, moment_nm):
    """Where the screw axis meets the surface (Shimba 1984): not the CoP."""
    fx, fy, fz = force_n
    mx, my, mz = moment_nm
    size2 = fx * fx + fy * fy + fz * fz
    return np.array(
        [
            (fy * mz - fz * my) / size2 - (fx * fx * my - fx * fy * mx) / (size2 * fz),
            (fz * mx - fx * mz) / size2 - (fx * fy * my - fy * fy * mx) / (size2 * fz),
        ]
    )
