"""Chances of harmful nights, against the night model's own chances and against chance itself."""

from datetime import date, timedelta

import numpy as np
import pytest
from invented import make_night_climate, make_places, make_plant

from seasonplan.climate.at_plant import usual_lift_c
from seasonplan.climate.harmful_nights import any_of, harmful_nights
from seasonplan.climate.process import night_chance
from seasonplan.dates import day_index

CLIMATE, PLANT = make_night_climate(), make_plant(harm_c=10.0, harm_hardened_c=6.0)
PORCH = next(place for place in make_places() if place.name == "porch")
OUT = date(2027, 5, 20)


def test_a_night_has_the_chance_that_the_model_gives_it_at_what_the_plant_bears_by_then():
    lift_c = usual_lift_c(PORCH, float(CLIMATE.sd_c.mean()))
    for evening in (OUT, OUT + timedelta(days=30), date(2027, 9, 10)):
        level = PLANT.harm_after_c((evening - OUT).days) - lift_c
        expected = night_chance(CLIMATE, level)[day_index(evening + timedelta(days=1))]
        [found] = harmful_nights(CLIMATE, PLANT, PORCH, OUT, evening, evening + timedelta(days=1))
        assert found == pytest.approx(expected)


def test_nights_are_counted_from_the_first_evening_to_the_one_before_the_last_day():
    assert len(harmful_nights(CLIMATE, PLANT, PORCH, OUT, date(2027, 9, 1), date(2027, 9, 6))) == 5
    assert len(harmful_nights(CLIMATE, PLANT, PORCH, OUT, date(2027, 9, 6), date(2027, 9, 1))) == 0


def test_any_of_several_is_what_drawing_them_gives():
    chances = np.array([0.1, 0.02, 0.3])
    drawn = np.random.default_rng(3).random((200_000, 3)) < chances
    assert any_of(chances) == pytest.approx(drawn.any(axis=1).mean(), abs=0.004)
    assert any_of(np.array([])) == 0.0
