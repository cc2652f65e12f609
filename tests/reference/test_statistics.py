"""The comparison of sets and curves against scipy and spm1d.

The numbers come from the example `statistics` of footing-core, which speaks JSON.
spm1d (Pataky 2012, CMBBE 15:295-301) is compared with, never copied from.
"""

import itertools
import json
import os
import pathlib
import subprocess

import numpy as np
import pytest
import spm1d
from scipy import ndimage, optimize, special, stats

REPOSITORY = pathlib.Path(__file__).resolve().parents[2]

# What the two sides may differ by. spm1d finds thresholds by a simplex search that stops at 1e-4 or
# so; p-values and cluster ends inherit that.
T_CURVE = 1e-9
SMOOTHNESS = 1e-6
THRESHOLD = 1e-4
ENDS_NODES = 0.01
P = 1e-4


class Statistics:
    """The example, kept running: one request a line, one answer a line."""

    def __init__(self, binary):
        self.process = subprocess.Popen(
            [str(binary)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, encoding="utf-8"
        )

    def ask(self, do, **request):
        json.dump({"do": do} | request, self.process.stdin, default=np.ndarray.tolist)
        self.process.stdin.write("\n")
        self.process.stdin.flush()
        answer = self.process.stdout.readline()
        assert answer, "the example ended before it answered; its last words are above"
        return json.loads(answer)


@pytest.fixture(scope="module")
def ours():
    """FOOTING_STATISTICS names the binary; else it is built where cargo puts it."""
    named = os.environ.get("FOOTING_STATISTICS")
    if not named:
        build = ["cargo", "build", "-p", "footing-core", "--example", "statistics"]
        subprocess.run(build, cwd=REPOSITORY, check=True)
        target = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", REPOSITORY / "target"))
        named = target / "debug" / "examples" / "statistics"
    statistics = Statistics(named)
    yield statistics
    statistics.process.stdin.close()
    assert statistics.process.wait() == 0


def sets(count, seed):
    """Pairs of sets of every size a range session gives, with and without change."""
    random = np.random.default_rng(seed)
    for _ in range(count):
        n_a, n_b = random.integers(2, 13, size=2)
        a = random.normal(50, random.uniform(0.5, 8), n_a)
        b = random.normal(50 + random.normal(0, 6), random.uniform(0.5, 8), n_b)
        yield a, b


def test_welch_and_its_interval_against_scipy(ours):
    for a, b in sets(100, 1):
        got = ours.ask("compare", a=a, b=b, exact_up_to=0)
        test = stats.ttest_ind(b, a, equal_var=False)
        interval = test.confidence_interval(0.95)
        assert got["t"] == pytest.approx(test.statistic, rel=1e-9)
        assert got["df"] == pytest.approx(test.df, rel=1e-9)
        assert got["p_t"] == pytest.approx(test.pvalue, rel=1e-9)
        assert got["ci95"] == pytest.approx([interval.low, interval.high], rel=1e-9, abs=1e-9)


def test_paired_t_against_scipy(ours):
    for a, b in sets(50, 2):
        n = min(len(a), len(b))
        a, b = a[:n], b[:n]
        got = ours.ask("compare", a=a, b=b, design="paired", exact_up_to=0)
        test = stats.ttest_rel(b, a)
        interval = test.confidence_interval(0.95)
        assert got["t"] == pytest.approx(test.statistic, rel=1e-9)
        assert got["p_t"] == pytest.approx(test.pvalue, rel=1e-9)
        assert got["ci95"] == pytest.approx([interval.low, interval.high], rel=1e-9, abs=1e-9)


def test_exact_permutation_against_scipy(ours):
    random = np.random.default_rng(3)
    for n_a, n_b in itertools.product([2, 3, 5, 6], [2, 4, 6]):
        # Whole numbers: sums tie, and ties must be counted.
        a, b = random.integers(0, 9, n_a).astype(float), random.integers(2, 11, n_b).astype(float)
        got = ours.ask("compare", a=a, b=b)
        expected = stats.permutation_test(
            (a, b),
            lambda x, y, axis: np.abs(x.mean(axis=axis) - y.mean(axis=axis)),
            n_resamples=np.inf,
            alternative="greater",
            vectorized=True,
        )
        assert got["exact"]
        assert got["arrangements"] == special.comb(n_a + n_b, n_a, exact=True)
        assert got["p_permutation"] == pytest.approx(expected.pvalue, abs=1e-12)


def test_exact_sign_flips_against_scipy(ours):
    random = np.random.default_rng(4)
    for n in [2, 3, 5, 8, 11]:
        a, b = random.normal(0, 1, n), random.normal(0.7, 1, n)
        got = ours.ask("compare", a=a, b=b, design="paired")
        expected = stats.permutation_test(
            (b, a),
            lambda x, y, axis: np.abs((x - y).mean(axis=axis)),
            permutation_type="samples",
            n_resamples=np.inf,
            alternative="greater",
            vectorized=True,
        )
        assert (got["exact"], got["arrangements"]) == (True, 2**n)
        assert got["p_permutation"] == pytest.approx(expected.pvalue, abs=1e-12)


def test_hedges_g_and_its_interval_against_scipy(ours):
    for a, b in sets(60, 5):
        got = ours.ask("compare", a=a, b=b, exact_up_to=0)
        n_a, n_b = len(a), len(b)
        df = n_a + n_b - 2
        spread = np.sqrt(((n_a - 1) * a.var(ddof=1) + (n_b - 1) * b.var(ddof=1)) / df)
        d = (b.mean() - a.mean()) / spread
        j = np.exp(special.gammaln(df / 2) - special.gammaln((df - 1) / 2)) / np.sqrt(df / 2)
        assert got["spread"] == pytest.approx(spread, rel=1e-12)
        assert got["g"] == pytest.approx(j * d, rel=1e-10)
        root_n = np.sqrt(n_a * n_b / (n_a + n_b))
        for limit, share in zip(got["g_ci95"], [0.975, 0.025]):
            assert stats.nct.cdf(d * root_n, df, limit * root_n) == pytest.approx(share, abs=1e-6)


def test_icc_intervals_against_the_f_distribution(ours):
    random = np.random.default_rng(6)
    for _ in range(20):
        n, k = random.integers(3, 12), random.integers(2, 6)
        rows = random.normal(0, 1, (n, k)) + random.normal(0, 2, (n, 1)) + random.normal(0, 1, k)
        got = ours.ask("icc", rows=rows)
        mean = rows.mean()
        between = k * ((rows.mean(axis=1) - mean) ** 2).sum() / (n - 1)
        within = ((rows - rows.mean(axis=1, keepdims=True)) ** 2).sum() / (n * (k - 1))
        residual = rows - rows.mean(axis=1, keepdims=True) - rows.mean(axis=0) + mean
        error = (residual**2).sum() / ((n - 1) * (k - 1))
        for at, ms, df in [(0, within, n * (k - 1)), (2, error, (n - 1) * (k - 1))]:
            low = between / ms / stats.f.ppf(0.975, n - 1, df)
            high = between / ms * stats.f.ppf(0.975, df, n - 1)
            value, interval = got["icc"][at]
            assert value == pytest.approx((between - ms) / (between + (k - 1) * ms), rel=1e-9)
            limits = [(f - 1) / (f + k - 1) for f in (low, high)]
            assert interval == pytest.approx(limits, rel=1e-8, abs=1e-9)
        df = (n - 1) * (k - 1)
        limits = np.sqrt(error * df / stats.chi2.ppf([0.975, 0.025], df))
        assert got["sem_ci95"] == pytest.approx(limits, rel=1e-9)


# --- curves ---------------------------------------------------------------------------------------


def spm1d_two_samples(a, b, equal):
    # Theirs is first less second, ours second less first.
    return spm1d.stats.ttest2(b, a, equal_var=equal)


DESIGNS = {
    "pooled": lambda a, b: spm1d_two_samples(a, b, True),
    "welch": lambda a, b: spm1d_two_samples(a, b, False),
    "paired": lambda a, b: spm1d.stats.ttest_paired(b, a),
    "one-sample": lambda a, b: spm1d.stats.ttest(a),
}


# spm1d estimates the two variances of the unequal-variance case by restricted likelihood and stops its
# search early (when a step gains less than 0.1), so its df is a little off the solution, which has a
# closed form; ours is that form.
WELCH_DF = 0.05


def welch_df_of_the_field(a, b):
    """Satterthwaite from the two variances, each over the pooled variance at its node, averaged."""
    (df_a, df_b), (n_a, n_b) = (len(a) - 1, len(b) - 1), (len(a), len(b))
    pooled = (df_a * a.var(axis=0, ddof=1) + df_b * b.var(axis=0, ddof=1)) / (df_a + df_b)
    va = (a.var(axis=0, ddof=1) / pooled).mean() / n_a
    vb = (b.var(axis=0, ddof=1) / pooled).mean() / n_b
    return (va + vb) ** 2 / (va**2 / df_a + vb**2 / df_b)


def agree(ours, design, a, b, tails, rough_df=False):
    theirs = DESIGNS[design](a, b)
    inference = theirs.inference(0.05, two_tailed=tails == 2, interp=True)
    got = ours.ask("curves", design=design, a=a, b=[] if b is None else b, tails=tails)
    field, nodes = got["random_field"], a.shape[1]
    assert np.array(got["t"]) == pytest.approx(theirs.z, rel=T_CURVE, abs=T_CURVE)
    slack = WELCH_DF if design == "welch" else 1e-9
    assert got["df"] == pytest.approx(theirs.df[1], rel=slack)
    assert field["fwhm"] == pytest.approx(theirs.fwhm, rel=SMOOTHNESS)
    assert field["resels"] == pytest.approx(theirs.resels[1], rel=SMOOTHNESS)
    if design == "welch":
        assert got["df"] == pytest.approx(welch_df_of_the_field(a, b), rel=1e-9)
        if rough_df:
            # Another df is another threshold; the rest would compare different questions.
            assert field["threshold"] == pytest.approx(inference.zstar, rel=WELCH_DF)
            return len(inference.clusters)
    assert field["threshold"] == pytest.approx(inference.zstar, abs=THRESHOLD)
    # A stretch whose peak misses the threshold by less than the search's slack may go either way.
    near = np.abs(np.abs(theirs.z) - inference.zstar) < THRESHOLD
    if near.any():
        return len(inference.clusters)
    expected = sorted((c.endpoints[0], c.endpoints[1], c.P) for c in inference.clusters)
    assert len(field["stretches"]) == len(expected)
    for (start, end, p, _), (their_start, their_end, their_p) in zip(field["stretches"], expected):
        assert start * (nodes - 1) / 100 == pytest.approx(their_start, abs=ENDS_NODES)
        assert end * (nodes - 1) / 100 == pytest.approx(their_end, abs=ENDS_NODES)
        assert p == pytest.approx(their_p, abs=P)
    return len(expected)


PACKAGED = [
    ("t1.Random", "one-sample"),
    ("t1.RandomRough", "one-sample"),
    ("t1.SimulatedPataky2015a", "one-sample"),
    ("t1.SimulatedPataky2015b", "one-sample"),
    ("tpaired.PlantarArchAngle", "paired"),
    ("t2.PlantarArchAngle", "pooled"),
    ("t2.PlantarArchAngle", "welch"),
    ("t2.SimulatedTwoLocalMax", "pooled"),
    ("t2.SmallSampleLargePosNegEffects", "pooled"),
]


@pytest.mark.parametrize("tails", [1, 2])
@pytest.mark.parametrize("name, design", PACKAGED)
def test_packaged_curves_against_spm1d(ours, name, design, tails):
    kind, dataset = name.split(".")
    data = getattr(getattr(spm1d.data.uv1d, kind), dataset)().get_data()
    if design == "one-sample":
        a, level = data
        agree(ours, design, a - level, None, tails)
    else:
        # Their sets come as (A, B) for A - B; ours is second less first.
        b, a = data
        agree(ours, design, a, b, tails)


# What spm1d 0.4.55 gives for its packaged curves at alpha .05, written down once: df, FWHM, resels;
# then for one tail and for two the threshold and every stretch with its ends in nodes and its p. The
# two regressions among them are none of our questions: curves_published.rs holds their random fields.
PRINTED = {
    ("t1.Random", "one-sample"): [
        (9, 11.261542, 8.790981),
        (3.821339, [(15.045, 18.280, 0.030983)]),
        (4.373379, []),
    ],
    ("t1.RandomRough", "one-sample"): [
        (5, 4.419363, 22.627694),
        (6.883737, [(53.757, 54.148, 0.046508)]),
        (7.992601, []),  # Bonferroni's
    ],
    ("t1.SimulatedPataky2015a", "one-sample"): [
        (9, 26.547452, 3.766840),
        (3.227037, []),
        (3.753318, []),
    ],
    ("t1.SimulatedPataky2015b", "one-sample"): [
        (9, 26.547359, 3.766853),
        (3.227039, [(72.822, 77.247, 0.044407)]),
        (3.753320, [(73.929, 76.157, 0.048047)]),
    ],
    ("tpaired.PlantarArchAngle", "paired"): [
        (9, 20.371964, 4.908707),
        (3.405902, [(94.457, 100, 0.035279)]),
        (3.939469, [(95.566, 100, 0.037295)]),
    ],
    ("t2.PlantarArchAngle", "pooled"): [
        (18, 20.595629, 4.855399),
        (2.929415, [(91.828, 100, 0.028502)]),
        (3.294693, [(93.275, 100, 0.031225)]),
    ],
    ("t2.PlantarArchAngle", "welch"): [
        (17.991414, 20.595629, 4.855399),
        (2.929607, [(91.828, 100, 0.028504)]),
        (3.294948, [(93.275, 100, 0.031227)]),
    ],
    ("t2.SimulatedTwoLocalMax", "pooled"): [
        (10, 13.576255, 7.365801),
        (3.564737, []),
        (4.065900, [(22.963, 26.808, 0.029590), (75.189, 76.793, 0.045647)]),
    ],
    ("t2.SmallSampleLargePosNegEffects", "pooled"): [
        (6, 7.921037, 12.624609),
        (5.117162, [(35.058, 57.916, 0)]),
        (6.052658, [(10.845, 25.074, 0), (35.322, 57.367, 0), (67.341, 82.305, 0)]),
    ],
}
# Largest t with its node, and the least.
PEAKS = {
    ("tpaired.PlantarArchAngle", "paired"): (6.551758, 100, -1.124336, 29),
    ("t2.PlantarArchAngle", "pooled"): (5.819172, None, -0.882603, None),
    ("t1.Random", "one-sample"): (3.946703, 17, None, None),
    ("t1.SimulatedPataky2015b", "one-sample"): (3.958552, 75, None, None),
}


@pytest.mark.parametrize("tails", [1, 2])
@pytest.mark.parametrize("name, design", PRINTED)
def test_packaged_curves_as_printed(ours, name, design, tails):
    kind, dataset = name.split(".")
    data = getattr(getattr(spm1d.data.uv1d, kind), dataset)().get_data()
    a, b = (data[0] - data[1], []) if design == "one-sample" else (data[1], data[0])
    got = ours.ask("curves", design=design, a=a, b=b, tails=tails)
    field, t, nodes = got["random_field"], np.array(got["t"]), a.shape[1]
    (df, fwhm, resels), *by_tails = PRINTED[name, design]
    threshold, stretches = by_tails[tails - 1]
    # For unequal variances theirs is a search's that stops early: see WELCH_DF.
    assert got["df"] == pytest.approx(df, abs=0.002 if design == "welch" else 1e-9)
    assert field["fwhm"] == pytest.approx(fwhm, abs=1e-6)
    assert field["resels"] == pytest.approx(resels, abs=1e-6)
    assert field["threshold"] == pytest.approx(threshold, abs=THRESHOLD)
    if design == "one-sample" and dataset == "RandomRough" and tails == 2:
        assert field["bonferroni"]
    assert len(field["stretches"]) == len(stretches)
    for (start, end, p, _), (from_node, to_node, printed_p) in zip(field["stretches"], stretches):
        ends = [start * (nodes - 1) / 100, end * (nodes - 1) / 100]
        assert ends == pytest.approx([from_node, to_node], abs=ENDS_NODES)
        assert p == pytest.approx(printed_p, abs=P)
    highest, at, lowest, low_at = PEAKS.get((name, design), [None] * 4)
    for value, node, peak, where in [(highest, at, t.max(), t.argmax()), (lowest, low_at, t.min(), t.argmin())]:
        if value is not None:
            assert peak == pytest.approx(value, abs=1e-6)
        if node is not None:
            assert int(where) == node


def generated(count, seed, designs=("pooled", "paired", "one-sample")):
    """Smooth curves, 3 to 14 a side, with a bump in the second set more often than not."""
    random = np.random.default_rng(seed)
    for design in itertools.islice(itertools.cycle(designs), count):
        n = random.integers(3, 15)
        width = random.uniform(2, 12)
        noise = ndimage.gaussian_filter1d(random.normal(size=(2, n, 101)), width, axis=2)
        noise /= noise.std()
        centre, reach = random.uniform(0, 100), random.uniform(5, 20)
        bump = np.exp(-(((np.arange(101) - centre) / reach) ** 2))
        course = np.sin(np.arange(101) / 16)
        height = random.choice([0, 2, 5]) * random.choice([-1, 1])
        if design == "one-sample":
            yield design, noise[0] + height * bump, None
        else:
            yield design, course + noise[0], course + noise[1] + height * bump


def test_fifty_generated_sets_against_spm1d(ours):
    stretches = sum(agree(ours, *case, tails=2) for case in generated(50, 7))
    # The comparison is empty if nothing was ever found.
    assert stretches > 10


def test_fifty_generated_sets_one_tailed(ours):
    assert sum(agree(ours, *case, tails=1) for case in generated(50, 8)) > 5


def test_twenty_generated_sets_of_unequal_spread(ours):
    """t and smoothness agree as ever; the df is the closed form, spm1d's within 5 % of it."""
    for design, a, b in generated(20, 12, designs=["welch"]):
        agree(ours, design, a, a.mean(axis=0) + 2 * (b - a.mean(axis=0)), 2, rough_df=True)


def test_unequal_numbers_are_welch_at_every_node(ours):
    """Where spm1d keeps the pooled t and corrects the df alone, ours is Welch's own t."""
    random = np.random.default_rng(9)
    for n_a, n_b in [(4, 9), (10, 3), (6, 7)]:
        noise = ndimage.gaussian_filter1d(random.normal(size=(n_a + n_b, 101)), 6, axis=1)
        a, b = noise[:n_a], 0.05 + 2 * noise[n_a:]
        got = ours.ask("curves", design="welch", a=a, b=b, tails=2)
        expected = stats.ttest_ind(b, a, equal_var=False)
        assert np.array(got["t"]) == pytest.approx(expected.statistic, rel=1e-9)
        assert min(expected.df) <= got["df"] <= max(expected.df)


def test_max_t_permutation_against_scipy(ours):
    """All splits by a twin in numpy; the threshold leaves at most 5 % of them above it."""
    for (design, a, b), n in zip(generated(8, 10, ["pooled", "welch"]), itertools.cycle([4, 5, 6])):
        a, b = a[:n], b[:n]
        got = ours.ask("curves", design=design, a=a, b=b, tails=2)["permutation"]
        both, n_a = np.vstack([a, b]), len(a)
        maxima = []
        for chosen in itertools.combinations(range(len(both)), n_a):
            mark = np.isin(np.arange(len(both)), chosen)
            t = stats.ttest_ind(both[~mark], both[mark], equal_var=design == "pooled").statistic
            maxima.append(np.abs(t).max())
        maxima = np.array(maxima)
        assert got["largest"] == pytest.approx(maxima[0], rel=1e-8)
        assert got["p"] == pytest.approx((maxima >= maxima[0] * (1 - 1e-9)).mean(), abs=1e-12)
        allowed = int(0.05 * len(maxima))
        assert got["threshold"] == pytest.approx(np.sort(maxima)[::-1][allowed], rel=1e-8)


def test_random_field_threshold_by_another_root_finder(ours):
    """The threshold solves 1 - exp(-E[EC]) = alpha/2, by scipy's brentq from the published densities."""
    for design, a, b in generated(12, 11, [*DESIGNS]):
        got = ours.ask("curves", design=design, a=a, b=[] if b is None else b, tails=2)
        field, df = got["random_field"], got["df"]
        if field["bonferroni"]:
            expected = stats.t.isf(0.025 / 101, df)
        else:
            density = np.sqrt(4 * np.log(2)) / (2 * np.pi)

            def excess(u):
                crossings = density * (1 + u * u / df) ** ((1 - df) / 2)
                return -np.expm1(-(stats.t.sf(u, df) + field["resels"] * crossings)) - 0.025

            expected = optimize.brentq(excess, 0, 1e3, xtol=1e-12)
        assert field["threshold"] == pytest.approx(expected, rel=1e-9)
