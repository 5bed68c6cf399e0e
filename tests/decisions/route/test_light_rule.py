"""The light rule as it stands once, against a plain loop over days."""

import math

import numpy as np
import pytest

from seasonplan.decisions.route.light_rule import allowed_clear_dli, allowed_full_sun_h, intervals, sun_cap_h

RISING = np.array([4.0, 20.0, 9.0, 30.0, 12.0, 15.0, 18.0])


@pytest.mark.parametrize("used, allowed", [(0.5, 12.0), (3.0, 12.0), (4.0, 14.0), (10.0, 35.0)])
def test_clear_light_may_be_three_and_a_half_times_what_a_plant_is_used_to_and_open_shade_always(used, allowed):
    assert allowed_clear_dli(used) == pytest.approx(allowed)


@pytest.mark.parametrize("used, days_out, sun_class, allowed", [
    (0.0, 0, "sun", 1.5), (0.0, 6, "sun", 1.5), (0.0, 7, "sun", 3.0), (2.0, 7, "sun", 5.0), (4.0, 30, "sun", 8.8),
    (2.0, 30, "part-sun", 4.0), (5.0, 30, "shade", 1.5), (0.0, 0, "deep-shade", 0.5)])
def test_sun_is_dosed_by_what_a_plant_is_used_to_its_first_week_and_its_class(used, days_out, sun_class, allowed):
    assert allowed_full_sun_h(used, days_out, sun_cap_h(sun_class)) == pytest.approx(allowed)


def test_an_unknown_sun_class_is_no_class():
    with pytest.raises(KeyError):
        sun_cap_h("half-shade")


def test_a_stay_asks_for_what_its_hardest_day_asks_and_leaves_what_a_loop_over_its_days_leaves():
    """Just enough on arrival keeps every day's limit under both ways of stepping; a hundredth less breaks one."""
    clear, mean, sun = 2.4 * RISING, RISING, 0.35 * RISING
    found = intervals(np.array([0, 7]), clear[None], mean[None], sun[None], 0 * RISING[None])
    need_a, need_s = found.need_dli[0, 0], found.need_sun_h[0, 0]

    def lived(a, s, steps):
        kept = True
        for day in range(7):
            kept &= clear[day] <= max(0.99 * 3.5 * a, 12) + 1e-9
            kept &= sun[day] <= 0.99 * max(s + 3, 2.2 * s) + 1e-9
            a, s = a + steps[0] * (mean[day] - a), s + steps[1] * (sun[day] - s)
        return bool(kept), a, s

    ways = ((1 - math.exp(-1 / 7), 1 - math.exp(-1 / 4)), (1 / 7, 1 / 4))
    for n, steps in enumerate(ways):
        kept, a, s = lived(need_a, need_s, steps)
        assert kept
        assert need_a * found.kept_dli[n, 0] + found.gain_dli[n, 0, 0] == pytest.approx(a)
        assert need_s * found.kept_sun[n, 0] + found.gain_sun_h[n, 0, 0] == pytest.approx(s)
    assert not all(lived(need_a - 0.01, need_s, steps)[0] for steps in ways)
    assert not all(lived(need_a, need_s - 0.01, steps)[0] for steps in ways)


def test_a_stay_tells_its_first_last_mean_and_strongest_light():
    found = intervals(np.array([0, 3, 7]), RISING[None], RISING[None], RISING[None], RISING[None])
    assert found.lengths.tolist() == [3, 4]
    assert found.first_dli[:, 0].tolist() == [4.0, 30.0] and found.last_dli[:, 0].tolist() == [9.0, 18.0]
    assert found.mean_dli[:, 0] == pytest.approx([11.0, 18.75])
    assert found.early_ppfd[:, 0].tolist() == [20.0, 30.0] and found.top_sun_h[:, 0].tolist() == [20.0, 30.0]
