"""Side by side: what the command printed and what the second implementation says."""

import numpy as np

from . import measures as own_measures
from .swing import Swing

# How close curves must be, as a fraction of the curve's own scale.
CURVES = 1e-9
# How close measures must be, as a fraction of their size (or of 1, if they are smaller).
MEASURES = 1e-7


def agree(complaints):
    """Fails with every complaint on a line of its own."""
    assert not complaints, "\n" + "\n".join(complaints)


def numbers(values):
    """A printed curve; null becomes NaN."""
    return np.array([np.nan if v is None else v for v in values], float)


def close_curve(name, printed, expected, fraction=CURVES):
    """One complaint, or none: same samples absent, the others equal within a fraction of scale."""
    printed = numbers(printed)
    if len(printed) != len(expected):
        return [f"{name}: {len(printed)} samples printed, {len(expected)} expected"]
    absent = np.isnan(printed) != np.isnan(expected)
    if absent.any():
        return [f"{name}: absent at different samples, first at {int(np.argmax(absent))}"]
    if np.isnan(expected).all():
        return []
    scale = max(float(np.nanmax(np.abs(expected))), 1e-3)
    off = np.abs(printed - expected)
    worst = int(np.nanargmax(off))
    if off[worst] <= fraction * scale:
        return []
    return [
        f"{name}: printed {printed[worst]!r}, expected {expected[worst]!r} at sample {worst} "
        f"({off[worst] / scale:.2e} of its scale)"
    ]


def curves(printed, swing: Swing, fraction=CURVES):
    """Every complaint about the curves of one recording."""
    series = printed["series"]
    said = close_curve("t_s", series["t_s"], swing.t, 1e-12)
    centre = swing.stance_centre
    if swing.total.shear:
        said += close_curve("torque_nm", series["torque_nm"], swing.torque, fraction)
    else:
        said += [] if all(v is None for v in series["torque_nm"]) else ["torque without shear"]
    names = ["total"]
    if "lead" in swing.feet:
        names += ["lead", "trail"]
        said += close_curve(
            "cop_angle_deg", series["cop_angle_deg"], swing.cop_angle_deg(), fraction
        )
    else:
        said += [] if series["lead"] is series["trail"] is None else ["feet on a single plate"]
    for name in names:
        foot = swing.total if name == "total" else swing.feet[name]
        out, cop = series[name], swing.cop(name)
        said += close_curve(f"{name}.fz_n", out["fz_n"], foot.fz, fraction)
        said += close_curve(f"{name}.cop_t_m", out["cop_t_m"], cop[:, 0] - centre[0], fraction)
        said += close_curve(f"{name}.cop_a_m", out["cop_a_m"], cop[:, 1] - centre[1], fraction)
        if swing.total.shear:
            said += close_curve(f"{name}.ft_n", out["ft_n"], foot.ft, fraction)
            said += close_curve(f"{name}.fa_n", out["fa_n"], foot.fa, fraction)
            free = swing.free_moment(name)
            said += close_curve(f"{name}.free_moment_nm", out["free_moment_nm"], free, fraction)
        else:
            said += [f"{name}: shear without shear"] if out["ft_n"] or out["fa_n"] else []
    return said


def measures(printed, swing: Swing):
    """Every complaint about the measures, at the events that were printed."""
    events = {name: event["t_s"] for name, event in printed["events"].items()}
    missing = [name for name in ("takeaway", "top", "impact") if name not in events]
    if missing:
        return [f"no {', '.join(missing)}"]
    expected = own_measures.measures(swing, events, printed["rate_hz"])
    said = []
    for name, value in expected.items():
        if name not in printed["measures"]:
            said.append(f"{name}: not printed")
            continue
        got = printed["measures"][name]
        if (got is None) != (value is None):
            said.append(f"{name}: printed {got!r}, expected {value!r}")
        elif got is not None and abs(got - value) > MEASURES * max(1.0, abs(value)):
            said.append(f"{name}: printed {got!r}, expected {value!r}")
        if (got is None) != (name in printed["absent"]):
            said.append(f"{name}: absent needs a reason, present has none")
    for name, got in printed["measures"].items():
        if got is not None and name not in expected:
            said.append(f"{name}: printed {got!r}, which the definitions do not give here")
    return said
