"""The yard as arrays: the days to move on, what lies ahead of a day, and how much of open light a place has."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from invented import make_daylight, make_plant, make_taxon

from seasonplan.decisions.route import RouteRequest, routes
from seasonplan.decisions.route_yard import HORIZON_DAYS, make_yard
from seasonplan.model import Place, Rules

PLACES = (Place("south window", "indoor"), Place("porch", "outdoor", room_for=2), Place("lawn", "outdoor"))
NAMES = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def yard_of(light=None, move_days=("sat",)):
    return make_yard(PLACES, light or make_daylight(PLACES), move_days)


@pytest.mark.parametrize("year", [2027, 2028])
@pytest.mark.parametrize("move_days", [("sat",), ("sat", "sun"), ("mon", "thu"), ()])
def test_the_next_days_to_move_on_are_told_for_every_day_of_the_year_and_past_its_end(move_days, year):
    yard = yard_of(make_daylight(PLACES, year), move_days)

    def first(since: date) -> date:
        return next(day for day in (since + timedelta(days=n) for n in range(7))
                    if not move_days or NAMES[day.weekday()] in move_days)

    for number, day in enumerate(yard.dates):
        assert yard.move_day[number] == (first(day) == day)
        assert yard.date(yard.next_move[number]) == first(day + timedelta(days=1)), day
        assert yard.date(yard.next_free[number]) == first(day + timedelta(days=3)), day
    assert len(yard.next_move) == len(yard.next_free) == len(yard.move_day) == len(yard.dates)


def test_a_wait_for_a_move_day_is_never_longer_than_a_look_ahead():
    yard = yard_of()
    assert (yard.next_free - np.arange(len(yard.dates))).max() == 9 <= HORIZON_DAYS


def test_day_numbers_and_dates_are_each_other_s_inverse():
    yard = yard_of()
    assert yard.day(date(2027, 5, 8)) - yard.day(date(2027, 5, 1)) == 7
    assert yard.date(yard.day(date(2027, 5, 8))) == date(2027, 5, 8) and yard.date(0) == yard.dates[0]


@pytest.mark.parametrize("last", [1.0, 60.0])
def test_past_the_end_of_the_year_its_last_day_goes_on(last):
    """Light that falls (or rises) towards the year's end: nothing but the days that are left counts, then the last."""
    light = make_daylight(PLACES)
    row = np.linspace(30.0, last, len(light.dates))
    yard = yard_of(replace(light, mean_dli=np.tile(row, (3, 1)), full_sun_h=np.tile(row / 10, (3, 1))))
    assert yard.worth_mean_dli.shape == yard.worth_full_sun_h.shape == yard.mean_dli.shape
    for day in (0, 200, 340, len(row) - 2, len(row) - 1):
        assert yard.worth_mean_dli[0, day] == row[day:day + 21].max()
        assert yard.worth_full_sun_h[1, day] == row[day:day + 21].max() / 10
        assert yard.spells.top_mean_dli[0, day, HORIZON_DAYS] == row[day:day + HORIZON_DAYS].max()
    assert yard.spells.top_mean_dli.shape == (2, len(row), HORIZON_DAYS + 1)
    assert yard.days_ahead(100, yard.mean_dli)[0].tolist() == row[100:110].tolist()
    assert yard.days_ahead(len(row) - 2, yard.mean_dli)[0].tolist() == [row[-2], *[row[-1]] * 9]


def test_a_place_has_its_share_of_open_light_even_when_the_day_is_dark():
    """Half of open light on a winter day of 0.4 mol; no light at all, and no complaint, in the polar night."""
    light = make_daylight(PLACES)
    open_mean = light.open_mean_dli.copy()
    open_mean[:3] = [0.0, 0.4, 10.0]
    yard = yard_of(replace(light, open_mean_dli=open_mean, mean_dli=0.5 * np.tile(open_mean, (3, 1))))
    assert yard.share[:, :3].tolist() == [[0.0, 0.5, 0.5]] * 2


def test_places_give_their_room_and_one_that_names_none_takes_any_number_of_pots():
    yard = yard_of()
    assert yard.names == ("porch", "lawn") and yard.room[0] == 2
    light = make_daylight(PLACES)
    span = (date(2027, 5, 15), date(2027, 10, 2))
    dim = replace(light, clear_dli=0.1 * light.clear_dli, mean_dli=0.1 * light.mean_dli,
                  full_sun_h=0.1 * light.full_sun_h)
    many = RouteRequest(make_plant("Hens", count=500, taxon=make_taxon(sun="sun", light_high_mol=50.0)),
                        {"lawn": span}, *span)
    assert routes([many], PLACES, dim, Rules())[0].stops[0].place == "lawn"


def test_the_light_of_a_day_is_told_in_order():
    light = make_daylight(PLACES)
    assert yard_of(light).lights(1, 40) == (light.clear_dli[2, 40], light.mean_dli[2, 40], light.full_sun_h[2, 40])
