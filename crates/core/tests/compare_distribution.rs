//! Tails and quantiles against mpmath 1.4 at 40 digits: regularised incomplete beta and gamma
//! integrals, and for the noncentral t the defining integral by adaptive quadrature.

use footing_core::compare::distribution::{
    chi_squared_upper, chi_squared_upper_quantile, f_upper, f_upper_quantile, noncentral_t_cdf,
    noncentrality, t_two_sided, t_upper, t_upper_quantile,
};

fn close(what: &str, got: f64, expected: f64, relative: f64) {
    let error = (got - expected).abs() / expected.abs();
    assert!(
        error <= relative,
        "{what}: expected {expected:e}, got {got:e}, relative error {error:e}"
    );
}

/// Relative: deep tails are to be as good as shallow ones.
const TAIL: f64 = 1e-12;

#[test]
fn t_tail_agrees_with_mpmath() {
    for (t, df, p) in [
        (1e-6, 5.0, 0.499_999_620_393_310_178),
        (0.3, 3.0, 0.391_881_646_019_959_521),
        (1.0, 1.0, 0.25),
        (2.1, 8.0, 0.034_468_762_147_656_103_5),
        (3.5, 4.0, 0.012_448_081_730_111_376_1),
        (12.0, 10.0, 1.460_704_412_384_993_54e-7),
        (40.0, 3.0, 0.000_017_190_340_394_579_264_1),
        (5.4976, 13.338926809, 0.000_046_746_910_578_870_994_2),
        (2.0, 58.0, 0.025_095_234_020_724_17),
    ] {
        close(&format!("t {t} df {df}"), t_upper(t, df), p, TAIL);
        close(&format!("t −{t} df {df}"), t_upper(-t, df), 1.0 - p, TAIL);
    }
    // The logarithms of the front factor grow with df, and so does their rounding.
    let many = t_upper(6.0, 2000.0);
    close("df 2000", many, 1.168_121_137_148_002_94e-9, 10.0 * TAIL);
    assert_eq!(t_two_sided(0.0, 7.0), 1.0);
}

#[test]
fn t_quantile_agrees_with_mpmath() {
    for (p, df, t) in [
        (0.025, 4.0, 2.776_445_105_197_794_36),
        (0.025, 13.338926809, 2.154_801_910_874_539_36),
        (1e-6, 7.0, 14.241_469_651_981_445_9),
        (0.3, 2.0, 0.617_213_399_848_367_641),
    ] {
        close(&format!("p {p}"), t_upper_quantile(p, df), t, TAIL);
        close(
            &format!("1 − p {p}"),
            t_upper_quantile(1.0 - p, df),
            -t,
            1e-9,
        );
    }
}

#[test]
fn chi_squared_and_f_tails_agree_with_mpmath() {
    for (x, df, p) in [
        (0.5, 1.0, 0.479_500_122_186_953_462),
        (7.0, 7.0, 0.428_879_857_553_054_719),
        (16.0127642746, 7.0, 0.025_000_000_000_266_750_8),
        (1.69, 7.0, 0.974_994_451_177_817_021),
        (120.0, 100.0, 0.084_406_681_093_691_829_6),
    ] {
        close(&format!("χ² {x}"), chi_squared_upper(x, df), p, TAIL);
        close(
            &format!("χ² p {p}"),
            chi_squared_upper_quantile(p, df),
            x,
            1e-11,
        );
    }
    for (x, df1, df2, p) in [
        (1.79, 5.0, 18.0, 0.165_741_310_743_755_593),
        (11.0, 5.0, 15.0, 0.000_136_450_743_083_728_7),
        (0.2, 3.0, 7.5, 0.893_348_190_394_329_901),
        (50.0, 2.0, 4.0, 0.001_479_289_940_828_402_37),
    ] {
        close(&format!("F {x}"), f_upper(x, df1, df2), p, TAIL);
        close(&format!("F p {p}"), f_upper_quantile(p, df1, df2), x, 1e-11);
    }
}

#[test]
fn noncentral_t_agrees_with_mpmath() {
    for (t, df, delta, p) in [
        (1.5, 4.0, 0.5, 0.790_433_159_468_537_7),
        (5.4976, 14.0, 2.1, 0.990_788_630_385_144_2),
        (5.4976, 14.0, 8.9, 0.008_570_047_780_225_575),
        (40.0, 10.0, 35.0, 0.661_561_896_018_259_7),
        (0.01, 6.0, 0.3, 0.385_753_149_367_580_5),
        (300.0, 8.0, 280.0, 0.539_992_730_446_934_1),
        (2.0, 1.0, 1.0, 0.622_871_964_460_281_7),
        (3.0, 200.0, 2.5, 0.688_197_683_849_92),
    ] {
        let got = noncentral_t_cdf(t, df, delta);
        assert!(
            (got - p).abs() < 1e-10,
            "t {t} df {df} δ {delta}: expected {p}, got {got}"
        );
        let mirrored = noncentral_t_cdf(-t, df, -delta);
        assert!((mirrored - (1.0 - p)).abs() < 1e-10, "−t {t}");
        close("noncentrality", noncentrality(t, df, p), delta, 1e-7);
    }
    // Without noncentrality it is Student's t.
    for df in [1.0, 2.0, 5.5, 30.0] {
        let got = noncentral_t_cdf(1.3, df, 0.0);
        assert!(
            (got - (1.0 - t_upper(1.3, df))).abs() < 1e-10,
            "df {df}: {got}"
        );
    }
}
