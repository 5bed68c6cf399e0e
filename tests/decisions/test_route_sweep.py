"""The season move day by move day: turns, waiting, crowding, cloths, causes, and the log, in light that never changes.

Every yard here has the same invented light each day unless a test says otherwise; the window gives 2 mol of the 40 of
open ground, and moves are made on Saturdays.
"""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from invented import make_daylight, make_plant, make_taxon, stays_of
from plain_route import all_faults

from seasonplan.decisions.route import RouteRequest, routes
from seasonplan.model import Place, Rules

OUT, BACK = date(2027, 5, 8), date(2027, 9, 25)
FERN = make_taxon(sun="sun", light_low_mol=5.0, light_high_mol=10.0)
OLIVE = make_taxon(sun="sun", light_low_mol=18.0, light_high_mol=50.0)
PORCH, BED, LAWN = (8.0, 5.0, 0.5), (11.0, 7.0, 0.5), (60.0, 40.0, 8.0)


def after(days: int, day: date = OUT) -> date:
    return day + timedelta(days=days)


def ask(name: str, spans, taxon=FERN, leave=OUT, back=BACK, stays=(), **plant) -> RouteRequest:
    """spans: {place: (first date, end)} or names of places open all the while."""
    if not isinstance(spans, dict):
        spans = dict.fromkeys(spans, (leave, back))
    return RouteRequest(make_plant(name, taxon=taxon, **plant), spans, leave, back, stays_of(stays))


def season(lights, *requests, room=None, move_days=("sat",), changed=None, lawful=True):
    """{plant: its result} in a yard of steady light {place: (clear, mean, full-sun hours)}."""
    places = (Place("south window", "indoor"),
              *(Place(name, "outdoor", room_for=(room or {}).get(name)) for name in lights))
    light = make_daylight(places)
    ones = np.ones(len(light.dates))
    clear, mean, sun = (np.array(v)[:, None] * ones for v in zip((3.0, 2.0, 0.0), *lights.values(), strict=True))
    light = replace(light, clear_dli=clear, mean_dli=mean, full_sun_h=sun, open_clear_dli=60 * ones,
                    open_mean_dli=40 * ones)
    if changed:
        changed(light)
    rules = Rules(move_days=move_days)
    results = routes(requests, places, light, rules)
    assert not lawful or all_faults(requests, results, places, light, rules) == []
    return {request.plant.name: result for request, result in zip(requests, results, strict=True)}


def told(result) -> list[tuple[date, str, int]]:
    """(date, place, percent of the cloth) of each stop."""
    return [(s.date, s.place, s.shade.percent if s.shade else 0) for s in result.stops]


def from_day(light, place: int, day: date, factor: float) -> None:
    for values in (light.clear_dli, light.mean_dli, light.full_sun_h):
        values[place, light.dates.index(day):] *= factor


# ---- turns


@pytest.mark.parametrize(("left", "goes"), [(21, True), (20, False)])
def test_a_plant_that_could_not_go_in_time_is_not_sent_out_for_less_than_three_weeks(left, goes):
    """The guest has the only spot for two weeks."""
    free = after(14)
    guest = ask("A guest", {"porch": (OUT, free), "bed": (free, BACK)})
    waiting = ask("B", {"porch": (OUT, after(left, free))}, back=after(left, free))
    result = season({"porch": PORCH, "bed": BED}, guest, waiting, room={"porch": 1})["B"]
    assert [stop.date for stop in result.stops] == ([free] if goes else [])


def test_a_plant_whose_own_day_it_is_goes_out_for_a_few_days_and_on_any_weekday():
    wednesday = after(4)
    result = season({"porch": PORCH}, ask("A", ["porch"], leave=wednesday, back=after(9)))["A"]
    assert told(result) == [(wednesday, "porch", 0)] and result.stops[0].until == after(9)


def test_a_plant_that_missed_its_wednesday_waits_for_saturday():
    wednesday = after(4)
    one = ask("A", {"porch": (wednesday, after(7)), "bed": (after(7), BACK)}, leave=wednesday)
    two = ask("B", {"porch": (wednesday, BACK)}, leave=wednesday)
    found = season({"porch": PORCH, "bed": BED}, one, two, room={"porch": 1})
    assert found["A"].stops[0].date == wednesday and found["B"].stops[0].date == after(7)


def test_the_day_on_which_another_plant_leaves_is_no_day_for_those_that_wait():
    """The guest comes in on a Wednesday, on which another plant goes out; the one that waits goes on Saturday."""
    wednesday = after(11)
    guest, waiting = ask("A guest", ["porch"], back=wednesday), ask("B", ["porch"])
    other = ask("C", ["bed"], leave=wednesday)
    found = season({"porch": PORCH, "bed": BED}, guest, waiting, other, room={"porch": 1})
    assert found["C"].stops[0].date == wednesday and found["B"].stops[0].date == after(14)


def test_where_moves_are_possible_daily_a_stop_takes_three_days():
    spans = {"porch": (OUT, after(3)), "bed": (after(3), BACK)}
    assert told(season({"porch": PORCH, "bed": BED}, ask("A", spans), move_days=())["A"])[:2] == [
        (OUT, "porch", 0), (after(3), "bed", 0)]


# ---- room


def test_like_plants_fill_the_places_in_order_of_name():
    names = ["Fern 4", "Fern 2", "Fern 6", "Fern 1", "Fern 5", "Fern 3"]
    found = season({"porch": PORCH, "bed": BED}, *(ask(name, ["porch", "bed"]) for name in names),
                   room={"porch": 2, "bed": 3})
    assert [found[f"Fern {n}"].stops[0].place if found[f"Fern {n}"].stops else "" for n in range(1, 7)] == [
        "bed", "bed", "bed", "porch", "porch", ""]
    assert found["Fern 6"].blocked.startswith("No room")


def test_pots_that_stand_there_already_take_room_by_their_number():
    """Three pots have the bed of five; a plant of two still fits, one of three does not."""
    first = ask("A", ["bed"], count=3)
    for pots, place in ((2, "bed"), (3, "porch")):
        later = ask("B", ["bed", "porch"], leave=after(14), count=pots)
        found = season({"porch": PORCH, "bed": BED}, first, later, room={"bed": 5})
        assert found["B"].stops[0].place == place


def test_a_place_is_free_again_on_the_day_a_plant_comes_in():
    first = ask("A", ["bed"], back=after(28))
    second = ask("B", ["bed"], leave=after(28))
    assert season({"bed": BED}, first, second, room={"bed": 1})["B"].stops[0].date == after(28)


# ---- cloths, waiting and coming in

BRIGHT_LAWN = (30.0, 14.0, 1.0)
"""Under 60 % cloth 12 mol clear and 5.6 mean are left, which a plant from the window may have; 50 % leave 15."""


def test_after_two_weeks_of_waiting_for_room_a_cloth_is_proposed():
    first, second = ask("A", ["porch"]), ask("B", ["porch", "lawn"])
    found = season({"porch": PORCH, "lawn": BRIGHT_LAWN}, first, second, room={"porch": 1})
    assert told(found["B"])[0] == (after(14), "lawn", 60)
    assert "waited since Sat 8 May" in found["B"].stops[0].why


def test_a_plant_for_which_nothing_fits_without_a_cloth_does_not_wait():
    assert told(season({"lawn": BRIGHT_LAWN}, ask("A", ["lawn"]))["A"])[0] == (OUT, "lawn", 60)


def test_cloths_go_to_plants_outdoors_first_then_by_name():
    """B and Y come from a bed that closes; A and C from the house, on the same day, by then two weeks late."""
    bed = {"bed": (OUT, after(14)), "lawn": (OUT, BACK)}
    requests = [ask("A", ["porch", "lawn"]), ask("Y", bed), ask("C", ["porch", "lawn"]), ask("B", bed),
                ask("0 keeps the porch", ["porch"])]
    lights = {"porch": PORCH, "bed": BED, "lawn": BRIGHT_LAWN}
    for room, covered in ((1, "B"), (2, "BY"), (3, "BYA"), (4, "BYAC")):
        found = season(lights, *requests, room={"porch": 1, "lawn": room})
        under_cloth = {n for n in "ABCY" if any(s.place == "lawn" and s.shade for s in found[n].stops)}
        assert under_cloth == set(covered)


def test_plants_under_cloths_take_their_room_and_the_rest_of_a_row_goes_to_the_next_place():
    """Five plants of two pots: five pots of room take two plants, four take two more, the fifth stays in."""
    lights = {"lawn": BRIGHT_LAWN, "yard": (33.0, 15.0, 1.0)}
    found = season(lights, *(ask(f"Fern {n}", ["lawn", "yard"], count=2) for n in range(1, 6)),
                   room={"lawn": 5, "yard": 4})
    first = [told(found[f"Fern {n}"])[0][1:] if found[f"Fern {n}"].stops else None for n in range(1, 6)]
    assert first == [("lawn", 60), ("lawn", 60), ("yard", 70), ("yard", 70), None]
    assert found["Fern 5"].blocked.startswith("No room")


@pytest.mark.parametrize(("room", "pots", "out"), [(2, 2, True), (2, 3, False)])
def test_a_cloth_needs_room_for_all_pots_of_a_plant(room, pots, out):
    result = season({"lawn": BRIGHT_LAWN}, ask("A", ["lawn"], count=pots), room={"lawn": room})["A"]
    assert bool(result.stops) is out and (out or result.blocked.startswith("No room"))


@pytest.mark.parametrize(("opens", "closes", "out"), [(0, 7, True), (0, 6, False), (1, 60, False)])
def test_a_cloth_needs_a_place_that_is_open_until_the_plant_can_be_moved_again(opens, closes, out):
    spans = {"lawn": (after(opens), after(closes)), "roof": (OUT, BACK)}
    result = season({"lawn": BRIGHT_LAWN, "roof": (900.0, 600.0, 90.0)}, ask("A", spans))["A"]
    assert bool([s for s in result.stops if s.date == OUT]) is out


def test_a_cloth_goes_over_a_plant_where_it_stands_in_the_last_spot():
    """From 12 June the bed gives twice as much: 22 mol clear, 14 mean, of which 30 % cloth takes the plant's 10."""
    result = season({"bed": BED}, ask("A", ["bed"]), room={"bed": 1},
                    changed=lambda light: from_day(light, 1, after(35), 2.0))["A"]
    assert told(result) == [(OUT, "bed", 0), (after(35), "bed", 30)]


def test_a_cloth_comes_off_where_the_plant_stands():
    """20 mol clear: 12 are allowed at first, and 3.5 times the 8 mol that it has under the cloth after some weeks."""
    stops = season({"lawn": (20.0, 13.0, 1.0)}, ask("A", ["lawn"], OLIVE))["A"].stops
    assert [(s.place, s.shade.percent if s.shade else 0) for s in stops] == [("lawn", 40), ("lawn", 0)]
    assert stops[1].why.startswith("used to this light by now: the cloth comes off")


@pytest.mark.parametrize(("sunnier_after", "percent"), [(6, 40), (7, 30)])
def test_a_plant_from_the_house_has_seven_gentle_days_under_its_cloth(sunnier_after, percent):
    """It goes out on a Thursday and can be moved nine days later. Two hours of full sun, then 2.4: 30 % cloth leaves
    1.4 and then 1.7, 40 % leaves 1.4; an hour and a half are allowed for a week."""
    thursday = after(5)
    result = season({"lawn": (9.0, 6.0, 2.0)}, ask("A", ["lawn"], leave=thursday),
                    changed=lambda light: from_day(light, 1, after(sunnier_after, thursday), 1.2))["A"]
    assert told(result)[0] == (thursday, "lawn", percent)


def test_a_cloth_goes_to_the_first_by_name_among_plants_that_were_parted_before():
    """A and C are alike; A has the bed's one spot and comes in when the bed grows too bright. Later the porch does, and
    of C and D, who stand there, C comes first by name."""
    spans = {"porch": (OUT, BACK), "bed": (OUT, BACK), "lawn": (after(56), BACK)}
    other = make_taxon(sun="sun", light_low_mol=4.9, light_high_mol=10.0)

    def brighter(light):
        from_day(light, 2, after(35), 30.0)
        from_day(light, 1, after(56), 30.0)

    found = season({"porch": PORCH, "bed": BED, "lawn": BRIGHT_LAWN}, ask("D", spans, other), ask("C", spans),
                   ask("A", spans), room={"bed": 1, "lawn": 1, "porch": 2}, changed=brighter)
    assert found["A"].stops[-1].until == after(35) and found["A"].stops[0].place == "bed"
    assert told(found["C"])[-1][:2] == (after(56), "lawn") and found["D"].stops[-1].until == after(56)


def test_under_the_same_cloth_a_plant_goes_on_without_a_new_stop():
    stops = told(season({"lawn": (30.0, 24.0, 1.0)}, ask("A", ["lawn"]))["A"])
    assert stops[0] == (OUT, "lawn", 60) and len(stops) == len({stop[1:] for stop in stops}) == 1


@pytest.mark.parametrize(("days_out", "percent"), [(6, 60), (7, 30)])
def test_in_its_first_week_outdoors_a_cloth_is_thick_for_the_sun(days_out, percent):
    """3.3 hours of full sun: 30 % leaves 2.3, within S + 2, but the first week's hour and a half asks for 60 %."""
    spans = {"bed": (OUT, after(days_out)), "lawn": (after(days_out), BACK)}
    result = season({"bed": BED, "lawn": (12.0, 8.0, 3.3)}, ask("A", spans), move_days=())["A"]
    assert told(result)[:2] == [(OUT, "bed", 0), (after(days_out), "lawn", percent)]


def test_a_plant_outdoors_that_no_cloth_helps_comes_in_and_says_so():
    result = season({"bed": BED}, ask("A", ["bed"]), changed=lambda light: from_day(light, 1, after(35), 30.0))["A"]
    assert result.stops[-1].until == after(35)
    assert result.reason.startswith("It comes in on Sat 12 Jun already: no place fits it any longer, even under")


def test_a_plant_that_loses_its_place_without_room_elsewhere_comes_in_and_says_so():
    spans = {"bed": (OUT, after(35)), "porch": (OUT, BACK)}
    found = season({"bed": BED, "porch": PORCH}, ask("A", spans), ask("B", ["porch"]), room={"porch": 1})
    assert found["A"].stops[-1].until == after(35)
    assert found["A"].reason.startswith("It comes in on Sat 12 Jun already: there is no room for it")


@pytest.mark.parametrize(("days_left", "comes_in"), [(7, True), (14, False)])
def test_where_a_place_closes_in_the_last_days_a_brighter_one_is_not_worth_a_move(days_left, comes_in):
    closes = after(-days_left, BACK)
    spans = {"porch": (OUT, closes), "bed": (closes, BACK)}
    result = season({"porch": PORCH, "bed": BED}, ask("A", spans))["A"]
    assert (result.stops[-1].until == closes) is comes_in
    assert ("its place closes or suits it no longer" in result.reason) is comes_in


# ---- why


def whys(result) -> list[str]:
    return [stop.why.split(";")[0] for stop in result.stops]


def test_the_light_that_passes_what_a_plant_takes_is_the_reason_to_leave():
    result = season({"porch": PORCH, "bed": BED}, ask("A", ["porch", "bed"]),
                    changed=lambda light: from_day(light, 2, after(35), 1.5))["A"]
    assert told(result)[:2] == [(OUT, "bed", 0), (after(35), "porch", 0)]
    assert whys(result)[:2] == ["the brightest place with room that it may have at first",
                                "the light at the bed passes what it takes"]


@pytest.mark.parametrize(("closes", "why"), [(41, "nights: it may be at the bed until Fri 18 Jun only"),
                                             (42, "the light at the bed passes what it takes")])
def test_nights_are_the_reason_only_where_the_place_closes_before_the_next_saturday(closes, why):
    """From 12 June the bed is too bright anyway; it closes the day before the 19th, or on it."""
    spans = {"porch": (OUT, BACK), "bed": (OUT, after(closes))}
    result = season({"porch": PORCH, "bed": BED}, ask("A", spans),
                    changed=lambda light: from_day(light, 2, after(35), 1.5))["A"]
    assert told(result)[1][:2] == (after(35), "porch") and whys(result)[1] == why


def test_a_place_that_leads_to_more_light_is_the_first_step():
    """The bed gives more, but the porch's hour of sun leads to the steps."""
    lights = {"bed": (11.0, 7.0, 0.0), "porch": (10.0, 6.0, 1.2), "steps": (16.0, 12.0, 2.9)}
    content = make_taxon(sun="sun", light_low_mol=5.0, light_high_mol=50.0)
    result = season(lights, ask("A", list(lights), content))["A"]
    assert whys(result)[:2] == ["a first place that gets it used to direct sun",
                                "the brightest place with room that it is ready for"]
    assert [stop[1] for stop in told(result)[:2]] == ["porch", "steps"]


def test_a_place_as_bright_that_leads_nowhere_is_not_passed_by():
    lights = {"bed": (10.0, 6.0, 0.0), "porch": (10.0, 6.0, 1.2), "steps": (16.0, 12.0, 2.9)}
    result = season(lights, ask("A", list(lights), make_taxon(sun="sun", light_low_mol=5.0, light_high_mol=50.0)))["A"]
    assert result.stops[0].place == "porch"
    assert whys(result)[0] == "the brightest place with room that it may have at first"


def test_a_place_of_equal_prospect_that_is_passed_by_makes_a_step_and_one_not_open_does_not():
    lights = {"porch": (8.0, 5.0, 0.0), "bed": (14.0, 9.0, 0.0), "tree": (12.0, 8.0, 1.5), "steps": (25.0, 18.0, 3.3)}
    spans = {name: (OUT if name == "porch" else after(14), BACK) for name in lights}
    result = season(lights, ask("A", spans, OLIVE))["A"]
    assert [stop[1] for stop in told(result)[:3]] == ["porch", "tree", "steps"]
    assert whys(result)[1] == "a step on the way to more light: it gets used to more direct sun here"
    del spans["bed"]
    assert whys(season(lights, ask("A", spans, OLIVE))["A"])[1] == "the brightest place with room that it is ready for"


def test_a_plant_gives_way_to_one_that_needs_the_place_more():
    content = make_taxon(sun="sun", light_low_mol=1.0, light_high_mol=10.0)
    craving = make_taxon(sun="sun", light_low_mol=8.0, light_high_mol=80.0)
    first = ask("A", ["porch", "bed"], content)
    found = season({"porch": PORCH, "bed": BED}, first, ask("B", {"bed": (after(21), BACK)}, craving, leave=after(21)),
                   room={"bed": 1})
    assert told(found["A"])[:2] == [(OUT, "bed", 0), (after(21), "porch", 0)]
    assert whys(found["A"])[1] == "makes room at the bed for plants that need it more"
    assert told(found["B"])[0] == (after(21), "bed", 0)


AS_GOOD = {"dim bed": (10.0, 6.0, 1.2), "bright bed": (11.0, 7.0, 1.2), "lawn": (18.0, 14.0, 2.9)}
"""Either bed leads to the lawn, where there is no room."""


def with_beds(*requests):
    """A plant that stands on the lawn for good, and others."""
    there = ask("On the lawn", ["lawn"], OLIVE, leave=after(-20), stays=((after(-20), "lawn"),))
    return season(AS_GOOD, there, *requests, room={"lawn": 1, "bright bed": 1}, lawful=False)


def test_a_plant_that_makes_room_for_another_is_told_so_though_the_next_place_leads_to_as_much():
    content = make_taxon(sun="sun", light_low_mol=1.0, light_high_mol=30.0)
    craving = make_taxon(sun="sun", light_low_mol=8.0, light_high_mol=80.0)
    later = ask("B", {"bright bed": (after(7), BACK)}, craving, leave=after(7))
    found = with_beds(ask("A", list(AS_GOOD), content), later)
    assert told(found["A"])[:2] == [(OUT, "bright bed", 0), (after(7), "dim bed", 0)]
    assert whys(found["A"])[1] == "makes room at the bright bed for plants that need it more"


def test_a_first_place_is_no_step_where_the_brighter_one_that_leads_to_as_much_is_full():
    content = make_taxon(sun="sun", light_low_mol=1.0, light_high_mol=30.0)
    found = with_beds(ask("A", ["bright bed"], content), ask("B", list(AS_GOOD), content))
    assert told(found["B"])[0] == (OUT, "dim bed", 0)
    assert whys(found["B"])[0] == "the brightest place with room that it may have at first"


def test_in_the_descent_the_reason_tells_whether_the_light_is_low_enough():
    """Of the 40 mol of open ground the lawn has all, the steps half, the tree 0.3, the porch 0.125."""
    lights = {"porch": PORCH, "tree": (16.0, 12.0, 1.0), "steps": (24.0, 20.0, 1.5), "lawn": (56.0, 40.0, 3.0)}
    run_down = "runs the light down before it comes in on Sat 25 Sep"
    result = season(lights, ask("A", ["porch", "tree", "steps", "lawn"], OLIVE))["A"]
    assert told(result)[-2:] == [(after(-14, BACK), "steps", 0), (after(-7, BACK), "porch", 0)]
    assert whys(result)[-2:] == [run_down, run_down]
    assert not any("no shadier place" in stop.why for stop in result.stops)
    early = {"porch": (OUT, after(60)), "tree": (OUT, BACK), "steps": (OUT, BACK), "lawn": (OUT, BACK)}
    result = season(lights, ask("A", early, OLIVE))["A"]
    assert told(result)[-1] == (after(-7, BACK), "tree", 0)
    assert result.stops[-1].why.startswith(run_down + "; no shadier place has room")


def test_a_place_as_bright_is_no_step_of_the_descent():
    """The bed closes in the descent; the bench gives the same light."""
    spans = {"bed": (OUT, after(-10, BACK)), "bench": (after(30), BACK)}
    result = season({"bed": BED, "bench": BED}, ask("A", spans))["A"]
    assert told(result) == [(OUT, "bed", 0), (after(-14, BACK), "bench", 0)]
    assert whys(result)[1] == "nights: it may be at the bed until Wed 15 Sep only"


def test_a_plant_under_a_cloth_moves_to_a_place_where_it_needs_none():
    spans = {"lawn": (OUT, BACK), "bed": (after(21), BACK)}
    result = season({"lawn": (60.0, 9.5, 1.0), "bed": BED}, ask("A", spans))["A"]
    assert told(result)[:2] == [(OUT, "lawn", 80), (after(21), "bed", 0)]
    assert whys(result)[1] == "stands here without a shade cloth"


# ---- the log


def test_a_plant_put_out_before_any_place_is_open_stays_until_one_is():
    logged = after(-20)
    spans = {"porch": (OUT, BACK), "bed": (after(7), BACK)}
    result = season({"porch": PORCH, "bed": BED}, ask("A", spans, stays=((logged, "bed"),)), lawful=False)["A"]
    assert told(result)[:2] == [(logged, "bed", 0), (OUT, "porch", 0)]


@pytest.mark.parametrize(("sun", "until"), [(1.0, 3), (3.0, 1)])
def test_a_logged_stay_lasts_three_days_or_ends_at_once_where_it_is_too_much(sun, until):
    """Moves are possible daily. An hour of sun is within the rule, three are not."""
    result = season({"porch": PORCH, "bed": (11.0, 6.0, sun), "roof": (12.0, 9.0, 0.5)},
                    ask("A", ["porch", "roof"], stays=((OUT, "bed"),)), move_days=(), lawful=False)["A"]
    assert [(s.date, s.place) for s in result.stops[:2]] == [(OUT, "bed"), (after(until), "roof")]
    assert ("more light than it was ready for" in result.stops[0].why) is (sun > 1.5)


@pytest.mark.parametrize(("doubles_after", "ends_after"), [(1, 1), (4, 3)])
def test_a_stay_that_fits_today_and_not_until_it_could_be_moved_ends_sooner(doubles_after, ends_after):
    """The bed's light doubles the day after the plant was put there; on the fourth day it could have been moved."""
    result = season({"porch": PORCH, "bed": (11.0, 6.0, 0.5)}, ask("A", ["porch"], stays=((OUT, "bed"),)), move_days=(),
                    changed=lambda light: from_day(light, 2, after(doubles_after), 2.0), lawful=False)["A"]
    assert told(result)[:2] == [(OUT, "bed", 0), (after(ends_after), "porch", 0)]
    assert whys(result)[0] == "stands here by the log"


def test_a_log_line_that_repeats_the_place_is_no_new_stop_unless_the_cloth_is_gone():
    again = (after(3), "porch")
    result = season({"porch": PORCH}, ask("A", ["porch"], stays=((OUT, "porch"), again)))["A"]
    assert told(result) == [(OUT, "porch", 0)]


def test_what_the_log_says_next_is_not_forestalled_and_counts_with_its_light():
    """On Saturday the plant would go to the bed; the log says that it went on the Wednesday after."""
    stays = ((OUT, "porch"), (after(18), "bed"))
    result = season({"porch": PORCH, "bed": (14.0, 9.0, 0.5)}, ask("A", ["porch", "bed"], stays=stays))["A"]
    assert told(result)[:2] == [(OUT, "porch", 0), (after(18), "bed", 0)]
    assert result.stops[1].acclimated_dli == pytest.approx(5 - 3 * np.exp(-18 / 7))
    assert result.stops[0].acclimated_dli == 2.0
    assert result.stops[1].allowed_full_sun_h == pytest.approx(2 + 0.5 * (1 - np.exp(-18 / 4)))


def test_a_place_that_the_log_overfills_takes_nobody_else():
    logged = [ask(name, ["porch"], stays=((OUT, "porch"),)) for name in "ABC"]
    found = season({"porch": PORCH, "bed": BED}, *logged, ask("D", ["porch"]), ask("E", ["porch", "bed"]),
                   room={"porch": 2}, lawful=False)
    assert not found["D"].stops and found["D"].blocked.startswith("No room")
    assert {s.place for s in found["E"].stops} == {"bed"}
