"""What to do for a plant in danger."""

from collections import Counter
from dataclasses import replace
from datetime import date, timedelta

import pytest
from weather.garden import GLASS, LAWN, PLACES, PORCH, ROOM, WINDOW, garden_plant, look_ahead, make_garden, standing_at

from seasonplan.weather.rescue import Rescue, named, rescue_lines, rescue_text, rescues

TODAY = date(2027, 6, 1)
MILD = [16.0] * 6
FERN = garden_plant("Fern", 10.0)
FIG = garden_plant("Fig", 5.0, count=3)
BACK = TODAY + timedelta(days=1)


def plan_for(low_c, *plants, here="lawn", places=PLACES, pots=None, wind=1.0, after=MILD) -> list[Rescue]:
    plan = make_garden([standing_at(plant, here) for plant in plants], places)
    found = look_ahead(plan, [low_c, *after], wind_m_s=wind)
    standing = Counter({here: sum(p.count for p in plants)})
    return rescues(found, 0, range(len(plants)), pots if pots is not None else standing)


def test_a_warmer_place_outdoors_comes_first_when_it_is_safe_and_has_room():
    assert plan_for(7.0, FERN) == [Rescue(FERN, "move", "lawn", "cold frame", out_again=BACK)]
    assert plan_for(0.0, FERN) == [Rescue(FERN, "in", "lawn", "south window", out_again=BACK)]


def test_a_place_that_is_safe_tonight_only_is_no_place_for_a_spell():
    (rescue,) = plan_for(7.0, FERN, after=[-4.0, 16.0, 16.0, 16.0])
    assert rescue.to == "south window" and rescue.out_again == TODAY + timedelta(days=2)


def test_room_is_counted_pot_by_pot():
    two = garden_plant("Palm", 10.0, count=2)
    done = plan_for(7.0, FERN, two)
    assert [(r.kind, r.to) for r in done] == [("move", "cold frame"), ("in", "south window")]
    pots = Counter({"lawn": 3, "cold frame": 2, "south window": 2})
    done = plan_for(7.0, two, FERN, pots=pots)
    assert [(r.kind, r.to) for r in done] == [("in", "north room"), ("in", "south window")]
    assert pots == {"lawn": 0, "cold frame": 2, "south window": 3, "north room": 2}


def test_the_most_tender_plant_finds_room_first():
    tender = garden_plant("Dumb cane", 12.0)
    pots = Counter({"lawn": 2, "cold frame": 1})
    done = plan_for(7.0, FERN, tender, pots=pots)
    assert [(r.plant.name, r.kind) for r in done] == [("Fern", "in"), ("Dumb cane", "move")]


FULL = (replace(WINDOW, room_for=0), LAWN)


def test_with_no_room_anywhere_a_cover_is_used_where_it_is_enough():
    for low, cover in ((9.5, 0.0), (11.0, 2.0), (11.6, 1.0)):
        (rescue,) = plan_for(low, FERN, places=FULL)
        assert (rescue.kind, rescue.cover_c, rescue.full) == (("cover", cover, False) if cover else ("in", 0.0, True))


@pytest.mark.parametrize(("plant", "wind"), [(FERN, 6.0), (garden_plant("Chinese evergreen", 13.0), 1.0)])
def test_no_cover_in_wind_or_for_the_most_tender(plant, wind):
    (rescue,) = plan_for(plant.harm_c + 1.5, plant, places=FULL, wind=wind)
    assert rescue.kind == "in" and rescue.full


def test_a_plant_is_never_sent_to_where_it_stands():
    (rescue,) = plan_for(-2.0, FERN, here="cold frame", places=(WINDOW, GLASS, LAWN))
    assert rescue.to == "south window"
    (rescue,) = plan_for(8.0, FERN, here="porch", places=(WINDOW, PORCH, LAWN, ROOM), pots=Counter({"south window": 3}))
    assert rescue.to == "north room"


def test_a_plant_that_was_to_go_out_today_waits_where_it_is():
    plan = make_garden([standing_at(FERN, "lawn", out=TODAY)])
    (rescue,) = rescues(look_ahead(plan, [3.0, *MILD]), 0, [0], Counter({"lawn": 1}))
    assert (rescue.kind, rescue.to, rescue.out_again) == ("wait", "south window", BACK)
    assert rescue_text([rescue], "metric") == ("Leave Fern at south window: the move out planned for today waits until "
                                               "Wed 2 Jun, as it looks now.")


def test_the_sentences_name_plants_pots_places_and_the_way_back():
    text = rescue_text([Rescue(FERN, "in", "lawn", "south window", out_again=BACK),
                        Rescue(FIG, "in", "lawn", "south window", out_again=BACK),
                        Rescue(garden_plant("Ivy", 2.0), "move", "lawn", "porch")], "metric")
    assert text == ("Carry Fern and Fig (4 pots) from lawn in to south window. Out again on Wed 2 Jun, as it looks "
                    "now. Move Ivy from lawn to porch: it is warm enough there.")
    assert named([FERN]) == "Fern"


def test_heavy_pots_are_not_lifted_alone():
    big, covered = garden_plant("Palm", 10.0, pot_cm=35.0), garden_plant("Yucca", 10.0, pot_cm=40.0)
    found = [Rescue(big, "in", "lawn", "north room"), Rescue(FERN, "in", "lawn", "north room"),
             Rescue(covered, "cover", "lawn", cover_c=1.0)]
    assert rescue_text(found, "metric").endswith("Two people or a dolly for Palm: heavy when wet.")
    assert "dolly" not in rescue_text(found[1:], "metric")
    many = [Rescue(garden_plant(f"P{n}", 10.0, pot_cm=width), "move", "lawn", "porch")
            for n, width in enumerate((30.0, 30.0, 29.9, 33.0, 35.0))]
    assert rescue_text(many, "metric").endswith("Two people or a dolly for P0, P1, P3 and 1 more: heavy when wet.")


CARRY = Rescue(FERN, "in", "lawn", "south window", out_again=BACK)
MOVE = Rescue(FIG, "move", "porch", "cold frame", out_again=BACK)
CARRIED, MOVED = "Carry Fern from lawn in to south window.", "Move Fig (3 pots) from porch to cold frame: it is warm " \
    "enough there."
ALL_OUT = "All out again on Wed 2 Jun, as it looks now."


def test_one_way_back_of_all_is_said_once_at_the_end():
    assert rescue_lines([CARRY, MOVE], "metric") == [CARRIED, MOVED, ALL_OUT]
    [carried, covered, back] = rescue_lines([CARRY, Rescue(FIG, "cover", "lawn", cover_c=1.0)], "metric")
    assert carried == CARRIED and "light cover" in covered and back == ALL_OUT


def test_else_each_says_its_own():
    back = " Out again on Wed 2 Jun, as it looks now."
    assert rescue_lines([CARRY], "metric") == [CARRIED + back]
    later = replace(MOVE, out_again=BACK + timedelta(days=1))
    assert rescue_lines([CARRY, later], "metric") == [
        CARRIED + back, f"{MOVED} Out again on Thu 3 Jun, as it looks now."]
    assert rescue_lines([replace(CARRY, out_again=None), replace(MOVE, out_again=None)], "metric") == [CARRIED, MOVED]
    inside = Rescue(FIG, "stay", "lawn", "north room", out_again=BACK)
    assert rescue_lines([CARRY, MOVE, inside], "metric") == [
        CARRIED + back, MOVED + back, "Leave Fig (3 pots) at north room until Wed 2 Jun, as it looks now."]


def test_one_whose_season_is_over_may_stay_where_it_is_carried():
    may = (" There it may stay, apart from the others until its pest check: the move in is planned for Thu 10 Jun.")
    over = replace(CARRY, out_again=None, over=date(2027, 6, 10))
    assert rescue_lines([over], "metric") == [CARRIED + may]
    assert rescue_lines([replace(over, kind="stay")], "metric") == [f"Leave Fern at south window.{may}"]
    assert rescue_lines([replace(over, kind="stay", over=None)], "metric") == ["Leave Fern at south window."]


def test_only_what_goes_indoors_or_is_there_is_told_that_its_season_is_over():
    near = TODAY + timedelta(days=4)
    plan = make_garden([standing_at(FERN, "lawn", back=near)])
    cold = look_ahead(plan, [0.0, *MILD])
    pots = Counter({"lawn": 1})
    assert [(r.kind, r.over, r.out_again) for r in rescues(cold, 0, [0], pots)] == [("in", near, None)]
    assert [(r.kind, r.over) for r in rescues(cold, 0, [0], Counter({"lawn": 1}), {"Fern": "north room"})] == [
        ("stay", near)]
    mild = look_ahead(plan, [7.0, *MILD])
    assert [(r.kind, r.over) for r in rescues(mild, 0, [0], Counter({"lawn": 1}))] == [("move", None)]


def test_one_that_waits_is_told_by_the_place_it_was_to_go_to_today():
    going = standing_at(FERN, "lawn", out=TODAY)
    [stop] = going.route
    going = replace(going, route=(replace(stop, until=BACK), replace(stop, date=BACK, place="porch")))
    (rescue,) = rescues(look_ahead(make_garden([going]), [3.0, *MILD]), 0, [0], Counter({"lawn": 1}))
    assert (rescue.kind, rescue.here) == ("wait", "lawn")


def test_a_cover_is_described_with_its_limits_in_the_persons_units():
    text = rescue_text([Rescue(FERN, "cover", "lawn", cover_c=2.0)], "imperial")
    assert "a heavy cover over Fern (lawn)" in text and "3.6 °F" in text and "nothing in wind" in text
    assert "a light cover" in rescue_text([Rescue(FERN, "cover", "lawn", cover_c=1.0)], "metric")
    assert "room_for" in rescue_text([Rescue(FERN, "in", "lawn", "south window", full=True)], "metric")
