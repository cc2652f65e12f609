"""The measures, by id, from a swing's curves and the times of its events."""

import numpy as np

from . import flat
from .swing import GRAVITY, Swing

SUSTAINED_S = 0.03  # a crossing counts when torque stays above zero that long


def window(t, y, start, end):
    """Corners of the sampled line from start to end, both ends inserted."""
    inner = (t > start) & (t < end)
    times = np.concatenate([[start], t[inner], [end]])
    values = np.interp(times, t, y)
    return times, values


def with_crossings(times, values):
    """The same line with its zero crossings inserted as corners."""
    flips = np.flatnonzero(values[:-1] * values[1:] < 0)
    fraction = values[flips] / (values[flips] - values[flips + 1])
    crossings = times[flips] + fraction * (times[flips + 1] - times[flips])
    order = np.argsort(np.concatenate([times, crossings]), kind="stable")
    return (
        np.concatenate([times, crossings])[order],
        np.concatenate([values, np.zeros(len(crossings))])[order],
    )


def signed_areas(times, values):
    """Integral of min(y, 0) and of max(y, 0) over the sampled line."""
    times, values = with_crossings(times, values)
    return (
        float(np.trapezoid(np.minimum(values, 0.0), times)),
        float(np.trapezoid(np.maximum(values, 0.0), times)),
    )


def zero_cross(times, values):
    """First upward crossing after the minimum that is sustained; None if there is none."""
    lowest = int(np.argmin(values))
    times, values = times[lowest:], values[lowest:]
    for i in np.flatnonzero((values[:-1] < 0) & (values[1:] >= 0)):
        crossing = times[i] - values[i] * (times[i + 1] - times[i]) / (values[i + 1] - values[i])
        after = (times > crossing) & (times <= crossing + SUSTAINED_S)
        if np.all(values[after] >= 0):
            return float(crossing)
    return None


def measures(swing: Swing, events, rate_hz):
    """Every measure that follows from the definitions; an absent one is None.

    events: {"takeaway": s, "top": s, "impact": s, "arm_level": s}. rate_hz: as printed, since 15 ms are seven
    samples or eight at just 500 Hz.
    """
    t = swing.t
    start, top, impact = (events.get(k) for k in ("takeaway", "top", "impact"))
    has_feet = "lead" in swing.feet
    has_shear = swing.total.shear
    out = {"body_mass_kg": swing.mass}

    def at(y, when):
        return None if when is None else float(np.interp(when, t, y))

    def noise_of(y):
        return flat.noise_sd(y[swing.quiet], rate_hz)

    def extremes(y, noise_at=None):
        """Lowest and highest: instant and value of each."""
        noise = noise_at or (lambda _, sd=noise_of(y): sd)
        line = flat.around(t, y, start, impact)
        return flat.lowest(*line, start, impact, noise), flat.highest(*line, start, impact, noise)

    if has_shear:
        torque = swing.torque
        corners = window(t, torque, start, impact)
        noise = noise_of(torque)
        line = flat.around(t, torque, start, impact)
        low, high = extremes(torque)
        out["torque_min_nm"], out["torque_max_nm"] = low[1], high[1]
        out["torque_min_time_s"], out["torque_max_time_s"] = low[0] - top, high[0] - top
        out["torque_at_top_nm"] = at(torque, top)
        crossing = zero_cross(*corners)
        if crossing is not None:
            crossing = flat.crossing(*line, crossing, True, start, impact, noise) - top
        out["torque_zero_cross_s"] = crossing
        out["torque_negative_duration_s"] = flat.time_below_zero(*line, start, impact, noise)
        negative, positive = signed_areas(*corners)
        out["impulse_negative_nms"] = negative
        out["impulse_positive_nms"] = positive
        out["impulse_net_nms"] = negative + positive
        out["impulse_ratio"] = -negative / positive if positive else None
        for key in [
            "torque_min_nm",
            "torque_max_nm",
            "torque_at_top_nm",
            "impulse_negative_nms",
            "impulse_positive_nms",
            "impulse_net_nms",
        ]:
            out[f"{key}_per_kg"] = out[key] / swing.mass
        low, high = extremes(swing.total.ft)
        out["total_ft_min_n"], out["total_ft_max_n"] = low[1], high[1]
    weight = swing.mass * GRAVITY
    out["total_fz_max_bw"] = extremes(swing.total.fz)[1][1] / weight
    if has_feet:
        lead, trail = swing.feet["lead"], swing.feet["trail"]
        angle = swing.cop_angle_deg()
        for name, when in [
            ("takeaway", start),
            ("top", top),
            ("impact", impact),
            ("arm_level", events.get("arm_level")),
        ]:
            out[f"cop_angle_at_{name}_deg"] = at(angle, when)

        def unrest(lead_fz, trail_fz):
            """A centre of pressure is a moment over a load: the lighter a foot, the noisier."""
            return np.hypot(1.0 / lead_fz, 1.0 / trail_fz)

        still = unrest(np.mean(lead.fz[swing.quiet]), np.mean(trail.fz[swing.quiet]))
        noise_at = lambda when: noise_of(angle) * unrest(at(lead.fz, when), at(trail.fz, when)) / still
        low, high = extremes(angle, noise_at)
        out["cop_angle_min_deg"], out["cop_angle_max_deg"] = low[1], high[1]
        apart = swing.address["lead"] - swing.address["trail"]
        out["cop_angle_at_address_deg"] = float(np.degrees(np.arctan2(apart[1], apart[0])))
        for name, when in [("takeaway", start), ("top", top), ("impact", impact)]:
            out[f"lead_share_at_{name}"] = at(lead.fz, when) / at(swing.total.fz, when)
        for name, foot in swing.feet.items():
            out[f"{name}_fz_max_bw"] = extremes(foot.fz)[1][1] / weight
            place = swing.cop(name)[:, 1]
            out[f"{name}_cop_a_at_top_mm"] = 1000.0 * (at(place, top) - swing.address[name][1])
        if has_shear:
            low, high = extremes(lead.fa - trail.fa)
            out["shear_spread_max_n"] = max(high[1], -low[1])
            for name, foot in swing.feet.items():
                low, high = extremes(foot.fa)
                out[f"{name}_fa_min_n"], out[f"{name}_fa_max_n"] = low[1], high[1]
                free = swing.free_moment(name)
                lever = foot.torque_about(swing.reference) - free
                for part, curve in [("shear", lever), ("free_moment", free)]:
                    times, values = window(t, curve, start, impact)
                    out[f"impulse_net_{name}_{part}_nms"] = float(np.trapezoid(values, times))
    out["backswing_s"] = top - start
    out["downswing_s"] = impact - top
    out["tempo_ratio"] = out["backswing_s"] / out["downswing_s"]
    return out
