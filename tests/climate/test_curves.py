import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from invented import COLD_TOWN_TMIN_C
from scipy.stats import norm

from seasonplan.climate.curves import month_curve, normal_chance, smooth_days, year_curve
from seasonplan.dates import DAYS, MONTH_LENGTHS, MONTH_STARTS, month_means

TWELVE = st.lists(st.floats(-70, 45), min_size=12, max_size=12).map(np.array)
EXACT_C = 1e-9


def plain_month_means(daily):
    return np.array([np.mean(daily[a:a + n]) for a, n in zip(MONTH_STARTS, MONTH_LENGTHS, strict=True)])


@settings(deadline=None, max_examples=60, derandomize=True)
@given(TWELVE)
def test_monthly_means_are_met_exactly(monthly):
    assert np.max(np.abs(plain_month_means(month_curve(monthly)) - monthly)) < EXACT_C
    assert np.max(np.abs(month_means(month_curve(monthly)) - monthly)) < EXACT_C


def test_no_curve_with_the_same_means_is_smoother():
    """At the smoothest one, no change that keeps the monthly means alters the roughness to first order."""
    def bend(values):
        return np.roll(values, -1) - 2 * values + np.roll(values, 1)

    best = month_curve(COLD_TOWN_TMIN_C)
    for waves in (3, 5, 8, 13):
        bump = np.cos(2 * np.pi * waves * np.arange(DAYS) / DAYS + waves)
        change = bump - month_curve(month_means(bump))
        assert np.max(np.abs(change)) > 1e-3 and np.max(np.abs(month_means(change))) < EXACT_C
        assert abs(np.sum(bend(best) * bend(change))) < 1e-9 * np.sqrt(np.sum(bend(change) ** 2))


def test_a_yearly_wave_is_recovered():
    wave = 8 - 12 * np.cos(2 * np.pi * (np.arange(DAYS) - 20) / DAYS)
    assert np.max(np.abs(month_curve(plain_month_means(wave)) - wave)) < 0.05


def test_the_curve_does_not_care_where_the_year_starts():
    curve = month_curve(COLD_TOWN_TMIN_C)
    assert abs(curve[0] - curve[-1]) < 0.3 and abs((curve[0] - curve[-1]) - (curve[-1] - curve[-2])) < 0.02


def test_a_flat_year_is_flat():
    assert np.max(np.abs(month_curve(np.full(12, 17.5)) - 17.5)) < EXACT_C


def test_smooth_daily_values_pass_and_noise_does_not():
    day = 2 * np.pi * np.arange(DAYS) / DAYS
    smooth = 5 + 9 * np.sin(day) + 2 * np.cos(2 * day) + 0.4 * np.sin(4 * day)
    noise = np.random.default_rng(4).normal(0, 1, DAYS)
    assert np.max(np.abs(smooth_days(smooth) - smooth)) < EXACT_C
    assert np.std(smooth_days(smooth + noise) - smooth) < 0.35 * np.std(noise)
    assert abs(smooth_days(smooth + noise).mean() - (smooth + noise).mean()) < EXACT_C


def test_year_curve_takes_either_kind():
    assert np.array_equal(year_curve(COLD_TOWN_TMIN_C), month_curve(COLD_TOWN_TMIN_C))
    daily = month_curve(COLD_TOWN_TMIN_C)
    assert np.max(np.abs(year_curve(daily) - daily)) < 0.1


def test_normal_chance_against_scipy():
    z = np.concatenate([np.linspace(-9, 9, 4001), [-np.inf, np.inf]])
    assert np.max(np.abs(normal_chance(z) - norm.cdf(z))) < 5e-8
    assert normal_chance(np.array([-np.inf, np.inf])).tolist() == [0.0, 1.0]
