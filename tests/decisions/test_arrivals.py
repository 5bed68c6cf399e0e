"""Since when a plan knows of plants and pests."""

from datetime import date

from invented import make_plant, make_scenario

from seasonplan.decisions.arrivals import known_since, opens_on, pests_since
from seasonplan.model import Before, LogEntry

FIRST = date(2027, 1, 1)
MARCH, JUNE, JULY = date(2027, 3, 10), date(2027, 6, 20), date(2027, 7, 20)
FIG, FERN = make_plant("Fig", pests="scale"), make_plant("Fern")
BOTH = make_scenario(plants=(FIG, FERN))


def test_in_the_first_plan_no_plant_is_news_and_every_pest_is():
    assert known_since(BOTH, MARCH, None, FIRST) == {"Fig": None, "Fern": None}
    assert pests_since(BOTH, MARCH, None, 2027) == {"Fig": ("scale", MARCH)}


def test_a_plant_that_the_plan_before_did_not_have_is_news_from_that_day_on():
    first = Before(2027, {"Fig": None}, {"Fig": ("scale", MARCH)})
    known = known_since(BOTH, JUNE, first, FIRST)
    assert known == {"Fig": None, "Fern": JUNE}
    assert known_since(BOTH, JULY, Before(2027, known, {}), FIRST) == known


def test_a_pest_is_not_known_before_its_plant_is_there():
    later = make_scenario(plants=(make_plant("Fig", pests="scale", arrived=JULY),))
    assert pests_since(later, MARCH, None, 2027) == {"Fig": ("scale", JULY)}
    assert pests_since(later, JUNE, Before(2027, {}, {"Fig": ("scale", MARCH)}), 2027) == {"Fig": ("scale", JULY)}


def test_a_pest_keeps_its_day_until_it_is_another():
    first = Before(2027, {}, {"Fig": ("scale", MARCH)})
    assert pests_since(BOTH, JULY, first, 2027) == {"Fig": ("scale", MARCH)}
    assert pests_since(BOTH, JULY, Before(2027, {}, {"Fig": ("aphid", MARCH)}), 2027) == {"Fig": ("scale", JULY)}


def test_a_listed_pest_of_the_year_before_is_news_again_unless_the_log_tells_of_its_treatment():
    last = Before(2027, {}, {"Fig": ("scale", MARCH)})
    turn, november = date(2028, 1, 1), date(2027, 11, 20)
    assert pests_since(BOTH, november, last, 2028) == {"Fig": ("scale", november)}
    assert pests_since(BOTH, november, last, 2027) == {"Fig": ("scale", MARCH)}
    for step, plant, kept in (("treat", "Fig", True), ("pest-clear", "", True), ("treat", "Fern", False),
                              ("leach", "Fig", False)):
        treated = make_scenario(plants=(FIG, FERN), log=(LogEntry(JULY, step, plant),))
        assert (pests_since(treated, turn, last, 2028)["Fig"][1] == MARCH) is kept, step
    early = make_scenario(plants=(FIG, FERN), log=(LogEntry(FIRST, "treat", "Fig"),))
    assert pests_since(early, november, last, 2028) == {"Fig": ("scale", november)}


def test_a_plant_that_came_long_before_the_planning_year_is_news_no_more():
    last = Before(2026, {"Fig": date(2026, 10, 31), "Fern": date(2026, 11, 1)}, {})
    assert known_since(BOTH, FIRST, last, FIRST) == {"Fig": None, "Fern": date(2026, 11, 1)}


def test_a_plan_may_date_what_cannot_wait_from_two_months_before_its_year_or_from_when_it_was_first_made():
    old, november = date(2026, 5, 2), date(2026, 11, 1)
    assert opens_on(FIRST, None, 2027, {"Fig": None}, {}) == november
    assert opens_on(FIRST, None, 2027, {}, {"Fig": ("scale", old)}) == old
    assert opens_on(FIRST, Before(2027, {}, {}), 2027, {"Fig": old}, {}) == old
    assert opens_on(FIRST, Before(2026, {}, {}), 2027, {}, {"Fig": ("scale", old)}) == november
    assert opens_on(FIRST, None, 2027, {"Fig": JUNE}, {"Fig": ("scale", JULY)}) == november
