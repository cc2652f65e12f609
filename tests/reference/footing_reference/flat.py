"""Instants read where torque is flat, by the definitions in `core/docs/measure-errors.md` and `measures/flat.rs`.

The fit is numpy's least squares over a power basis, the signs are runs: another way to the same numbers.
"""

import numpy as np

NOISE_LAG_S = 0.015
FLAT_SD, FLAT_PART, DEGREE = 32.0, 0.25, 4
SIGN_SD = 4.0
AFTER_S = 0.1


def noise_sd(signal, rate):
    """Half the mean square of the differences between samples 15 ms apart is the noise's variance."""
    lag = max(int(np.floor(NOISE_LAG_S * rate + 0.5)), 1)
    signal = signal[np.isfinite(signal)]
    apart = signal[lag:] - signal[:-lag]
    return float(np.sqrt(0.5 * np.mean(apart**2))) if len(apart) else 0.0


def vertex(times, values):
    """The highest point, moved to the top of the parabola through it and its neighbours."""
    i = int(np.argmax(values))
    if i in (0, len(values) - 1):
        return float(times[i])
    # about the point itself, or the squares of seconds swamp the curvature
    a, b, _ = np.polyfit(times[i - 1 : i + 2] - times[i], values[i - 1 : i + 2], 2)
    return float(times[i] if a >= 0 else times[i] - b / (2 * a))


def place_of_highest(times, values, sd):
    """Where a curve of the 4th degree through the flat stretch around the highest sample is highest."""
    peak = int(np.argmax(values))
    low = values < values[peak] - min(FLAT_SD * sd, FLAT_PART * abs(values[peak]))
    before, after = np.flatnonzero(low[:peak]), np.flatnonzero(low[peak:])
    first = before[-1] + 1 if len(before) else 0
    end = peak + after[0] if len(after) else len(values)
    if end - first < DEGREE + 2:
        return vertex(times, values)
    times, values = times[first:end], values[first:end]
    middle, half = 0.5 * (times[0] + times[-1]), 0.5 * (times[-1] - times[0])
    fit = np.polynomial.Polynomial.fit((times - middle) / half, values, DEGREE, domain=[-1, 1])
    return vertex(times, fit((times - middle) / half))


def time_below_zero(times, values, until, sd):
    """Time below zero until an instant, signs beneath the noise not believed."""
    firm = np.flatnonzero(np.abs(values) > SIGN_SD * sd)
    if not len(firm):
        return 0.0
    negative = values[firm] < 0
    changes = np.flatnonzero(negative[1:] != negative[:-1])
    edges = [times[0]]
    for change in changes:
        between = slice(firm[change], firm[change + 1] + 1)
        slope, level = np.polyfit(times[between] - times[firm[change]], values[between], 1)
        at = times[firm[change]] - level / slope
        edges.append(min(float(np.clip(at, times[between][0], times[between][-1])), until))
    edges.append(until)
    signs = np.concatenate([negative[:1], negative[changes + 1]])
    return float(np.sum(np.diff(edges)[signs]))
