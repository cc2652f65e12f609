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
        (1e-6, 5.0, 0.4999996203933102),
        (0.3, 3.0, 0.3918816460199595),
        (1.0, 1.0, 0.25),
        (2.1, 8.0, 0.0344687621476561),
        (3.5, 4.0, 0.012448081730111376),
        (12.0, 10.0, 1.4607044123849935e-07),
        (40.0, 3.0, 1.7190340394579263e-05),
        (5.4976, 13.338926809, 4.6746910578870995e-05),
        (2.0, 58.0, 0.025_095_234_020_724_17),
    ] {
        close(&format!("t {t} df {df}"), t_upper(t, df), p, TAIL);
        close(&format!("t −{t} df {df}"), t_upper(-t, df), 1.0 - p, TAIL);
    }
    // The logarithms of the front factor grow with df, and so does their rounding.
    let many = t_upper(6.0, 2000.0);
    close("df 2000", many, 1.1681211371480028e-09, 10.0 * TAIL);
    assert_eq!(t_two_sided(0.0, 7.0), 1.0);
}

#[test]
fn t_quantile_agrees_with_mpmath() {
    for (p, df, t) in [
        (0.025, 4.0, 2.7764451051977943),
        (0.025, 13.338926809, 2.1548019108745393),
        (1e-6, 7.0, 14.241469651981445),
        (0.3, 2.0, 0.6172133998483676),
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
        (0.5, 1.0, 0.4795001221869535),
        (7.0, 7.0, 0.42887985755305474),
        (16.0127642746, 7.0, 0.02500000000026675),
        (1.69, 7.0, 0.974994451177817),
        (120.0, 100.0, 0.08440668109369183),
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
        (1.79, 5.0, 18.0, 0.1657413107437556),
        (11.0, 5.0, 15.0, 0.000_136_450_743_083_728_7),
        (0.2, 3.0, 7.5, 0.8933481903943299),
        (50.0, 2.0, 4.0, 0.0014792899408284023),
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
