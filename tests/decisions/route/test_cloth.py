"""Cloths over places: from when to when, for whom, and how large."""

from dataclasses import replace
from datetime import date, timedelta

from invented import make_daylight, make_plant, make_plant_plan, make_stop

from seasonplan.decisions.route.cloth import CLOTHS_PERCENT, area_m2, cloth_needed_m2, hung_cloths
from seasonplan.model import ShadeAdvice

LIGHT = make_daylight()
FIRST = date(2027, 5, 1)


def under(name, first, days, percent=50, place="lawn", **given):
    """The plan of a plant that stands under a cloth for some days from a day after FIRST."""
    since = FIRST + timedelta(days=first)
    until = since + timedelta(days=days)
    stop = replace(make_stop(since, until, place, LIGHT), shade=ShadeAdvice(place, percent, until) if percent else None)
    return make_plant_plan(make_plant(name, **given), since, until, (stop,))


def test_stays_under_one_cloth_that_follow_each_other_share_it():
    (cloth,) = hung_cloths([under("Fig", 0, 20), under("Palm", 26, 10, pot_cm=60.0)])
    assert (cloth.place, cloth.percent, cloth.first, (cloth.last - FIRST).days) == ("lawn", 50, FIRST, 36)
    assert cloth.plants == ("Fig", "Palm") and cloth.season
    assert cloth.area_m2 == 1.5                        # 1.2 m x 1.2 m, in half square metres; never both at once


def test_a_cloth_comes_off_where_it_would_hang_over_nothing_for_longer_than_a_week():
    first, second = hung_cloths([under("Fig", 0, 20), under("Palm", 28, 10)])
    assert (first.last - FIRST).days == 20 and (second.first - FIRST).days == 28
    assert not first.season and not second.season


def test_places_and_percentages_have_cloths_of_their_own_and_bare_stays_none():
    found = hung_cloths([under("Fig", 0, 20), under("Palm", 0, 20, percent=80), under("Lime", 0, 20, place="porch"),
                         under("Fern", 0, 20, percent=0)])
    assert {(c.place, c.percent) for c in found} == {("lawn", 50), ("lawn", 80), ("porch", 50)}


def test_what_is_bought_is_what_hangs_at_once():
    big = {"pot_cm": 50.0, "count": 2}
    assert area_m2(make_plant(**big)) == 2.0 and area_m2(make_plant(pot_cm=10.0)) == 0.25
    together = hung_cloths([under("Fig", 0, 20, **big), under("Lime", 10, 20, place="porch", **big)])
    assert cloth_needed_m2(together) == {50: 4.0}
    apart = hung_cloths([under("Fig", 0, 10, **big), under("Lime", 20, 20, place="porch", **big)])
    assert cloth_needed_m2(apart) == {50: 2.0}


def test_a_cloth_of_four_weeks_is_one_of_the_season_and_cloths_are_sold_in_tens():
    assert [cloth.season for days in (27, 28) for cloth in hung_cloths([under("Fig", 0, days)])] == [False, True]
    assert tuple(range(20, 91, 10)) == CLOTHS_PERCENT


def test_a_cloth_that_comes_off_on_the_day_another_is_hung_serves_for_both():
    def needed(*days):
        return cloth_needed_m2(hung_cloths([under("Fig", 0, 20, pot_cm=60.0),
                                            *(under(f"P{n}", n, 10, place="porch", pot_cm=60.0) for n in days)]))

    assert (needed(20), needed(19), needed(0)) == ({50: 1.5}, {50: 3.0}, {50: 3.0})


def test_a_cloth_stays_up_for_a_week_and_covers_at_once_only_those_that_stand_there_at_once():
    (cloth,) = hung_cloths([under("Fig", 0, 20, pot_cm=60.0), under("Palm", 27, 10, pot_cm=60.0)])
    assert cloth.area_m2 == 1.5 and len(hung_cloths([under("Fig", 0, 20), under("Palm", 28, 10)])) == 2
    (cloth,) = hung_cloths([under("Fig", 0, 10, pot_cm=60.0), under("Palm", 10, 10, pot_cm=60.0)])
    assert cloth.area_m2 == 1.5
