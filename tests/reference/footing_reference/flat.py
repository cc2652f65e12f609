"""What noise makes uncertain, by the definitions in `core/docs/measure-errors.md`, `measures/flat.rs` and `local.rs`.

The fit is numpy's least squares over a power basis, the signs are runs: another way to the same numbers.
"""

import numpy as np

NOISE_LAG_S = 0.015
REACH_S, WIDTHS_SD, DEGREE, MISFIT_SD = 0.1503, (32.0, 16.0, 8.0, 4.0), 4, 1.5
SIGN_SD = 4.0


def noise_sd(signal, rate):
    """Half the mean square of the differences between samples 15 ms apart is the noise's variance."""
    lag = max(int(np.floor(NOISE_LAG_S * rate + 0.5)), 1)
    signal = signal[np.isfinite(signal)]
    apart = signal[lag:] - signal[:-lag]
    return float(np.sqrt(0.5 * np.mean(apart**2))) if len(apart) else 0.0


def around(t, y, start, end):
    """The sampled line from a little before `start` to a little after `end`, both inserted as corners."""
    near = (t >= start - REACH_S) & (t <= end + REACH_S)
    ends = [when for when in (start, end) if when not in t[near]]
    times = np.concatenate([t[near], ends])
    values = np.concatenate([y[near], np.interp(ends, t, y)])
    order = np.argsort(times)
    return times[order], values[order]


def stretch(times, apart, at, width):
    """The unbroken run of corners around one that are near it and no further `apart` than a width."""
    far = ~((apart <= width) & (np.abs(times - times[at]) <= REACH_S))
    before, after = np.flatnonzero(far[:at]), np.flatnonzero(far[at:])
    return slice(
        before[-1] + 1 if len(before) else 0, at + after[0] if len(after) else len(times)
    )


def curve_around(times, values, apart, at, sd):
    """The widest stretch around a corner that a curve of the 4th degree follows, moved onto that curve."""
    for width in WIDTHS_SD if sd > 0 else ():
        run = stretch(times, apart, at, width * sd)
        t, y = times[run], values[run]
        if len(t) < DEGREE + 2:
            return None
        middle, half = 0.5 * (t[0] + t[-1]), 0.5 * (t[-1] - t[0])
        fit = np.polynomial.Polynomial.fit((t - middle) / half, y, DEGREE, domain=[-1, 1])
        curve = fit((t - middle) / half)
        if np.sqrt(np.mean((curve - y) ** 2)) <= MISFIT_SD * sd:
            return t, curve
    return None


def vertex(times, values):
    """The highest point, moved to the top of the parabola through it and its neighbours."""
    i = int(np.argmax(values))
    if i in (0, len(values) - 1):
        return float(times[i])
    # about the point itself, or the squares of seconds swamp the curvature
    a, b, _ = np.polyfit(times[i - 1 : i + 2] - times[i], values[i - 1 : i + 2], 2)
    return float(times[i] if a >= 0 else times[i] - b / (2 * a))


def highest(times, values, start, end, sd_at):
    """Where and how high a line, or the curve through it, is highest between two instants."""
    inside = (times >= start) & (times <= end) & np.isfinite(values)
    peak = int(np.flatnonzero(inside)[np.argmax(values[inside])])
    curve = curve_around(times, values, values[peak] - values, peak, sd_at(times[peak]))
    if curve is not None:
        times, values = curve
        inside = (times >= start) & (times <= end)
    return vertex(times[inside], values[inside]), float(np.max(values[inside]))


def lowest(times, values, start, end, sd_at):
    """Where and how low it is lowest."""
    when, height = highest(times, -values, start, end, sd_at)
    return when, -height


def crossing(times, values, near, upward, start, end, sd):
    """The crossing of the curve nearest to that of the line, between two instants; else that of the line."""
    at = int(np.searchsorted(times, near))
    curve = curve_around(times, values, np.abs(values), at, sd) if at < len(times) else None
    if curve is None:
        return near
    t, y = curve[0], curve[1] if upward else -curve[1]
    i = np.flatnonzero((y[:-1] < 0) & (y[1:] >= 0))
    at = t[i] - y[i] * (t[i + 1] - t[i]) / (y[i + 1] - y[i])
    at = at[(at >= start) & (at <= end)]
    return float(at[np.argmin(np.abs(at - near))]) if len(at) else near


def time_below_zero(times, values, start, until, sd):
    """Time below zero between two instants, signs beneath the noise not believed."""
    firm = np.flatnonzero((np.abs(values) > SIGN_SD * sd) & (times >= start))
    if not len(firm):
        return 0.0
    negative = values[firm] < 0
    changes = np.flatnonzero(negative[1:] != negative[:-1])
    edges = [start]
    for change in changes:
        between = slice(firm[change], firm[change + 1] + 1)
        t = times[between]
        slope, level = np.polyfit(t - t[0], values[between], 1)
        at = float(np.clip(t[0] - level / slope, t[0], t[-1]))
        at = crossing(times, values, at, negative[change], t[0], t[-1], sd)
        edges.append(min(at, until))
    edges.append(until)
    signs = np.concatenate([negative[:1], negative[changes + 1]])
    return float(np.sum(np.diff(edges)[signs]))
