"""C3D files of types 1 to 4, written by ezc3d, read by `footing`.

Outside source: ezc3d 1.7.2 writes the file; the swing's closed form and the second implementation
(over ezc3d's raw channels) say what must come out. Channels are stored as 32-bit floats.
"""

import pytest
from footing_reference import c3d, c3d_out, compare, invented, swing
from footing_reference.invented import Mount

FLOAT32 = 3e-6  # of a curve's scale: eight channels of 2^-24, amplified by the sums


def mounts(kind, z_axis):
    """Two plates; type 1 has no sensor depth."""
    depth = 0.0 if kind == 1 else (0.045 if z_axis == "down" else -0.045)
    aside = (0.0, 0.0) if kind in (1, 3) else (0.0015, -0.0008)
    return {
        "trail": Mount("six-component", 90.0, z_axis, (-0.28, 0.02, 0.0), (*aside, depth)),
        "lead": Mount("six-component", 270.0, z_axis, (0.27, -0.03, 0.0), (*aside, depth)),
    }


CASES = {
    "type 1": (1, "down", {}),
    "type 2": (2, "down", {}),
    "type 2 in metres": (2, "down", {"millimetres": False}),
    "type 2 origin reversed": (2, "down", {"origin_up": True}),
    "type 2 force on the plate": (2, "down", {"sign": -1.0}),
    "type 2 left-handed": (2, "down", {"handed": "left"}),
    "type 3": (3, "down", {}),
    "type 3 origin reversed": (3, "down", {"origin_up": True}),
    "type 4": (4, "down", {}),
}


@pytest.mark.parametrize("low_pass", ["off", "50"])
@pytest.mark.parametrize("name", CASES, ids=lambda name: name.replace(" ", "-"))
def test_round_trip(footing, tmp_path, name, low_pass):
    kind, z_axis, options = CASES[name]
    truth = invented.swing()
    path = tmp_path / "swing.c3d"
    c3d_out.write(path, truth, mounts(kind, z_axis), kind, **options)
    handed = options.get("handed", "right")
    printed = footing.measure_one(
        *[path, "--series", "--handed", handed, "--low-pass", low_pass],
    )
    assert {p["kind"] for p in printed["plates"]} == {
        {1: "force-cop", 3: "eight-channel"}.get(kind, "six-component")
    }
    assert [p["foot"] for p in printed["plates"]] == ["trail", "lead"]
    read_back = c3d.read(path)
    own = swing.swing(
        read_back,
        handed=handed,
        about="stance-centre",
        quiet_s=printed["quiet_s"],
        low_pass_hz=None if low_pass == "off" else float(low_pass),
    )
    compare.agree(compare.curves(printed, own, 1e-9))
    compare.agree(compare.measures(printed, own))
    if low_pass == "off":
        chosen = swing_from(truth, printed)
        for foot in ("lead", "trail"):
            out = printed["series"][foot]
            for key, values in chosen[foot].items():
                compare.agree(compare.close_curve(f"{foot}.{key}", out[key], values, FLOAT32))


def swing_from(truth, printed):
    """The closed form's curves, CoP from the stance centre that the printed quiet stance gives."""
    start, end = printed["quiet_s"]
    quiet = (truth.t >= start - 1e-4) & (truth.t <= end + 1e-4)
    centre = 0.5 * sum(truth.cop[foot][quiet].mean(axis=0) for foot in ("lead", "trail"))
    return {
        foot: {
            "ft_n": truth.force[foot][:, 0],
            "fa_n": truth.force[foot][:, 1],
            "fz_n": truth.force[foot][:, 2],
            "cop_t_m": truth.cop[foot][:, 0] - centre[0],
            "cop_a_m": truth.cop[foot][:, 1] - centre[1],
            "free_moment_nm": truth.free_moment[foot],
        }
        for foot in ("lead", "trail")
    }


@pytest.mark.parametrize("kind", [1, 2, 3, 4])
def test_inspect_in_the_lab(footing, tmp_path, kind):
    from test_published_recordings import same_as_second_implementation

    path = tmp_path / "swing.c3d"
    c3d_out.write(path, invented.swing(), mounts(kind, "down"), kind)
    same_as_second_implementation(footing.inspect(path), c3d.read(path))
