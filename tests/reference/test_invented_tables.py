"""Tables of an invented swing through rigs of every kind: curves, then measures, both ways.

Outside source: scipy (filter, spline integration) and the second implementation; and the swing's
closed form itself, which both must give back when nothing is filtered.
"""

import json

import numpy as np
import pytest
from footing_reference import compare, invented, swing, table
from footing_reference.invented import Mount

PLAIN = {
    "lead": Mount("six-component", centre=(0.3, 0.0, 0.0)),
    "trail": Mount("six-component", centre=(-0.3, 0.0, 0.0)),
}

BAYS = {
    "plain": dict(mounts=PLAIN),
    "left-handed": dict(mounts=PLAIN, handed="left"),
    "turned, sunk, upside down": dict(
        mounts={
            "lead": Mount(
                "six-component", 37.0, "down", (1.20, -0.42, 0.0), (0.0015, -0.0008, 0.034)
            ),
            "trail": Mount(
                "six-component", 217.0, "down", (1.45, -0.95, 0.0), (-0.001, 0.002, 0.041)
            ),
        },
        azimuth_deg=118.0,
        origin=(1.33, -0.7),
        units={"force": "kN", "moment": "N.mm", "length": "mm", "time": "ms"},
        sense="on-plate",
    ),
    "semicolons and decimal commas": dict(
        mounts={
            "trail": Mount("six-component", 90.0, "up", (-0.25, 0.05, 0.0), (0.0, 0.0, -0.05)),
            "lead": Mount("six-component", 270.0, "down", (0.25, 0.05, 0.0), (0.0, 0.0, 0.05)),
        },
        handed="left",
        sense="auto",
        units={"force": "kgf"},
        delimiter=";",
        decimal=",",
    ),
    "force and CoP, pounds and inches": dict(
        mounts={
            "lead": Mount("force-cop", 12.0, "up", (0.31, 0.02, 0.0)),
            "trail": Mount("force-cop", 192.0, "up", (-0.29, -0.01, 0.0)),
        },
        units={"force": "lbf", "moment": "lbf.ft", "length": "in"},
        delimiter="\t",
    ),
    "eight channels": dict(
        mounts={
            "lead": Mount("eight-channel", 0.0, "up", (0.3, 0.0, 0.0), (0.0, 0.0, -0.048)),
            "trail": Mount("eight-channel", 180.0, "down", (-0.3, 0.0, 0.0), (0.0, 0.0, 0.052)),
        },
        handed="left",
        azimuth_deg=-15.0,
        sense="auto",
    ),
    "vertical only": dict(
        mounts={
            "lead": Mount("vertical-cop", 0.0, "up", (0.3, 0.0, 0.0)),
            "trail": Mount("vertical-cop", 180.0, "up", (-0.3, 0.0, 0.0)),
        }
    ),
    "columns by number": dict(mounts=PLAIN, by_number=True),
    "one plate": dict(mounts={"both": Mount("six-component", 30.0, "up", (0.02, -0.01, 0.0))}),
}


@pytest.fixture(scope="module")
def truth():
    return invented.swing()


@pytest.fixture(scope="module", params=BAYS, ids=lambda name: name.replace(",", "").replace(" ", "-"))
def bay(request, truth, tmp_path_factory):
    """File, rig, hand and azimuth of one bay."""
    options = dict(BAYS[request.param])
    mounts = options.pop("mounts")
    folder = tmp_path_factory.mktemp("bay")
    path, rig = invented.write_table(folder, truth, mounts, **options)
    return path, rig, options.get("handed", "right")


@pytest.fixture(scope="module")
def events(truth, tmp_path_factory):
    """Events by hand, between samples."""
    path = tmp_path_factory.mktemp("events") / "events.json"
    path.write_text(
        json.dumps(
            {
                "takeaway_s": truth.takeaway + 0.0003,
                "arm_level_s": 1.6171,
                "top_s": truth.top - 0.0003,
                "impact_s": truth.impact + 0.0001,
            }
        )
    )
    return path


@pytest.mark.parametrize("low_pass", ["off", "50", "14"])
@pytest.mark.parametrize("about", ["stance-centre", "com", "combined-cop"])
def test_both_ways_agree(footing, bay, events, about, low_pass):
    path, rig, handed = bay
    printed = footing.measure_one(
        *[path, "--rig", rig, "--events", events, "--series", "--handed", handed],
        *["--about", about, "--low-pass", low_pass],
    )
    own = swing.swing(
        table.read(path, rig),
        handed=handed,
        about=about,
        quiet_s=printed["quiet_s"],
        low_pass_hz=None if low_pass == "off" else float(low_pass),
    )
    compare.agree(compare.curves(printed, own))
    compare.agree(compare.measures(printed, own))
    for name in ("takeaway", "arm_level", "top", "impact"):
        assert printed["events"][name]["source"] == "given"


def test_both_are_right(footing, bay, truth):
    """The closed form itself: what was pushed is what is printed."""
    path, rig, handed = bay
    printed = footing.measure_one(
        path, "--rig", rig, "--series", "--handed", handed, "--low-pass", "off"
    )
    series = printed["series"]
    from_s, to_s = printed["quiet_s"]
    # 1.5 % of body weight of unrest still counts as quiet: a little of the first movement may be in.
    assert to_s - from_s >= 0.2 and from_s >= 0.0 and to_s <= truth.takeaway + 0.1
    quiet = (truth.t >= from_s - 1e-4) & (truth.t <= to_s + 1e-4)
    total_fz = truth.force["lead"][:, 2] + truth.force["trail"][:, 2]
    assert printed["mass_kg"] == pytest.approx(total_fz[quiet].mean() / 9.80665, rel=1e-9)
    compare.agree(compare.close_curve("fz", series["total"]["fz_n"], total_fz))
    if series["lead"] is None:
        return
    centre = 0.5 * (truth.cop["lead"][quiet].mean(axis=0) + truth.cop["trail"][quiet].mean(axis=0))
    torque = np.zeros(len(truth.t))
    for foot in ("lead", "trail"):
        arm = truth.cop[foot] - centre
        loaded = truth.force[foot][:, 2] >= max(30.0, 0.05 * total_fz[quiet].mean())
        for axis, name in enumerate(("cop_t_m", "cop_a_m")):
            expected = np.where(loaded, arm[:, axis], np.nan)
            compare.agree(compare.close_curve(f"{foot}.{name}", series[foot][name], expected))
        ft, fa = truth.force[foot][:, 0], truth.force[foot][:, 1]
        torque += arm[:, 1] * ft - arm[:, 0] * fa + truth.free_moment[foot]
    if series["lead"]["ft_n"]:
        compare.agree(compare.close_curve("torque", series["torque_nm"], torque))
    else:
        assert set(series["torque_nm"]) <= {None}
        assert "torque_min_nm" in printed["absent"]


def test_a_light_foot_has_no_centre_of_pressure(footing, truth, tmp_path):
    """Threshold: 30 N or 5 % of body weight, whichever is more; settable."""
    light = invented.swing()
    light.force["trail"][:, 2] *= 1 - 0.97 * invented.step(light.t, 2.2, 2.3)
    path, rig = invented.write_table(tmp_path, light, PLAIN)
    for option, threshold in [((), None), (("--load-threshold", "150"), 150.0)]:
        printed = footing.measure_one(path, "--rig", rig, "--series", "--low-pass", "off", *option)
        limit = threshold or 0.05 * 9.80665 * printed["mass_kg"]
        cop = compare.numbers(printed["series"]["trail"]["cop_t_m"])
        assert np.array_equal(np.isnan(cop), light.force["trail"][:, 2] < limit)
        angle = compare.numbers(printed["series"]["cop_angle_deg"])
        assert np.array_equal(np.isnan(angle), np.isnan(cop))


def test_mass_by_hand(footing, truth, tmp_path):
    path, rig = invented.write_table(tmp_path, truth, PLAIN)
    weighed = footing.measure_one(path, "--rig", rig)
    typed = footing.measure_one(path, "--rig", rig, "--mass", "70")
    assert typed["mass_kg"] == typed["measures"]["body_mass_kg"] == 70.0
    ratio = weighed["mass_kg"] / 70.0
    for name in ("total_fz_max_bw", "torque_max_nm_per_kg"):
        assert typed["measures"][name] == pytest.approx(weighed["measures"][name] * ratio)


def test_quiet_residue_is_removed_only_when_asked(footing, tmp_path):
    truth = invented.swing()
    truth.force["lead"][:, 0] += 9.0
    path, rig = invented.write_table(tmp_path, truth, PLAIN)
    quiet_mean = {}
    for option in ((), ("--zero-quiet",)):
        printed = footing.measure_one(path, "--rig", rig, "--series", "--low-pass", "off", *option)
        t = np.array(printed["series"]["t_s"])
        quiet = (t >= printed["quiet_s"][0]) & (t <= printed["quiet_s"][1])
        quiet_mean[option] = [
            np.array(printed["series"]["total"]["ft_n"])[quiet].mean(),
            np.array(printed["series"]["total"]["fa_n"])[quiet].mean(),
            compare.numbers(printed["series"]["torque_nm"])[quiet].mean(),
        ]
    assert quiet_mean[()][0] == pytest.approx(9.0, abs=0.1)
    assert quiet_mean[("--zero-quiet",)] == pytest.approx([0.0, 0.0, 0.0], abs=1e-9)
