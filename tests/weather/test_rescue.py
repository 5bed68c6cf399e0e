"""What to do for a plant in danger."""

from collections import Counter
from dataclasses import dataclass, field, replace

import pytest
from weather.garden import GLASS, LAWN, PLACES, PORCH, ROOM, WINDOW, garden_plant

from seasonplan.climate.curves import normal_chance
from seasonplan.model import Place
from seasonplan.weather.rescue import ACT_CHANCE, WATCH_CHANCE, Rescue, in_danger, named, rescue_text, rescues

FERN = garden_plant("Fern", 10.0)
FIG = garden_plant("Fig", 5.0, count=3)


@dataclass
class Night:
    """An invented night: a low at the site, the places' own lifts, and a spread of 2 °C."""

    site_low_c: float
    wind_m_s: float | None = 1.0
    asked: list[str] = field(default_factory=list)

    def low_c(self, place: Place) -> float:
        return self.site_low_c + place.night_lift_c

    def chance(self, place: Place, threshold_c: float) -> float:
        self.asked.append(place.name)
        return float(normal_chance((threshold_c - self.low_c(place)) / 2.0))


def plan_for(night, *plants, here=LAWN, places=PLACES, pots=None) -> list[Rescue]:
    standing = Counter({here.name: sum(p.count for p in plants)})
    return rescues(night, here, plants, places, pots if pots is not None else standing)


def test_danger_is_told_by_the_low_and_by_its_chance():
    levels = [in_danger(Night(low), LAWN, FERN) for low in (9.9, 10.0, 11.5, 12.2, 13.0)]
    assert levels == ["act", "act", "act", "keep-watch", ""]
    assert 0 < WATCH_CHANCE < ACT_CHANCE < 0.5


def test_a_low_at_the_limit_calls_for_action_however_small_its_chance():
    night = Night(10.0)
    night.chance = lambda place, threshold: 0.01
    assert in_danger(night, LAWN, FERN) == "act"


def test_a_warmer_place_outdoors_comes_first_when_it_is_safe_and_has_room():
    assert plan_for(Night(7.0), FERN) == [Rescue(FERN, "move", "cold frame")]
    assert plan_for(Night(0.0), FERN) == [Rescue(FERN, "in", "south window")]


def test_room_is_counted_pot_by_pot():
    two = garden_plant("Palm", 10.0, count=2)
    done = plan_for(Night(7.0), FERN, two)
    assert [(r.kind, r.to) for r in done] == [("move", "cold frame"), ("in", "south window")]
    pots = Counter({"lawn": 3, "cold frame": 2, "south window": 2})
    done = plan_for(Night(7.0), two, FERN, pots=pots)
    assert [(r.kind, r.to) for r in done] == [("in", "north room"), ("in", "south window")]
    assert pots == {"lawn": 0, "cold frame": 2, "south window": 3, "north room": 2}


def test_the_most_tender_plant_finds_room_first():
    tender = garden_plant("Dumb cane", 12.0)
    pots = Counter({"lawn": 2, "cold frame": 1})
    done = plan_for(Night(7.0), FERN, tender, pots=pots)
    assert [(r.plant.name, r.kind) for r in done] == [("Fern", "in"), ("Dumb cane", "move")]


FULL = (replace(WINDOW, room_for=0), LAWN)


def test_with_no_room_anywhere_a_cover_is_used_where_it_is_enough():
    assert plan_for(Night(9.5), FERN, places=FULL) == [Rescue(FERN, "in", "south window", full=True)]
    assert plan_for(Night(11.0), FERN, places=FULL) == [Rescue(FERN, "cover", cover_c=1.0)]
    assert plan_for(Night(10.0), FERN, places=FULL) == [Rescue(FERN, "cover", cover_c=2.0)]


@pytest.mark.parametrize(("plant", "wind"), [(FERN, 6.0), (garden_plant("Chinese evergreen", 13.0), 1.0)])
def test_no_cover_in_wind_or_for_the_most_tender(plant, wind):
    (rescue,) = plan_for(Night(plant.harm_c + 0.5, wind), plant, places=FULL)
    assert rescue.kind == "in" and rescue.full


def test_a_plant_is_never_sent_to_where_it_stands():
    (rescue,) = plan_for(Night(1.0), FERN, here=GLASS)
    assert rescue.to == "south window"
    (rescue,) = plan_for(Night(8.0), FERN, here=PORCH, places=(PORCH, LAWN, ROOM))
    assert rescue.to == "north room"


def test_the_sentences_name_plants_pots_and_places():
    text = rescue_text([Rescue(FERN, "in", "south window"), Rescue(FIG, "in", "south window"),
                        Rescue(garden_plant("Ivy", 2.0), "move", "porch")], "metric")
    assert text == ("Carry Fern and Fig (4 pots) in to south window. Move Ivy to porch for the night: it is warm "
                    "enough there.")
    assert named([FERN]) == "Fern"


def test_heavy_pots_are_not_lifted_alone():
    big, covered = garden_plant("Palm", 10.0, pot_cm=35.0), garden_plant("Yucca", 10.0, pot_cm=40.0)
    found = [Rescue(big, "in", "north room"), Rescue(FERN, "in", "north room"), Rescue(covered, "cover", cover_c=1.0)]
    assert rescue_text(found, "metric").endswith("Two people or a dolly for Palm: heavy when wet.")
    assert "dolly" not in rescue_text(found[1:], "metric")


def test_a_cover_is_described_with_its_limits_in_the_persons_units():
    text = rescue_text([Rescue(FERN, "cover", cover_c=2.0)], "imperial")
    assert "a heavy cover over Fern" in text and "3.6 °F" in text and "nothing in wind" in text
    assert "a light cover" in rescue_text([Rescue(FERN, "cover", cover_c=1.0)], "metric")
    assert "room_for" in rescue_text([Rescue(FERN, "in", "south window", full=True)], "metric")
