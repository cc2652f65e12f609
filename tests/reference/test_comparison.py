"""`footing compare` from the recordings on, against scipy and spm1d.

Measures and curves of single swings are taken from `footing measure`, which `test_samples.py` holds
against the second implementation; everything after that is computed here.
"""

import itertools
import json
import pathlib

import numpy as np
import pytest
import spm1d
from scipy import special, stats

SAMPLES = pathlib.Path(__file__).resolve().parent.parent.parent / "samples"

NODES = 101
T_CURVE = 1e-9
# spm1d finds thresholds by a simplex search that stops at 1e-4 or so.
THRESHOLD = 1e-4
ENDS_NODES = 0.01
P = 1e-4

CURVES = {
    "torque_nm": lambda s: s["torque_nm"],
    "cop_angle_deg": lambda s: s["cop_angle_deg"],
    "lead_fa_n": lambda s: s["lead"]["fa_n"],
    "trail_fa_n": lambda s: s["trail"]["fa_n"],
    "lead_fz_n": lambda s: s["lead"]["fz_n"],
    "trail_fz_n": lambda s: s["trail"]["fz_n"],
}


class Case:
    """Two sets, compared by the command, with the recordings as the command measures them."""

    def __init__(self, footing, a, b, rig, handed, *options):
        self.paired = "--paired" in options
        self.linear = "linear" in options
        reading = ["--rig", rig, "--handed", handed]
        self.found = footing.json("compare", "--a", *a, "--b", *b, *reading, "--series", *options)
        assert self.found["format"] == "footing-comparison/1"
        measure = lambda files: footing.json("measure", *files, *reading, "--series")["recordings"]
        self.a, self.b = measure(a), measure(b)

    def values(self, measure):
        """The present values of both sets; in pairs, those with both."""
        a, b = ([r["measures"][measure] for r in side] for side in (self.a, self.b))
        if self.paired:
            both = [(x, y) for x, y in zip(a, b) if x is not None and y is not None]
            a, b = zip(*both) if both else ((), ())
        present = lambda values: np.array([v for v in values if v is not None], dtype=float)
        return present(a), present(b)

    def top_node(self):
        times = [[r["events"][e]["t_s"] for e in ("takeaway", "top", "impact")] for r in self.a + self.b]
        return int(np.floor(100 * np.mean([(top - t0) / (t1 - t0) for t0, top, t1 in times]) + 0.5))

    def curves(self, name):
        """Every swing's curve on the nodes: the same share of backswing and of downswing."""
        corners = [0, 100] if self.linear else [0, self.top_node(), 100]
        events = ["takeaway", "impact"] if self.linear else ["takeaway", "top", "impact"]

        def on_nodes(recording):
            series = recording["series"]
            y = np.array([np.nan if v is None else v for v in CURVES[name](series)], dtype=float)
            when = [recording["events"][e]["t_s"] for e in events]
            return np.interp(np.interp(np.arange(NODES), corners, when), series["t_s"], y)

        return (np.array([on_nodes(r) for r in side]) for side in (self.a, self.b))

    def draw(self):
        """How many arrangements the command went through, and whether they were all."""
        for measure in self.found["measures"].values():
            return measure["permutation"]["arrangements"], measure["permutation"]["exact"]


@pytest.fixture(scope="module")
def fresh(footing, tmp_path_factory):
    """Folders of freshly simulated swings, by scenario and seed."""

    def simulate(scenario, seed):
        folder = tmp_path_factory.mktemp(f"{scenario}-{seed}")
        done = footing.run("simulate", scenario, "--out", folder, "--seed", seed)
        assert done.returncode == 0, done.stderr
        return folder

    return simulate


def swings(folder, stem, count, first=1):
    return [folder / f"{stem}-{i}.csv" for i in range(first, first + count)]


def range_case(footing, folder, n_a, n_b, *options):
    files = swings(folder, "harbour-range-before", n_a), swings(folder, "harbour-range-after", n_b)
    return Case(footing, *files, folder / "harbour-range.rig.json", "left", *options)


def many(footing, fresh):
    """Nine against ten: too many arrangements to go through, and the random field leads."""
    one, two = fresh("harbour-range", 8), fresh("harbour-range", 9)
    a = swings(one, "harbour-range-before", 6) + swings(two, "harbour-range-before", 3)
    b = swings(one, "harbour-range-after", 6) + swings(two, "harbour-range-after", 4)
    return Case(footing, a, b, one / "harbour-range.rig.json", "left")


def unchanged(footing, fresh):
    """The same way of swinging twice, unequal numbers: nothing should be clear."""
    one, two = fresh("harbour-range", 10), fresh("harbour-range", 11)
    a, b = swings(one, "harbour-range-before", 5), swings(two, "harbour-range-before", 4)
    return Case(footing, a, b, one / "harbour-range.rig.json", "left")


def drivers(footing, fresh):
    """Three against three: no test of the whole curve can reach 5 %."""
    one, two = fresh("driver-right", 5), fresh("driver-right", 6)
    files = swings(one, "driver-right", 3), swings(two, "driver-right", 3)
    return Case(footing, *files, one / "driver-right.rig.json", "right")


CASES = {
    "samples": lambda footing, _: range_case(footing, SAMPLES, 6, 6),
    "samples-linear": lambda footing, _: range_case(footing, SAMPLES, 6, 6, "--align", "linear"),
    "samples-paired": lambda footing, _: range_case(footing, SAMPLES, 6, 6, "--paired"),
    "six-four": lambda footing, fresh: range_case(footing, fresh("harbour-range", 7), 6, 4),
    "unchanged": unchanged,
    "drivers": drivers,
    "many": many,
}


@pytest.fixture(scope="module", params=CASES)
def case(request, footing, fresh):
    return CASES[request.param](footing, fresh)


def close(got, expected, rel=1e-9, scale=1.0):
    assert got == pytest.approx(expected, rel=rel, abs=rel * scale)


def test_every_measure_is_compared_or_absent_for_a_reason(case):
    ids = set(case.a[0]["measures"]) - {"body_mass_kg"}
    compared, absent = set(case.found["measures"]), set(case.found["absent"])
    assert compared | absent == ids
    assert not compared & absent
    assert len(compared) > 40
    for measure in absent:
        a, b = case.values(measure)
        assert not (len(a) and len(b)), measure
        assert case.found["absent"][measure]


def test_means_and_welch_against_scipy(case):
    for name, got in case.found["measures"].items():
        a, b = case.values(name)
        size = np.abs(np.concatenate([a, b])).max()
        for side, values in (("a", a), ("b", b)):
            assert got[side]["n"] == len(values)
            close(got[side]["mean"], values.mean(), 1e-12, size)
            close(got[side]["sd"], values.std(ddof=1), 1e-9, size * 1e-6)
        close(got["change"], b.mean() - a.mean(), 1e-11, size)
        test = stats.ttest_rel(b, a) if case.paired else stats.ttest_ind(b, a, equal_var=False)
        interval = test.confidence_interval(0.95)
        close(got["t"], test.statistic, 1e-8)
        close(got["df"], test.df, 1e-8)
        close(got["p_t"], test.pvalue, 1e-7, 1e-6)
        close(got["ci95"], [interval.low, interval.high], 1e-9, size)


def arrangements(case, n_a, n_b):
    """Every dealing of the labels, as signs (pairs) or as the members of B."""
    if case.paired:
        return np.array([*itertools.product([1.0, -1.0], repeat=n_a)])
    chosen = itertools.combinations(range(n_a + n_b), n_b)
    marks = np.zeros((int(special.comb(n_a + n_b, n_b)), n_a + n_b))
    for row, members in zip(marks, chosen):
        row[list(members)] = 1.0
    return marks


def test_permutation_p_by_enumeration(case):
    """All arrangements by matrix product; scipy's own permutation test on every tenth row."""
    drawn, exact = case.draw()
    marks = None
    for turn, (name, got) in enumerate(case.found["measures"].items()):
        a, b = case.values(name)
        if marks is None or marks.shape[1] != (len(a) if case.paired else len(a) + len(b)):
            marks = arrangements(case, len(a), len(b))
        if case.paired:
            observed, all_of_them = (b - a).mean(), marks @ (b - a) / len(a)
        else:
            both = np.concatenate([a, b]) - np.concatenate([a, b]).mean()
            in_b = marks @ both
            observed, all_of_them = b.mean() - a.mean(), in_b / len(b) + in_b / len(a)
        p = (np.abs(all_of_them) >= abs(observed) * (1 - 1e-9)).mean()
        if exact:
            assert got["permutation"]["exact"]
            assert got["permutation"]["arrangements"] == len(marks)
            assert got["p_permutation"] == pytest.approx(p, abs=1e-12), name
            if turn % 10 == 0:
                statistic = lambda x, y, axis: np.abs(x.mean(axis=axis) - y.mean(axis=axis))
                theirs = stats.permutation_test(
                    (a, b),
                    statistic,
                    permutation_type="samples" if case.paired else "independent",
                    n_resamples=np.inf,
                    alternative="greater",
                    vectorized=True,
                )
                assert got["p_permutation"] == pytest.approx(theirs.pvalue, abs=1e-12), name
        else:
            assert not got["permutation"]["exact"]
            # Five standard errors of drawing, and the observed one counted besides.
            slack = 5 * np.sqrt(p * (1 - p) / drawn) + 2 / drawn
            assert got["p_permutation"] == pytest.approx(p, abs=slack), name


def holm(p):
    """Step-down: Holm (1979) Scand J Stat 6:65-70."""
    order = np.argsort(p, kind="stable")
    stepped = np.asarray(p)[order] * (len(p) - np.arange(len(p)))
    out = np.empty(len(p))
    out[order] = np.minimum(np.maximum.accumulate(stepped), 1.0)
    return out


def test_holm_over_the_rows_that_are_read_together(case):
    measures = case.found["measures"]
    together = [name for name in measures if not name.endswith("_per_kg")]
    by_permutation = holm([measures[name]["p_permutation"] for name in together])
    by_t = holm([measures[name]["p_t"] for name in together])
    for name, p, p_t in zip(together, by_permutation, by_t):
        got = measures[name]
        close(got["p_holm"], p)
        reachable = got["permutation"]["smallest_possible"] * len(together) <= 0.05
        assert got["stands"] == ((p if reachable else p_t) <= 0.05), name
    for name in set(measures) - set(together):
        assert measures[name]["p_holm"] is None


def test_hedges_g_with_the_exact_factor(case):
    for name, got in case.found["measures"].items():
        a, b = case.values(name)
        n_a, n_b = len(a), len(b)
        pooled = np.sqrt(
            ((n_a - 1) * a.var(ddof=1) + (n_b - 1) * b.var(ddof=1)) / (n_a + n_b - 2)
        )
        if case.paired:
            df, root_n = n_a - 1, np.sqrt(n_a)
            d = (b - a).mean() / (b - a).std(ddof=1)
        else:
            df, root_n = n_a + n_b - 2, np.sqrt(n_a * n_b / (n_a + n_b))
            d = (b.mean() - a.mean()) / pooled
        j = np.exp(special.gammaln(df / 2) - special.gammaln((df - 1) / 2)) / np.sqrt(df / 2)
        close(got["spread"], pooled, 1e-8)
        close(got["mdc95"], 1.96 * np.sqrt(2) * pooled, 1e-8)
        close(got["hedges_g"], j * d, 1e-8)
        if abs(d * root_n) < 30:
            for limit, share in zip(got["hedges_g_ci95"], [0.975, 0.025]):
                assert stats.nct.cdf(d * root_n, df, limit * root_n) == pytest.approx(share, abs=1e-5)


def test_verdicts_follow_from_the_numbers(case):
    for name, got in case.found["measures"].items():
        (lo, hi), change, mdc95 = got["ci95"], abs(got["change"]), got["mdc95"]
        if lo > 0 or hi < 0:
            expected = "clear change" if change > mdc95 else "change on average"
        else:
            inside = lo >= -mdc95 and hi <= mdc95
            expected = "within ordinary spread" if inside else "not settled"
        assert got["verdict"] == expected, name
        assert (got["more_swings"] is not None) == (expected == "not settled"), name


def test_neighbours_alike(case):
    for name, got in case.found["measures"].items():
        sides = [v - v.mean() for v in case.values(name) if len(v) > 2]
        products = sum((v[:-1] * v[1:]).sum() for v in sides)
        close(got["lag1_r"], products / sum((v * v).sum() for v in sides), 1e-6)


def test_mean_curves_on_the_nodes(case):
    assert case.found["top_pct"] == (None if case.linear else case.top_node())
    for name in CURVES:
        got = case.found["curves"][name]
        for side, curves in zip("ab", case.curves(name)):
            scale = np.nanmax(np.abs(curves))
            for key, expected in (("mean", curves.mean(axis=0)), ("sd", curves.std(axis=0, ddof=1))):
                printed = np.array([np.nan if v is None else v for v in got[side][key]])
                assert printed == pytest.approx(expected, abs=1e-9 * scale, nan_ok=True)
            assert got[side]["n"] == len(curves)


def beyond(t, threshold):
    """Stretches of |t| above a threshold: ends in nodes, where the straight line crosses; the peak."""
    found = []
    for sign in (1, -1):
        above = np.concatenate([[False], sign * t > threshold, [False]])
        for start, end in np.flatnonzero(np.diff(above.astype(int))).reshape(-1, 2):
            last = end - 1
            cross = lambda i, k: i + (threshold - sign * t[i]) / (sign * t[k] - sign * t[i]) * (k - i)
            left = cross(start - 1, start) if start > 0 else 0.0
            right = cross(last, last + 1) if last < len(t) - 1 else float(last)
            found.append((left, right, np.abs(t[start:end]).max()))
    return sorted(found)


def test_curves_against_spm1d(case):
    for name in CURVES:
        got = case.found["curves"][name]
        a, b = case.curves(name)
        assert np.isfinite(a).all() and np.isfinite(b).all(), "no foot of these leaves its plate"
        theirs = spm1d.stats.ttest_paired(b, a) if case.paired else spm1d.stats.ttest2(b, a, equal_var=True)
        inference = theirs.inference(0.05, two_tailed=True, interp=True)
        assert np.array(got["t"]) == pytest.approx(theirs.z, rel=T_CURVE, abs=T_CURVE), name
        field = got["random_field"]
        assert field["threshold"] == pytest.approx(inference.zstar, abs=THRESHOLD), name
        # A stretch whose peak misses the threshold by less than their search's slack may go either way.
        if (np.abs(np.abs(theirs.z) - inference.zstar) < THRESHOLD).any():
            continue
        expected = sorted((c.endpoints[0], c.endpoints[1], c.P) for c in inference.clusters)
        assert len(field["clusters"]) == len(expected), name
        for cluster, (start, end, p) in zip(field["clusters"], expected):
            assert cluster["from_pct"] == pytest.approx(start, abs=ENDS_NODES), name
            assert cluster["to_pct"] == pytest.approx(end, abs=ENDS_NODES), name
            assert cluster["p"] == pytest.approx(p, abs=P), name


def largest_t(case, a, b):
    """The largest |t| along the curve for every arrangement, the observed one among them."""
    if case.paired:
        d = b - a
        means, n = arrangements(case, len(a), len(b)) @ d / len(d), len(d)
        variance = ((d * d).sum(axis=0) - n * means**2) / (n - 1)
        return np.abs(means / np.sqrt(variance / n)).max(axis=1)
    both = np.vstack([a, b]) - np.vstack([a, b]).mean(axis=0)
    n_a, n_b = len(a), len(b)
    in_b = arrangements(case, n_a, n_b) @ both
    squares, change = (both * both).sum(axis=0), in_b / n_b + in_b / n_a
    within = (squares - in_b**2 * (1 / n_b + 1 / n_a)) / (n_a + n_b - 2)
    return np.abs(change / np.sqrt(within * (1 / n_a + 1 / n_b))).max(axis=1)


def test_curves_by_permuting_the_labels(case):
    drawn, exact = case.draw()
    fewest = min(len(case.a), len(case.b))
    for name in CURVES:
        got = case.found["curves"][name]
        assert got["leading"] == ("random_field" if fewest >= 8 else "permutation")
        test = got["permutation"]
        a, b = case.curves(name)
        maxima = largest_t(case, a, b)
        if exact:
            allowed = int(0.05 * len(maxima) + 1e-9)
            threshold = np.sort(maxima)[::-1][allowed]
            assert test["threshold"] == pytest.approx(threshold, rel=1e-7), name
        else:
            beaten = (maxima > test["threshold"]).mean()
            assert beaten == pytest.approx(0.05, abs=5 * np.sqrt(0.05 * 0.95 / drawn)), name
        expected = beyond(np.array(got["t"]), test["threshold"])
        assert len(test["clusters"]) == len(expected), name
        for cluster, (start, end, peak) in zip(test["clusters"], expected):
            assert cluster["from_pct"] == pytest.approx(start, abs=1e-6), name
            assert cluster["to_pct"] == pytest.approx(end, abs=1e-6), name
            p = (maxima >= peak * (1 - 1e-9)).mean()
            slack = 1e-12 if exact else 5 * np.sqrt(p * (1 - p) / drawn) + 2 / drawn
            assert cluster["p"] == pytest.approx(p, abs=slack), name


def test_a_change_is_found_and_none_is_invented(footing, fresh):
    """What the simulator put in: the Harbour Range player reverses the turn earlier after the drill."""
    changed = CASES["samples"](footing, fresh)
    truths = {}
    for side in ("before", "after"):
        files = sorted(SAMPLES.glob(f"harbour-range-{side}-*.truth.json"))
        truths[side] = [json.loads(f.read_text())["measures"]["stance-centre"] for f in files]
    got = changed.found["measures"]["torque_zero_cross_s"]
    true = np.mean([t["torque_zero_cross_s"] for t in truths["after"]]) - np.mean(
        [t["torque_zero_cross_s"] for t in truths["before"]]
    )
    assert got["change"] == pytest.approx(true, abs=0.04)
    assert got["verdict"] == "clear change" and got["stands"]
    same = unchanged(footing, fresh).found["measures"]
    assert not any(m["verdict"] == "clear change" and m["stands"] for m in same.values())


def test_a_link_gives_the_same_comparison(footing):
    case = range_case(footing, SAMPLES, 6, 6, "--link", "https://example.org/footing/", "--cue", "Left heel first")
    read = footing.json("read-link", case.found["link"])
    assert read["format"] == case.found["format"]
    assert read["cue"] == "Left heel first"
    for name, sent in case.found["measures"].items():
        back = read["measures"][name]
        for side in "ab":
            allowed = max(0.1, 0.01 * sent["spread"])
            assert back[side]["n"] == sent[side]["n"]
            assert back[side]["mean"] == pytest.approx(sent[side]["mean"], abs=allowed), name
        assert back["verdict"] == sent["verdict"], name
        assert back["p_permutation"] == pytest.approx(sent["p_permutation"], abs=1e-12), name
