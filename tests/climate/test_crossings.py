"""The searches on invented curves, with a slow search of another kind beside them."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seasonplan.climate.crossings import autumn_index, first_at_or_above, first_at_or_below, spring_index
from seasonplan.dates import DAYS
from seasonplan.model import Edge, NightTables

STEPS = st.lists(st.sampled_from([0.0, 0.05, 0.1, 0.5, 0.9, 1.0]), min_size=1, max_size=40)


def curve_from(values, start):
    curve = np.full(DAYS, 99.0)
    curve[(start + np.arange(len(values))) % DAYS] = values
    return curve


def slow_below(values, limit):
    for n in range(len(values)):
        if all(v <= limit for v in values[n:]):
            return Edge.ALL_YEAR if n == 0 else n
    return Edge.NEVER


def slow_above(values, limit):
    for n, value in enumerate(values):
        if value >= limit:
            return Edge.ALL_YEAR if n == 0 else n
    return Edge.NEVER


@settings(deadline=None, max_examples=200, derandomize=True)
@given(STEPS, st.sampled_from([0.0, 0.1, 0.5, 1.0]), st.integers(0, 364))
def test_both_searches_agree_with_slow_ones(values, limit, start):
    for search, slow in ((first_at_or_below, slow_below), (first_at_or_above, slow_above)):
        found, wanted = search(curve_from(values, start), limit, start, len(values)), slow(values, limit)
        assert found == (wanted if isinstance(wanted, Edge) else (start + wanted) % DAYS)


def test_a_dip_that_does_not_last_is_not_the_answer():
    curve = curve_from([0.9, 0.05, 0.6, 0.1, 0.0], 360)
    assert first_at_or_below(curve, 0.1, 360, 5) == 363
    assert first_at_or_above(curve_from([0.0, 0.5, 0.1], 364), 0.2, 364, 3) == 0


def tables_with(after, before, turn=200, cold=20):
    shape = (1, DAYS)
    empty = np.zeros(shape)
    chance_after, chance_before = np.zeros(shape), np.zeros(shape)
    chance_after[0, cold:turn] = after
    chance_before[0, (turn + np.arange(DAYS - (turn - cold))) % DAYS] = before
    return NightTables(np.array([5.0]), chance_after, chance_before, empty, empty, turn, cold)


def test_spring_date_is_the_last_night_still_to_fear():
    after = np.linspace(1, 0, 181)[:-1]  # falls by 1/180 a day from day 20 on
    tables = tables_with(after, 0.0)
    found = spring_index(tables, 0, 10)
    assert tables.chance_after[0, found + 1] <= 0.1 < tables.chance_after[0, found]
    assert spring_index(tables, 0, 90) < spring_index(tables, 0, 50) < found


def test_autumn_date_is_the_first_by_which_enough_years_had_one():
    before = np.minimum(np.arange(185) / 100, 1.0)
    tables = tables_with(0.0, before)
    assert [autumn_index(tables, 0, p) for p in (10, 50, 100)] == [210, 250, 300]
    assert autumn_index(tables_with(0.0, np.arange(185) / 185), 0, 99) == (200 + 184) % DAYS


@pytest.mark.parametrize("after,percent", [(0.04, 10), (0.6, 10)])
def test_a_chance_never_reached_has_no_date(after, percent):
    assert spring_index(tables_with(np.full(180, after), 0.0), 0, percent) is None


@pytest.mark.parametrize("before", [0.04, 0.6])
def test_no_autumn_date_below_or_above_all_along(before):
    assert autumn_index(tables_with(0.0, np.full(185, before)), 0, 10) is None


def test_dates_may_lie_across_new_year():
    after = np.where(np.arange(180) < 30, 1.0, 0.02)
    tables = tables_with(0, 0, turn=150, cold=335)
    tables.chance_after[0, (335 + np.arange(180)) % DAYS] = after
    assert spring_index(tables, 0, 10) == (335 + 29) % DAYS


def test_a_percent_is_a_hundredth():
    after = np.array([1.0, 0.1005] + [0.1] * 178)
    assert spring_index(tables_with(after, 0.0), 0, 10) == 21


@pytest.mark.parametrize("turn, cold", [(200, 20), (20, 200)], ids=["north", "south"])
def test_the_other_half_of_the_year_is_not_looked_at(turn, cold):
    tables = tables_with(0.0, 0.0, 200, 20)
    days, spring = np.arange(DAYS), (turn - cold) % DAYS
    rising = (days - cold) % DAYS < spring
    tables = replace(tables, turn_index=turn, cold_index=cold, chance_after=np.where(rising, 0.04, 1.0)[None],
                     chance_before=np.where(rising, 1.0, 0.04)[None])
    assert spring_index(tables, 0, 10) is None and autumn_index(tables, 0, 10) is None
