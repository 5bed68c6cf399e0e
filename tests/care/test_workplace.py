from dataclasses import replace
from datetime import date

import pytest
from care.garden import move_step, moving, plant, scenario_of
from invented import make_daylight

from seasonplan.care.jobs import REGISTRY
from seasonplan.care.season import season_of
from seasonplan.care.workplace import Workplaces, best_start, gaps

DAY = date(2027, 6, 5).toordinal()
BY_KIND = {job.kind: job for job in REGISTRY}
SPRAY, LEACH, LOOK, NOTE = (BY_KIND[kind] for kind in ("treat", "leach", "inspect", "turn"))


def places(sun=None):
    """Workplaces with the same direct sun every day; sun: place -> spans."""
    scenario = scenario_of([])
    light = make_daylight(scenario.places)
    if sun is not None:
        light = replace(light, sun_spans=tuple((sun.get(p, ()),) * len(light.dates) for p in light.places))
    return Workplaces(season_of(scenario, 2027), light)


def test_a_spray_starts_early_where_there_is_no_sun():
    assert places({}).spot(SPRAY, DAY, 30, [("porch", 3)]).start_min == 7 * 60


def test_a_spray_waits_for_the_evening_where_the_morning_is_sunny():
    spot = places({"porch": ((360, 700),)}).spot(SPRAY, DAY, 30, [("porch", 3)])
    assert (spot.place, spot.start_min) == ("porch", 16 * 60)


def test_a_spray_goes_elsewhere_when_its_place_is_sunny_all_day_but_indoor_plants_stay_in():
    sun = {"lawn": ((300, 1260),), "porch": ((360, 500),)}
    spot = places(sun).spot(SPRAY, DAY, 30, [("lawn", 3)])
    assert (spot.place, spot.shade) == ("lawn + porch", "porch")
    assert places({"south window": ((300, 1300),)}).spot(SPRAY, DAY, 30, [("south window", 1)]) is None


def test_too_short_a_shade_is_used_for_what_it_is():
    sun = {p: ((300, 600), (660, 1300)) for p in ("south window", "porch", "under the tree", "lawn")}
    spot = places(sun).spot(SPRAY, DAY, 120, [("porch", 3)])
    assert (spot.start_min, spot.until_min) == (600, 660)


def test_sessions_do_not_overlap():
    here = places({})
    spots = [here.spot(job, DAY, 40, [("porch", 3)]) for job in (SPRAY, SPRAY, LEACH, LOOK)]
    starts = sorted(s.start_min for s in spots)
    assert all(b - a >= 40 for a, b in zip(starts, starts[1:], strict=False))


def test_plants_carried_that_day_are_seen_to_afterwards_others_meanwhile():
    here = places({})
    here.reserve_moves([move_step("move-out", date(2027, 6, 5), [moving(plant("Fig"))], 90)])
    assert here.spot(SPRAY, DAY, 30, [("porch", 3)], ("Fig",)).start_min >= 9 * 60 + 90
    assert here.spot(SPRAY, DAY, 30, [("porch", 3)], ("Other",)).start_min == 7 * 60


def test_a_job_is_done_at_all_the_places_where_its_plants_stand():
    assert places({}).spot(LOOK, DAY, 30, [("porch", 9), ("lawn", 1)]).place == "porch + lawn"
    spot = places({"porch": ((360, 700),), "lawn": ((720, 1100),)}).spot(SPRAY, DAY, 30, [("porch", 3), ("lawn", 1)])
    assert spot.place == "porch + lawn" and spot.start_min == 18 * 60
    assert [tuple(part) for part in spot.parts] == [("porch", 1080, 22), ("lawn", 1102, 8)]
    everywhere = {"porch": ((360, 1300),), "lawn": ((360, 700),)}
    spot = places(everywhere).spot(SPRAY, DAY, 30, [("porch", 3), ("lawn", 1)])
    assert (spot.place, spot.shade) == ("porch + lawn", "lawn")


def test_habits_take_no_time():
    assert places({}).spot(NOTE, DAY, 0, [("porch", 1)]).start_min is None


def test_work_does_not_run_past_midnight():
    here = places({})
    assert here.spot(LOOK, DAY, 800, [("porch", 3)]).start_min == 9 * 60
    assert here.spot(LOOK, DAY, 800, [("porch", 3)]).start_min is None


def test_a_polar_day_or_night_still_has_working_hours():
    here = places({})
    here.daylight.sunrise_min[:] = float("nan")
    here.daylight.sunset_min[:] = float("nan")
    assert here.light_span(DAY) == (7 * 60, 21 * 60 + 30)


@pytest.mark.parametrize("busy, free", [([], [(0, 10)]), ([(2, 4)], [(0, 2), (4, 10)]), ([(0, 10)], []),
                                        ([(5, 7), (1, 6)], [(0, 1), (7, 10)]), ([(-5, 2), (8, 30)], [(2, 8)])])
def test_gaps(busy, free):
    assert gaps(busy, 0, 10) == free


def test_best_start_is_early_then_late_then_any():
    assert best_start([(420, 470), (600, 1200)], 30) == 420
    assert best_start([(420, 440), (600, 1200)], 30) == 960
    assert best_start([(610.2, 700)], 30) == 611
    assert best_start([(610, 630)], 30) is None
