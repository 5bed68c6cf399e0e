"""Sentences carry the numbers and units that decided."""

from datetime import date

import pytest
from invented import make_plant, make_taxon

from seasonplan.decisions import reasons
from seasonplan.model import Bearing, Edge, MoveDate, PlaceWindow, Rules

BEARING = Bearing(10.0, 7.0, 14.0, True)
MOVE = MoveDate(date(2027, 5, 8), date(2027, 5, 24), date(2027, 5, 8), 0.42, 1.25, "harm")
BACK = MoveDate(date(2027, 9, 18), date(2027, 9, 4), date(2027, 9, 18), 0.5, 1.9, "comfort")


@pytest.mark.parametrize("decided, words", [
    ("harm", "keep within the 2 you carry in"), ("freeze", "freeze still to come has fallen to 2 %"),
    ("comfort", "(the porch) reaches 14 °C"), ("season", "no night that would mark it"),
])
def test_going_out_says_which_condition_decided_and_how_sure(decided, words):
    move = MoveDate(MOVE.date, MOVE.careful, MOVE.carry_in, 0.42, 1.25, decided)
    text = reasons.out_sentence(BEARING, move, Rules(), "the porch")
    assert words in text and "1.2 nights that mark it, chance of any 42 %" in text
    assert ("10 °C or colder when fresh from indoors, 7 °C after six weeks out" in text) == (decided == "harm")


def test_units_follow_the_person():
    text = reasons.back_sentence(BEARING, BACK, Rules(units="imperial"), "porch")
    assert "57 °F" in text and "°C" not in text


def test_a_season_cooler_than_it_likes_says_by_how_much_and_who_decides():
    end = MoveDate(date(2027, 7, 3), None, None, 0.1, 0.2, "comfort", 12.4)
    text = reasons.out_sentence(BEARING, end, Rules(), "lawn")
    assert "with the mildest nights there (lawn) begin: normal low 12.4 °C, 1.6 °C cooler than it likes" in text
    weeks = PlaceWindow("lawn", (date(2027, 7, 3), date(2027, 8, 14)), end, end, "cool", 1.6)
    assert "stay up to 1.6 °C cooler than it likes" in reasons.moves_reason(BEARING, weeks, weeks, Rules())
    alone = PlaceWindow("lawn", weeks.span, MOVE, MOVE, "cool", 3.1)
    assert "harm alone decides" in reasons.moves_reason(BEARING, alone, alone, Rules())
    assert "cooler" not in reasons.moves_reason(BEARING, PlaceWindow("lawn", weeks.span, MOVE, MOVE, "both", 0.1),
                                                alone, Rules())


def test_the_trade_counts_weeks_at_both_ends():
    assert reasons.trade_sentence(MOVE, BACK) == \
        "Careful: Mon 24 May to Sat 4 Sep; carry-in: Sat 8 May to Sat 18 Sep, 4.3 weeks more outdoors"
    assert reasons.trade_sentence(MOVE, MoveDate(None, None, None, None, None)) == ""


def test_no_window_says_why_and_what_would_help():
    plant = make_plant()
    never = PlaceWindow("lawn", Edge.NEVER, MOVE, MOVE, "never")
    warmer = PlaceWindow("a warmer place", (date(2027, 6, 12), date(2027, 8, 20)), MOVE, MOVE, "both")
    status, text = reasons.no_window_reason(plant, [never], (), Rules(), (2.0, warmer), None)
    assert status == "stays-in" and "2 °C warmer" in text and "Sat 12 Jun to Fri 20 Aug" in text
    status, text = reasons.no_window_reason(plant, [never], (), Rules(), None, (date(2027, 6, 1), date(2027, 8, 1)))
    assert status == "day-trips" and "18 °C" in text
    assert reasons.no_window_reason(plant, [], (), Rules(), None, None)[0] == "stays-in"
    late = PlaceWindow("lawn", (date(2027, 5, 8), date(2027, 9, 18)), MOVE, BACK, "both")
    for trips, status in ((None, "stays-in"), ((date(2027, 6, 1), date(2027, 8, 1)), "day-trips")):
        told = reasons.no_window_reason(plant, [late], (), Rules(), None, trips)
        assert told[0] == status and told[1].startswith("Too little of its season is left to harden it off")
        assert ("Day trips suit it" in told[1]) == (status == "day-trips")
    assert "better left indoors" in reasons.kept_in_reason(make_plant(taxon=make_taxon(summer_outdoors="no")))
