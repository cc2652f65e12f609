"""The invented sample recordings, and freshly simulated ones, computed both ways."""

import itertools
import json
import pathlib

import pytest
from footing_reference import c3d, compare, swing, table

SAMPLES = pathlib.Path(__file__).resolve().parent.parent.parent / "samples"
ABOUT = ["stance-centre", "com", "combined-cop"]
LOW_PASS = [None, 50.0]


def recordings(folder):
    """Readable recordings of a folder with their rig (tables) and hand."""
    found = []
    for truth_path in sorted(folder.glob("*.truth.json")):
        truth = json.loads(truth_path.read_text(encoding="utf-8"))
        if "fault" in truth:
            continue
        for name in truth["files"]:
            path = folder / name
            if not path.is_file():
                continue
            rig = None
            if path.suffix == ".csv":
                (rig,) = [r for r in folder.glob("*.rig.json") if name.startswith(r.name[:-9])]
            found.append((path, rig, truth))
    return found


def both_ways(footing, path, rig, truth, about, low_pass_hz, events=None):
    handed = truth["handed"]
    printed = footing.measure_one(
        *[path, *(["--rig", rig] if rig else []), "--series", "--handed", handed],
        *["--about", about, "--low-pass", low_pass_hz or "off"],
        *(["--events", events] if events else []),
    )
    assert not any(n["code"] == "zeroed" for n in printed["notes"]), "nobody steps off in these"
    own = swing.swing(
        table.read(path, rig) if rig else c3d.read(path),
        handed=handed,
        about=about,
        quiet_s=printed["quiet_s"],
        low_pass_hz=low_pass_hz,
    )
    compare.agree(compare.curves(printed, own))
    if own.total.shear or events:
        compare.agree(compare.measures(printed, own))
    return printed


COMMITTED = recordings(SAMPLES)


def test_there_are_samples():
    assert len(COMMITTED) >= 28
    assert {path.suffix for path, _, _ in COMMITTED} == {".csv", ".c3d"}


# Every file once, the settings taken in turn.
TURNS = list(zip(COMMITTED, itertools.cycle(itertools.product(ABOUT, LOW_PASS))))


@pytest.mark.parametrize(
    "recording, settings", TURNS, ids=[f"{r[0].name}-{s[0]}-{s[1] or 'off'}" for r, s in TURNS]
)
def test_sample_both_ways(footing, recording, settings):
    both_ways(footing, *recording, *settings)


@pytest.mark.parametrize("scenario, seed", [("harbour-range", 2), ("driver-right", 3), ("vertical-only", 4)])
def test_fresh_swings_with_events_by_hand(footing, tmp_path, scenario, seed):
    done = footing.run("simulate", scenario, "--out", tmp_path, "--seed", seed)
    assert done.returncode == 0, done.stderr
    fresh = recordings(tmp_path)
    assert fresh
    for (path, rig, truth), about in zip(fresh, itertools.cycle(ABOUT)):
        events = tmp_path / "events.json"
        times = {k: v for k, v in truth["events"].items() if k in ("takeaway_s", "arm_level_s", "top_s", "impact_s")}
        events.write_text(json.dumps({path.name: times}))
        printed = both_ways(footing, path, rig, truth, about, 50.0, events)
        for key, t in times.items():
            event = printed["events"][key.removesuffix("_s")]
            assert (event["t_s"], event["source"], event["uncertainty_s"]) == (t, "given", 0.0)


def test_the_same_seed_gives_the_same_bytes(footing, tmp_path):
    for folder in ("one", "two"):
        assert footing.run("simulate", "driver-right", "--out", tmp_path / folder).returncode == 0
    names = sorted(p.name for p in (tmp_path / "one").iterdir())
    assert names == sorted(p.name for p in (tmp_path / "two").iterdir())
    for name in names:
        assert (tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes()
