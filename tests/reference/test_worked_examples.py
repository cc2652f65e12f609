"""The second implementation itself, against printed and forward-simulated worked numbers."""

import numpy as np
import pytest
from footing_reference import flat, measures, mechanics, swing


def test_p1_six_component_plate():
    # Forward-simulated: F, CoP, Tz and the offset are chosen, the raw moment follows.
    force = np.array([35.0, -120.0, 760.0])
    raw = np.array([-54.088, -34.250, -14.417])
    moment = mechanics.moment_about(force, raw, [0.0015, -0.0008, -0.0340])
    assert moment == pytest.approx([-49.400, -31.920, -14.265], abs=5e-4)
    cop = mechanics.centre_of_pressure(force, moment)
    assert cop == pytest.approx([0.042, -0.065], abs=1e-5)
    assert mechanics.free_moment(force, moment) == pytest.approx(-11.5, abs=1e-3)
    # Shimba (1984) J Biomech 17(1):53-60: the screw axis meets the surface elsewhere.
    assert mechanics.screw_axis_point(force, moment) == pytest.approx(
        [0.044326, -0.064322], abs=2e-6
    )


def test_p3_eight_channel_plate():
    # Formulae sheet FORMULAE 1/3 (03.02.99); a 0.120, b 0.200, az0 -0.048 m.
    channels = np.array([12.0, -30.0, 55.0, 41.0, 310.0, 205.0, 120.0, 165.0])
    force, moment = mechanics.eight_channels(channels, 0.120, 0.200)
    assert force == pytest.approx([-18.0, 96.0, 800.0])
    assert moment == pytest.approx([46.0, -18.0, -6.72])
    at_surface = mechanics.moment_about(force, moment, [0.0, 0.0, -0.048])
    assert at_surface[:2] == pytest.approx([41.392, -18.864])
    assert mechanics.centre_of_pressure(force, at_surface) == pytest.approx([0.02358, 0.05174])
    assert mechanics.free_moment(force, at_surface) == pytest.approx(-9.915, abs=1e-3)


def test_w2_two_plates():
    lead = swing.Foot(*[np.array([v]) for v in w2_foot((0.260, -0.030), (-95.0, 140.0, 905.0), 14.0)], True)
    trail = swing.Foot(*[np.array([v]) for v in w2_foot((-0.240, 0.045), (60.0, -85.0, 310.0), 5.0)], True)
    total = lead + trail
    # In a lab with y toward the heels of a right-hander, a = -y.
    assert total.cop(30.0)[0] == pytest.approx([0.132427984, 0.010864198], abs=1e-9)
    assert total.torque_about(total.cop(30.0))[0] == pytest.approx(63.346707819, abs=1e-8)
    assert total.torque_about(np.array([0.010, -0.0075]))[0] == pytest.approx(69.4375)
    assert total.torque_about(np.array([0.030, 0.020]))[0] == pytest.approx(69.3)
    d = lead.cop(30.0)[0] - trail.cop(30.0)[0]
    assert np.degrees(np.arctan2(d[1], d[0])) == pytest.approx(8.530766, abs=1e-6)
    assert np.hypot(*d) == pytest.approx(0.505594, abs=1e-6)


def w2_foot(cop, force, free_moment):
    x, y = cop
    fx, fy, fz = force
    return fx, -fy, fz, x * fz, -y * fz, x * fy - y * fx + free_moment


@pytest.mark.parametrize(
    "rate, cutoff, b0, a1, a2",
    [
        (1000, 20, 0.005505744328, -1.779406303736, 0.801429281050),
        (1000, 50, 0.029569074716, -1.458103860461, 0.576380159326),
        (500, 20, 0.019877343437, -1.563460343190, 0.642969716938),
        (200, 15, 0.059199991072, -1.203675705850, 0.440475670140),
    ],
)
def test_butterworth_with_corrected_cutoff(rate, cutoff, b0, a1, a2):
    # Winter DA (2009), section 3.4; Robertson & Dowling (2003) J Electromyogr Kinesiol 13(6):569-573.
    sections = swing.zero_lag_sections(cutoff, rate)
    assert sections[0] == pytest.approx([b0, 2 * b0, b0, 1.0, a1, a2], abs=1e-11)


def test_signed_areas_split_at_the_crossings():
    t = np.array([0.0, 0.1, 0.2, 0.3, 0.4, 0.5])
    y = np.array([0.0, -10.0, -20.0, 10.0, 30.0, 0.0])
    assert measures.signed_areas(t, y) == pytest.approx((-8 / 3, 11 / 3))
    assert flat.time_below_zero(t, y, t[0], t[-1], 0.0) == pytest.approx(0.2 + 0.1 * 2 / 3)


def test_half_sines():
    # -40 sin(pi t/0.5), then +60 sin: areas 2 A T / pi; values at 1 kHz by the trapezoid.
    t = np.arange(1001) / 1000
    y = np.where(t <= 0.5, -40 * np.sin(np.pi * t / 0.5), 60 * np.sin(np.pi * (t - 0.5) / 0.5))
    assert measures.signed_areas(t, y) == pytest.approx((-12.732354, 19.098530), abs=5e-7)


def test_crossing_time():
    t, y = np.array([0.410, 0.412, 0.414, 0.5]), np.array([-5.0, -3.2, 1.8, 5.0])
    assert measures.zero_cross(t, y) == pytest.approx(0.41328)
