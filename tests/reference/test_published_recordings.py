"""Real recordings that published packages carry, through `footing inspect`.

Sources: biomdp 0.11.2, gaitalytics 0.2.2 and jumpmetrics 0.2.0 (all MIT), read out of their archives.
The numbers stated were computed over ezc3d's raw analog data or by the exporters themselves; files
of the instrument's own software hold force, centre of pressure and free moment beside the channels.
"""

import json

import numpy as np
import pytest
from footing_reference import c3d, compare, table

DATA = "biomdp/tests/datasets"


def combined(recording, left_out_below_n=20.0):
    """Vertical torque about the combined CoP; plates under the limit (either way) left out."""
    force = moment = 0.0
    for plate in recording.plates:
        f, m = plate.in_lab()
        on = (np.abs(f[:, 2]) >= left_out_below_n)[:, None]
        force, moment = force + np.where(on, f, 0.0), moment + np.where(on, m, 0.0)
    loaded = force[:, 2] >= left_out_below_n
    force, moment = force[loaded], moment[loaded]
    x, y = -moment[:, 1] / force[:, 2], moment[:, 0] / force[:, 2]
    return moment[:, 2] - x * force[:, 1] + y * force[:, 0]


def quiet_fz(recording):
    """Mean total Fz in the half second that spreads least, among those somebody stands in."""
    fz = sum(plate.in_lab()[0][:, 2] for plate in recording.plates)
    windows = np.lib.stride_tricks.sliding_window_view(fz, int(0.5 * recording.rate))
    means = windows.mean(axis=1)
    spread = np.where(means > 0.25 * means.max(), windows.std(axis=1), np.inf)
    return means[np.argmin(spread)]


def same_as_second_implementation(printed, recording):
    """Everything `inspect` prints, computed the other way from the same channels."""
    recording = recording.turned_to_player()
    assert printed["rate_hz"] == pytest.approx(recording.rate, rel=1e-6)
    assert printed["samples"] == len(recording.t)
    total = 0.0
    for said, plate in zip(printed["plates"], recording.plates, strict=True):
        force, moment = plate.in_lab()
        total = total + force
        peak = int(np.argmax(force[:, 2]))
        assert said["peak_fz_n"] == pytest.approx(force[peak, 2], rel=1e-9)
        cop = [-moment[peak, 1] / force[peak, 2], moment[peak, 0] / force[peak, 2]]
        assert said["cop_at_peak_fz_mm"] == pytest.approx(
            [1000 * c for c in cop], rel=1e-9, abs=1e-6
        )
        on = force[:, 2] >= 20.0
        f, m = force[on], moment[on]
        free = m[:, 2] + (m[:, 1] * f[:, 1] + m[:, 0] * f[:, 0]) / f[:, 2]
        assert said["free_moment_nm"] == pytest.approx([free.min(), free.max()], rel=1e-9, abs=1e-9)
        if plate.corners is not None:
            # the same four corners; a file that lists them crosswise is put in order
            in_order = [sorted(map(tuple, np.round(c, 3) + 0.0)) for c in (said["corners_mm"], 1000 * plate.corners)]
            assert np.allclose(*in_order, atol=2e-3)
    torque = combined(recording)
    together = printed["combined"]
    assert together["peak_fz_n"] == pytest.approx(total[:, 2].max(), rel=1e-9)
    assert together["torque_about_combined_cop_nm"] == pytest.approx(
        [torque.min(), torque.max()], rel=1e-9
    )
    impulse = np.trapezoid(total, recording.t, axis=0)
    assert together["impulse_ns"] == pytest.approx(impulse, rel=1e-7, abs=1e-6)


@pytest.mark.parametrize(
    "package, name",
    [
        ("biomdp", f"{DATA}/vicon_CMJ_kinem_kinet_emg.c3d"),
        ("biomdp", f"{DATA}/kistler_DJ_2plates.c3d"),
        ("biomdp", f"{DATA}/kistler_CMJ_1plate.c3d"),
        ("biomdp", f"{DATA}/kistler_COP.c3d"),
        ("gaitalytics", "tests/treadmill_events.c3d"),
    ],
)
def test_every_c3d_both_ways(footing, published, package, name):
    path = published(package, name)
    same_as_second_implementation(footing.inspect(path), c3d.read(path))


def test_jump_over_two_type_2_plates(footing, published):
    printed = footing.inspect(published("biomdp", f"{DATA}/vicon_CMJ_kinem_kinet_emg.c3d"))
    first = printed["plates"][0]
    assert printed["rate_hz"] == 2000
    assert first["kind"] == "six-component"
    assert first["peak_fz_n"] == pytest.approx(6281.581, abs=1e-3)
    assert first["cop_at_peak_fz_mm"] == pytest.approx([300.32, 502.00], abs=0.01)
    assert first["free_moment_nm"] == pytest.approx([-63.9571, 30.1119], abs=1e-4)
    assert printed["combined"]["impulse_ns"] == pytest.approx([-38.936, 51.070, 6026.133], abs=1e-3)


def test_the_jump_peaks_in_these_samples(footing, published):
    # Peak force in sample 9915, torque about the combined CoP least in 9870 and greatest in 10028.
    path = published("biomdp", f"{DATA}/vicon_CMJ_kinem_kinet_emg.c3d")
    recording = c3d.read(path).turned_to_player()
    printed = footing.inspect(path)
    fz = recording.plates[0].in_lab()[0][:, 2]
    assert int(np.argmax(fz)) == 9915
    assert printed["plates"][0]["peak_fz_n"] == pytest.approx(fz[9915], rel=1e-9)
    series = footing.measure_one(path, "--series", "--low-pass", "off")["series"]
    assert int(np.argmax(compare.numbers(series["total"]["fz_n"]))) == 9915
    torque = combined(recording)
    total = sum(plate.in_lab()[0][:, 2] * (np.abs(plate.in_lab()[0][:, 2]) >= 20.0) for plate in recording.plates)
    samples = np.flatnonzero(total >= 20.0)
    assert samples[[np.argmin(torque), np.argmax(torque)]].tolist() == [9870, 10028]
    at = [torque[np.searchsorted(samples, sample)] for sample in (9870, 10028)]
    assert printed["combined"]["torque_about_combined_cop_nm"] == pytest.approx(at, rel=1e-9)


def test_the_idle_plates_noise_counts_either_way(footing, published):
    # Plate 2 carries noise of up to 36 N either way: what is under 20 N in size is left out, what
    # is more is summed, pushing up or not.
    printed = footing.inspect(published("biomdp", f"{DATA}/vicon_CMJ_kinem_kinet_emg.c3d"))
    torque = printed["combined"]["torque_about_combined_cop_nm"]
    assert torque == pytest.approx([-67.467, 32.990], abs=1e-3)


@pytest.mark.parametrize(
    "name, quiet_n",
    [
        ("vicon_CMJ_kinem_kinet_emg", 753.43),
        ("kistler_DJ_2plates", 589.87),
        ("kistler_COP", 669.32),
    ],
)
def test_quiet_stance_is_the_steadiest_half_second(footing, published, name, quiet_n):
    path = published("biomdp", f"{DATA}/{name}.c3d")
    assert quiet_fz(c3d.read(path).turned_to_player()) == pytest.approx(quiet_n, abs=0.005)
    assert footing.inspect(path)["quiet_fz_n"] == pytest.approx(quiet_n, abs=0.005)


def exporter_table(path):
    """Columns of a capture system's CSV by number, first block only."""
    rows = path.read_text(encoding="utf-8-sig").split("\n\n")[0].splitlines()[5:]
    cells = [row.strip().split(",") for row in rows if row.strip()]
    return np.array([[float(c) if c else np.nan for c in row[:48]] for row in cells if row[0].isdigit()])


def test_the_same_jump_as_the_exporters_own_table(footing, published, tmp_path):
    # Two plates in lab axes, force ON the plate, moments about each surface centre in N.mm; the
    # last nine columns are the exporter's own sum of both plates.
    path = published("biomdp", f"{DATA}/vicon_CMJ_kinem_kinet_emg.csv")
    rig = {
        "format": "footing-rig/1",
        "force_sense": "on-plate",
        "units": {"force": "N", "moment": "N.mm", "length": "mm", "time": "s"},
        "time": {"rate_hz": 2000},
        "plates": [
            {
                "foot": "both",
                "kind": "six-component",
                "columns": {
                    key: f"#{first + i}"
                    for i, key in enumerate(["fx", "fy", "fz", "mx", "my", "mz"])
                },
                "x_azimuth_deg": 0,
                "z_axis": "up",
                "centre_m": centre,
            }
            for first, centre in [(3, [0.3, 0.45, 0.0]), (12, [0.3, -0.46, 0.0])]
        ],
    }
    rig_path = tmp_path / "jump.rig.json"
    rig_path.write_text(json.dumps(rig))
    printed = footing.inspect(path, "--rig", rig_path)
    own = exporter_table(path)
    assert own.shape[0] == 16000
    assert printed["samples"] == 16000
    # Two more blocks, at 200 Hz, stand in the same file: said, with how much was read.
    (further,) = [note for note in printed["notes"] if note["code"] == "further-block"]
    assert further["level"] == "warn" and "the 16000 samples from line 6 on" in further["text"]
    force = -own[:, 39:42]
    assert printed["combined"]["peak_fz_n"] == pytest.approx(force[:, 2].max(), abs=2e-3)
    impulse = np.trapezoid(force, dx=1 / 2000, axis=0)
    assert printed["combined"]["impulse_ns"] == pytest.approx(impulse, abs=2e-3)
    first = printed["plates"][0]
    peak = int(np.argmax(-own[:, 4]))
    assert first["peak_fz_n"] == pytest.approx(-own[peak, 4], abs=1e-6)
    assert first["cop_at_peak_fz_mm"] == pytest.approx(own[peak, 8:10], abs=2e-3)
    c3d_said = footing.inspect(published("biomdp", f"{DATA}/vicon_CMJ_kinem_kinet_emg.c3d"))
    assert first["free_moment_nm"] == pytest.approx(
        c3d_said["plates"][0]["free_moment_nm"], abs=2e-3
    )


def test_two_plates_combined_as_the_exporter_does(published):
    # The second implementation against the exporter's combined columns, where plates are loaded.
    path = published("biomdp", f"{DATA}/vicon_CMJ_kinem_kinet_emg.c3d")
    own = exporter_table(published("biomdp", f"{DATA}/vicon_CMJ_kinem_kinet_emg.csv"))
    recording = c3d.read(path).turned_to_player()
    force = sum(plate.in_lab()[0] for plate in recording.plates)
    moment = sum(plate.in_lab()[1] for plate in recording.plates)
    loaded = force[:, 2] > 400.0
    cop = np.stack([-moment[:, 1] / force[:, 2], moment[:, 0] / force[:, 2]], axis=1)[loaded]
    off = 1000 * cop - own[loaded, 45:47]
    assert np.sqrt((off**2).mean()) < 0.001
    assert np.abs(force[loaded] + own[loaded, 39:42]).max() < 0.01


def instrument_text(path):
    """Names and numbers of a laboratory text export (its preamble ends with a row of units)."""
    lines = path.read_text(encoding="utf-8", errors="replace").splitlines()
    names_at = next(i for i, line in enumerate(lines) if line.startswith("abs time"))
    names = lines[names_at].split("\t")
    rows = [line.split("\t") for line in lines[names_at + 2 :] if line.strip()]
    return names, np.array([[float(c) for c in row[: len(names)]] for row in rows])


# The instrument's columns, from 1, the time being the first: 17 for each plate.
INSTRUMENT_COLUMNS = {
    "force-cop": {"fx": 2, "fy": 3, "fz": 4, "cop_x": 17, "cop_y": 18, "tz": 16},
    "six-component": {"fx": 2, "fy": 3, "fz": 4, "mx": 13, "my": 14, "mz": 15},
    "eight-channel": {
        **{"fx12": 5, "fx34": 6, "fy14": 7, "fy23": 8},
        **{"fz1": 9, "fz2": 10, "fz3": 11, "fz4": 12},
    },
}


def instrument_rig(kind, plates):
    """The instrument's own frame: z down, force ON the plate, moments about the surface centre.

    Plate by plate a metre apart: the file has no places. Sensors sit 210 and 350 mm from the
    centre in x and y and 52 mm under the surface, by which the channels give the file's own
    moments (checked by the comparison itself).
    """
    extra = {"six-component": {"moment_point_m": [0, 0, 0]}}
    extra["eight-channel"] = {"sensor_offset_m": [0.21, 0.35], "moment_point_m": [0, 0, 0.052]}
    return {
        "format": "footing-rig/1",
        "force_sense": "on-plate",
        "target_azimuth_deg": 0,
        "units": {"force": "N", "moment": "N.m", "length": "m", "time": "s"},
        "time": {"column": "abs time"},
        "plates": [
            {
                "foot": "both" if plates == 1 else ["lead", "trail"][i],
                "kind": kind,
                "columns": {k: f"#{c + 17 * i}" for k, c in INSTRUMENT_COLUMNS[kind].items()},
                "x_azimuth_deg": 0,
                "z_axis": "down",
                "centre_m": [float(i), 0.0, 0.0],
                **extra.get(kind, {}),
            }
            for i in range(plates)
        ],
    }


@pytest.mark.parametrize("kind", INSTRUMENT_COLUMNS)
@pytest.mark.parametrize(
    "name, rate_hz, quiet_n, peaks_n",
    [
        ("kistler_DJ_2plates", 1000, 589.87, [2822.602, 630.432]),
        ("kistler_CMJ_1plate", 1000, None, [3219.439]),
        # Sampled at 50 Hz where its C3D is at 1000: the same standing, not the same samples.
        ("kistler_COP", 50, 669.3, [736.2]),
    ],
)
def test_the_instruments_text_by_every_kind_of_wiring(
    footing, published, tmp_path, name, rate_hz, quiet_n, peaks_n, kind
):
    # Rows of a word and 17 or 34 numbers stand above the names, and names repeat for each plate.
    path = published("biomdp", f"{DATA}/{name}.txt")
    names, numbers = instrument_text(path)
    rig_path = tmp_path / "instrument.rig.json"
    rig_path.write_text(json.dumps(instrument_rig(kind, len(peaks_n))))
    printed = footing.inspect(path, "--rig", rig_path)
    assert (printed["rate_hz"], printed["samples"]) == (rate_hz, len(numbers))
    if quiet_n:
        assert printed["quiet_fz_n"] == pytest.approx(quiet_n, abs=0.5)
    assert [p["peak_fz_n"] for p in printed["plates"]] == pytest.approx(peaks_n, rel=1e-3)
    for number, said in enumerate(printed["plates"]):
        column = {n: numbers[:, i + 1 + 17 * number] for i, n in enumerate(names[1:18])}
        fz, tz, peak = column["Fz"], column["Tz"], int(np.argmax(column["Fz"]))
        assert said["kind"] == kind
        assert said["peak_fz_n"] == pytest.approx(fz[peak], abs=5e-6)
        # Lab y is the plate's -y, for z looks down; Ax and Ay are printed to a thousandth of a mm.
        place = [1000 * (number + column["Ax"][peak]), -1000 * column["Ay"][peak]]
        # The plate of kistler_COP is another one, with its sensors a little elsewhere.
        close_mm = 0.1 if kind == "eight-channel" and name == "kistler_COP" else 1e-3
        assert said["cop_at_peak_fz_mm"] == pytest.approx(place, abs=close_mm)
        on = fz >= 20.0
        assert said["free_moment_nm"] == pytest.approx([tz[on].min(), tz[on].max()], abs=1e-5)


@pytest.mark.parametrize(
    "name, peaks_n",
    [("kistler_DJ_2plates", [2822.602, 630.432]), ("kistler_CMJ_1plate", [3219.439])],
)
def test_type_3_plates_against_the_instruments_own_text(footing, published, name, peaks_n):
    # Ax, Ay and Tz come from the instrument. Only Fz, CoP in the plate frame and Tz are compared:
    # the C3D's corners are counted off, so which way its x and y point is not known.
    path = published("biomdp", f"{DATA}/{name}.c3d")
    names, numbers = instrument_text(published("biomdp", f"{DATA}/{name}.txt"))
    printed = footing.inspect(path)
    recording = c3d.read(path)
    assert [p["kind"] for p in printed["plates"]] == ["eight-channel"] * len(peaks_n)
    assert [p["peak_fz_n"] for p in printed["plates"]] == pytest.approx(peaks_n, abs=1e-3)
    for number, (said, plate) in enumerate(zip(printed["plates"], recording.plates)):
        column = {n: numbers[:, i + 1 + 17 * number] for i, n in enumerate(names[1:18])}
        fz, tz = column["Fz"], column["Tz"]
        peak = int(np.argmax(fz))
        assert said["peak_fz_n"] == pytest.approx(fz[peak], rel=1e-3)
        cop = np.array(said["cop_at_peak_fz_mm"]) / 1000 - plate.centre[:2]
        in_plate = plate.axes[:2, :2].T @ cop
        assert in_plate == pytest.approx([column["Ax"][peak], column["Ay"][peak]], abs=3e-3)
        on = fz >= 20.0
        assert said["free_moment_nm"] == pytest.approx(
            [tz[on].min(), tz[on].max()], abs=0.02 * np.ptp(tz[on])
        )


def test_drop_jump(footing, published):
    printed = footing.inspect(published("biomdp", f"{DATA}/kistler_DJ_2plates.c3d"))
    first = printed["plates"][0]
    assert first["free_moment_nm"] == pytest.approx([-22.118, 35.012], abs=1e-3)
    # Through the same corners; the offsets' signs taken wrongly would give (346, 524).
    assert first["cop_at_peak_fz_mm"] == pytest.approx([252.8, 377.0], abs=0.05)
    torque = printed["combined"]["torque_about_combined_cop_nm"]
    assert torque == pytest.approx([-22.12, 35.01], abs=0.005)
    assert any(note["level"] == "warn" for note in printed["notes"]), "corners are counted off"


def test_jump_on_one_type_3_plate(footing, published):
    printed = footing.inspect(published("biomdp", f"{DATA}/kistler_CMJ_1plate.c3d"))
    assert printed["combined"]["torque_about_combined_cop_nm"] == pytest.approx(
        [-24.8305, 63.9958], abs=1e-4
    )


def standing_cop_mm(footing, path, *options):
    """CoP in lab axes: `measure` prints it from the stance centre, `inspect` where it is at peak."""
    series = footing.measure_one(path, "--series", "--low-pass", "off", *options)["series"]
    total = series["total"]
    peak = int(np.argmax(compare.numbers(total["fz_n"])))
    along, aside = (1000 * compare.numbers(total[key]) for key in ("cop_t_m", "cop_a_m"))
    # One plate alone: its CoP at peak is the total's. The target lies along +x, so a is -y.
    (plate,) = footing.inspect(path, *options)["plates"]
    x, y = plate["cop_at_peak_fz_mm"]
    return x + along - along[peak], y - (aside - aside[peak])


def test_standing_still_sways_this_far(footing, published, tmp_path):
    x, y = standing_cop_mm(footing, published("biomdp", f"{DATA}/kistler_COP.c3d"))
    assert [x.min(), x.max()] == pytest.approx([243.62, 305.20], abs=0.005)
    assert [y.min(), y.max()] == pytest.approx([450.27, 504.76], abs=0.005)
    # The instrument's text of the same standing, at a twentieth of the rate.
    path = published("biomdp", f"{DATA}/kistler_COP.txt")
    names, numbers = instrument_text(path)
    rig_path = tmp_path / "standing.rig.json"
    rig_path.write_text(json.dumps(instrument_rig("force-cop", 1)))
    x_text, y_text = standing_cop_mm(footing, path, "--rig", rig_path)
    column = dict(zip(names, numbers.T))
    assert np.allclose(x_text, 1000 * column["Ax"], atol=1e-6)
    assert np.allclose(y_text, -1000 * column["Ay"], atol=1e-6)
    assert np.ptp(x_text) == pytest.approx(np.ptp(x), abs=1.0)
    assert np.ptp(y_text) == pytest.approx(np.ptp(y), abs=1.0)


def test_walking_on_a_split_belt(footing, published):
    printed = footing.inspect(published("gaitalytics", "tests/treadmill_events.c3d"))
    assert printed["rate_hz"] == 1000
    assert [p["peak_fz_n"] for p in printed["plates"]] == pytest.approx([603.7, 594.4], abs=0.05)
    assert printed["combined"]["torque_about_combined_cop_nm"] == pytest.approx(
        [-10.4448, 6.7578], abs=1e-4
    )
    assert printed["events"][0] == {"label": "Right Foot Strike", "t_s": 0.5, "event": None}


@pytest.mark.parametrize(
    "name, rate_hz, samples, peaks_n",
    [("cmj_example", 2000, 40000, (1339.9, 1477.6)), ("sqj_example", 1000, 20000, (849.9, 1147.7))],
)
def test_headerless_text_wired_by_number(footing, published, tmp_path, name, rate_hz, samples, peaks_n):
    # Twelve columns, a blank first line, no rate and no geometry: vertical force only is meant.
    path = published("jumpmetrics", f"sample_data/{name}.txt")
    rig = {
        "format": "footing-rig/1",
        "force_sense": "on-player",
        "units": {"force": "N", "moment": "N.m", "length": "m", "time": "s"},
        "time": {"rate_hz": rate_hz},
        "plates": [
            {
                "foot": foot,
                "kind": "six-component",
                "columns": {
                    key: f"#{first + i}"
                    for i, key in enumerate(["fx", "fy", "fz", "mx", "my", "mz"])
                },
                "x_azimuth_deg": 0,
                "z_axis": "up",
                "centre_m": [place, 0.0, 0.0],
            }
            for foot, first, place in [("lead", 1, 0.25), ("trail", 7, -0.25)]
        ],
    }
    rig_path = tmp_path / "feet.rig.json"
    rig_path.write_text(json.dumps(rig))
    printed = footing.inspect(path, "--rig", rig_path)
    assert printed["samples"] == samples
    assert printed["rate_hz"] == rate_hz
    assert [p["peak_fz_n"] for p in printed["plates"]] == pytest.approx(peaks_n, abs=0.05)
    own = table.read(path, rig_path)
    same_as_second_implementation(printed, own)
    if name == "cmj_example":
        assert quiet_fz(own) == pytest.approx(723.0, abs=0.5)
        assert printed["quiet_fz_n"] == pytest.approx(quiet_fz(own), rel=1e-9)
