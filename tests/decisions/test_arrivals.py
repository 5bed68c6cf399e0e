"""Since when a plan knows of plants and pests."""

from datetime import date

from invented import make_plant, make_scenario

from seasonplan.decisions.arrivals import known_since, pests_since
from seasonplan.model import Before

MARCH, JUNE, JULY = date(2027, 3, 10), date(2027, 6, 20), date(2027, 7, 20)
FIG, FERN = make_plant("Fig", pests="scale"), make_plant("Fern")
BOTH = make_scenario(plants=(FIG, FERN))


def test_in_the_first_plan_no_plant_is_news_and_every_pest_is():
    assert known_since(BOTH, MARCH, None) == {"Fig": None, "Fern": None}
    assert pests_since(BOTH, MARCH, None) == {"Fig": ("scale", MARCH)}


def test_a_plant_that_the_plan_before_did_not_have_is_news_from_that_day_on():
    first = Before(2027, {"Fig": None}, {"Fig": ("scale", MARCH)})
    known = known_since(BOTH, JUNE, first)
    assert known == {"Fig": None, "Fern": JUNE}
    assert known_since(BOTH, JULY, Before(2027, known, {})) == known


def test_a_pest_is_not_known_before_its_plant_is_there():
    later = make_scenario(plants=(make_plant("Fig", pests="scale", arrived=JULY),))
    assert pests_since(later, MARCH, None) == {"Fig": ("scale", JULY)}
    assert pests_since(later, JUNE, Before(2027, {}, {"Fig": ("scale", MARCH)})) == {"Fig": ("scale", JULY)}


def test_a_pest_keeps_its_day_until_it_is_another():
    first = Before(2027, {}, {"Fig": ("scale", MARCH)})
    assert pests_since(BOTH, JULY, first) == {"Fig": ("scale", MARCH)}
    assert pests_since(BOTH, JULY, Before(2027, {}, {"Fig": ("aphid", MARCH)})) == {"Fig": ("scale", JULY)}
