"""Real tables that published packages carry, without a rig: what is proposed for them.

Sources: biomdp 0.11.2 and jumpmetrics 0.2.0 (both MIT), read out of their archives. A proposal is shown on the
page; the example `propose` of `footing-formats` prints it. Nothing here is measured: what is wired must be what the
exporter's own names and units say, read the exporter's own numbers, and ask for the rest.
"""

import json
import pathlib
import subprocess

import pytest

ROOT = pathlib.Path(__file__).parents[2]
DATA = "biomdp/tests/datasets"


@pytest.fixture(scope="module")
def propose():
    def run(file):
        done = subprocess.run(
            ["cargo", "run", "--quiet", "--package", "footing-formats", "--example", "propose", "--", str(file)],
            cwd=ROOT,
            capture_output=True,
            text=True,
            check=True,
        )
        return json.loads(done.stdout)

    return run


def test_a_capture_systems_table_without_its_sum(propose, published):
    """Plate 1 jumped on, plate 2 idle, and both together once more behind 17 muscle channels."""
    found = propose(published("biomdp", f"{DATA}/vicon_CMJ_kinem_kinet_emg.csv"))
    assert found["columns"] == [[f"#{n}" for n in range(3, 9)]]
    assert found["kinds"] == ["six-component"]
    assert found["units"][:2] == ["N", "N.mm"]
    assert found["read"]["rate_hz"] == 2000
    assert found["read"]["peak_fz_n"] == pytest.approx([6281.581], abs=0.01)
    # centres of pressure beside the moments say how deep the sensors are
    assert set(found["questions"]) == {"one-plate", "place", "target"}


@pytest.mark.parametrize(
    ("name", "peaks", "plates"),
    [
        ("kistler_DJ_2plates.txt", [2822.602, 630.432], 2),
        ("kistler_CMJ_1plate.txt", [3219.439], 1),
    ],
)
def test_an_instruments_own_text(propose, published, name, peaks, plates):
    """Forces, eight sensors, moments, free moment and centre of pressure of each plate, under like names."""
    found = propose(published("biomdp", f"{DATA}/{name}"))
    named = [["Fx", "Fy", "Fz", "Mx", "My", "Mz"]]
    numbered = [[f"#{n + 17 * plate}" for n in [2, 3, 4, 13, 14, 15]] for plate in range(plates)]
    assert found["columns"] == (named if plates == 1 else numbered)
    assert found["kinds"] == ["six-component"] * plates
    assert found["units"] == ["N", "N.m", "m", "s"]
    assert found["read"]["rate_hz"] == pytest.approx(1000)
    assert found["read"]["peak_fz_n"] == pytest.approx(peaks, abs=0.4)
    # centres of pressure beside the moments say how deep the sensors are; nothing about reading is open
    assert set(found["questions"]) == {"place", "target", "one-plate" if plates == 1 else "feet"}


def test_a_table_without_names_asks_which_column_is_which(propose, published):
    found = propose(published("jumpmetrics", "sample_data/sqj_example.txt"))
    assert {"columns", "rate", "place", "feet"} <= set(found["questions"])
    assert found["columns"] == [[f"#{n}" for n in range(1, 7)], [f"#{n}" for n in range(7, 13)]]
    refused = propose(published("jumpmetrics", "sample_data/cmj_example.txt"))
    assert "12 columns without names; expected for each plate Fx Fy Fz Mx My Mz" in refused["refused"]
