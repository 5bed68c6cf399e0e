"""What finished routes say: why of each stop, since when a plant was ready, and what its dates do not say themselves.

The routes here are put together by hand, in a yard of light that is the same every day unless a test changes it, so
that each sentence meets its own case and the limit where it begins.
"""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from invented import make_daylight, make_plant, make_taxon

from seasonplan.decisions.acclimation import light_rule
from seasonplan.decisions.route_reasons import Reasons
from seasonplan.decisions.route_rows import Arrival, Rows, make_groups
from seasonplan.decisions.route_stops import READY_DAYS, StopMaker, arrivals_of, ready_days
from seasonplan.decisions.route_sweep import BRIGHT, CLOSING, FULL
from seasonplan.decisions.route_types import RouteRequest
from seasonplan.decisions.route_yard import make_yard
from seasonplan.model import Place

OUT, BACK = date(2027, 5, 8), date(2027, 10, 2)
SUN = make_taxon(sun="sun", light_low_mol=8.0, light_high_mol=40.0)
LIGHTS = {"porch": (10.0, 6.0, 0.0), "under the tree": (14.0, 9.0, 1.0), "lawn": (30.0, 20.0, 4.0)}


def may(day: int) -> date:
    return date(2027, 5, 1) + timedelta(days=day - 1)


class Finished:
    """Rows with hand-made arrivals, (date, place, shade, cause) each; the window gives 2 mol, open ground 40."""

    def __init__(self, lights=None, *requests, indoor=2.0, changed=None, **given):
        lights = lights or LIGHTS
        places = (Place("south window", "indoor"), *(Place(name, "outdoor") for name in lights))
        light = make_daylight(places)
        ones = np.ones(len(light.dates))
        clear, mean, sun = (np.array(v)[:, None] * ones for v in zip((3.0, indoor, 0.0), *lights.values(),
                                                                     strict=True))
        self.light = replace(light, clear_dli=clear, mean_dli=mean, full_sun_h=sun, open_clear_dli=60 * ones,
                             open_mean_dli=40 * ones)
        if changed:
            changed(self.light)
        self.yard = make_yard(places, self.light, ("sat",))
        requests = requests or (self.ask(tuple(lights), **given),)
        self.groups, rank = make_groups(requests, self.yard)
        self.rows = Rows(self.groups, rank)

    @staticmethod
    def ask(places=tuple(LIGHTS), name="Olive", taxon=SUN, leave=OUT, back=BACK, spans=None, **plant):
        spans = dict.fromkeys(places, (leave, back)) if spans is None else spans
        return RouteRequest(make_plant(name, taxon=taxon, **plant), spans, leave, back)

    def put(self, *arrivals, row=0, dli=6.0, sun_h=0.5, waited_from=None):
        for when, place, shade, cause in arrivals:
            day = self.yard.day(when)
            waited = day if waited_from is None else self.yard.day(waited_from)
            self.rows.stand(row, Arrival(day, self.yard.names.index(place), shade, dli, sun_h, cause, waited,
                                         self.rows.past[row]), day + 3)
        return self

    def end(self, when: date, note: str = "", row: int = 0):
        self.rows.end[row], self.rows.note[row] = self.yard.day(when), note
        return self

    def reason(self, row: int = 0) -> str:
        return Reasons(self.rows, self.groups, self.yard).reason(row)

    def blocked(self, row: int = 0) -> str:
        return Reasons(self.rows, self.groups, self.yard).blocked(row)

    def stops(self, row: int = 0):
        return StopMaker(self.rows, self.groups, self.yard).stops(row)

    def ready(self) -> date:
        """Since when the plant was ready for its last place."""
        last = self.rows.past[0]
        return self.yard.date(ready_days(self.rows, self.groups, self.yard)[id(last)])


# ---- coming in early


@pytest.mark.parametrize(("note", "words"), [
    (FULL, "there is no room for it at the places still open to it"),
    (BRIGHT, "no place fits it any longer, even under a shade cloth"),
    (CLOSING, "its place closes or suits it no longer, and a move to more light is not worth it for the last days")])
def test_coming_in_before_its_day_is_explained(note, words):
    scene = Finished().put((OUT, "under the tree", 0.0, "first")).end(date(2027, 10, 1), note)
    assert scene.reason() == f"It comes in on Fri 1 Oct already: {words}."


def test_coming_in_on_its_day_out_of_little_light_needs_no_words():
    scene = Finished({"bed": (10.0, 8.0, 0.0)}).put((OUT, "bed", 0.0, "first"))
    assert scene.reason() == ""


# ---- a descent that was not finished


def descended(mean: float, indoor: float = 2.0, shade: float = 0.0, end: date = BACK, **given) -> str:
    scene = Finished({"bed": (14.0, mean, 0.0)}, indoor=indoor, **given)
    return scene.put((OUT, "bed", shade, "first")).end(end, FULL).reason()


@pytest.mark.parametrize(("mean", "told"), [(8.0, False), (8.001, True), (9.0, True)])
def test_a_fifth_of_open_light_is_low_enough_to_come_in(mean, told):
    """A fifth of 40 mol is 8."""
    assert ("could not be run down to 20 % of open light" in descended(mean)) is told


@pytest.mark.parametrize(("indoor", "told"), [(4.5, False), (4.49, True)])
def test_a_window_that_gives_half_as_much_is_no_great_step(indoor, told):
    assert (descended(9.0, indoor) != "") is told


def test_the_light_under_a_cloth_counts_for_the_descent_and_its_share_is_told():
    assert descended(16.0, shade=0.5) == "" and descended(18.0, indoor=5.0, shade=0.5) == ""
    assert descended(18.0, shade=0.5) == (
        "Its light could not be run down to 20 % of open light before it comes in: at the bed it still has 22 %. "
        "Keep it in the brightest window for some weeks.")


def test_the_day_before_it_comes_in_counts_for_the_descent():
    def brighter(light):
        light.mean_dli[1, light.dates.index(BACK):] = 30.0

    assert descended(8.0, changed=brighter) == ""

    def last_day(light):
        light.mean_dli[1, light.dates.index(BACK) - 1] = 30.0

    assert "it still has 75 %" in descended(8.0, changed=last_day)


def test_the_day_before_it_comes_in_counts_for_its_window_too():
    """A fifth of open light is passed on all days; on the last one alone the window gives half as much."""
    def window(light):
        light.mean_dli[0, light.dates.index(BACK) - 1] = 4.5

    def place(light):
        light.mean_dli[1, :] = 20.0
        light.mean_dli[1, light.dates.index(BACK) - 1] = 9.0

    assert descended(9.0, changed=window) == "" and descended(9.0, indoor=4.5, changed=place) == ""


def test_the_last_place_counts_for_the_descent():
    for places, said in ((("lawn", "porch"), False), (("porch", "lawn"), True)):
        scene = Finished().put((OUT, places[0], 0.0, "first"), (OUT + timedelta(days=90), places[1], 0.0, "descent"))
        assert ("could not be run down" in scene.reason()) is said


def test_nothing_is_said_of_the_descent_of_a_plant_that_comes_in_early_or_not_at_all():
    assert "run down" not in descended(20.0, end=BACK - timedelta(days=1))
    light = make_daylight()
    year = (light.dates[0], light.dates[-1] + timedelta(days=1))
    scene = Finished({"bed": (14.0, 20.0, 0.0)}, leave=year[0], back=year[1])
    assert scene.put((year[0], "bed", 0.0, "first")).reason() == ""


# ---- light that is wanting


def wanting(*arrivals, lights=None, **given) -> str:
    arrivals = arrivals or ((OUT, "porch", 0.0, "first"),)
    return Finished(lights or {"porch": (12.0, 10.0, 1.2), "steps": (30.0, 22.0, 4.0)},
                    **{"taxon": replace(SUN, light_low_mol=18.0), **given}).put(*arrivals).reason()


def test_a_plant_left_in_too_little_light_is_told_the_cloth_that_would_be_a_step():
    """Used to 10 mol: 30 % off 30 mol leave 21 of 3.5 * 10, and 30 are within 3.5 * 15.4 afterwards."""
    assert wanting() == (
        "Its light could not be run down to 20 % of open light before it comes in: at the porch it still has 25 %. "
        "Keep it in the brightest window for some weeks. "
        "From Sat 8 May to Sat 2 Oct it gets 10 mol a day, less than the 18 mol it likes. The steps under 30 % shade "
        "cloth (a place of its own with leaf_shade = 0.7) would be the step it lacks to the open steps, 22 mol.")


@pytest.mark.parametrize(("low", "told"), [(10.0, False), (10.01, True)])
def test_light_is_wanting_below_what_the_plant_needs(low, told):
    assert ("it likes" in wanting(taxon=replace(SUN, light_low_mol=low))) is told


@pytest.mark.parametrize(("shade", "cause"), [(0.3, "cloth"), (0.0, "logged"), (0.0, "logged-bright")])
def test_a_stay_under_a_cloth_or_by_the_log_is_not_called_wanting(shade, cause):
    assert "it likes" not in wanting((OUT, "porch", shade, cause))


def test_the_longest_stay_is_the_one_that_counts():
    """The steps give what it needs: for longer than the porch in the first route, for less in the second."""
    middle = OUT + (BACK - OUT) / 2
    early, late = (middle + timedelta(days=n) for n in (-9, 9))
    assert "it likes" not in wanting((OUT, "porch", 0.0, "first"), (early, "steps", 0.0, "brighter"))
    assert "From Sat 8 May to" in wanting((OUT, "porch", 0.0, "first"), (late, "steps", 0.0, "brighter"))
    told = wanting((OUT, "steps", 0.0, "first"), (early, "porch", 0.0, "gives-way"))
    assert f"From {early:%a} {early.day} {early:%b} to Sat 2 Oct" in told


@pytest.mark.parametrize(("dark_until", "told"), [(21, False), (22, True)])
def test_the_light_of_three_weeks_after_the_arrival_is_what_counts(dark_until, told):
    def dark_first(light):
        light.mean_dli[1, :] = 20.0
        light.mean_dli[1, light.dates.index(OUT):light.dates.index(OUT) + dark_until] = 10.0

    assert ("it likes" in wanting(changed=dark_first)) is told


def test_a_stay_shorter_than_three_weeks_is_judged_by_its_last_day():
    def dark_last(light):
        light.mean_dli[1, :] = 20.0
        light.mean_dli[1, light.dates.index(OUT) + 9] = 10.0

    scene = Finished({"porch": (12.0, 10.0, 1.2), "steps": (30.0, 22.0, 4.0)}, changed=dark_last,
                     taxon=replace(SUN, light_low_mol=18.0), back=OUT + timedelta(days=10))
    assert "it likes" in scene.put((OUT, "porch", 0.0, "first")).reason()


@pytest.mark.parametrize(("opens", "closes", "told"), [(21, 22, True), (22, 99, False), (0, 21, False)])
def test_only_a_place_that_is_open_then_is_proposed(opens, closes, told):
    spans = {"porch": (OUT, BACK), "steps": (OUT + timedelta(days=opens), OUT + timedelta(days=closes))}
    assert ("The steps under" in wanting(spans=spans)) is told


def test_of_several_places_the_brightest_that_a_cloth_makes_a_step_is_proposed_and_none_that_is_no_brighter():
    lights = {"porch": (12.0, 10.0, 1.2), "bed": (16.0, 12.0, 1.2), "steps": (30.0, 22.0, 4.0),
              "roof": (59.0, 39.0, 9.9), "yard": (12.0, 10.0, 1.2)}
    assert "The steps under 30 %" in wanting(lights=lights)
    assert "it likes" not in wanting(lights={"porch": (12.0, 10.0, 1.2), "yard": (12.0, 10.0, 1.2)})


def test_the_plant_s_own_ceilings_hold_for_what_is_proposed():
    assert "it likes" not in wanting(taxon=replace(SUN, light_low_mol=18.0, light_high_mol=21.9))
    assert "it likes" not in wanting(taxon=replace(SUN, light_low_mol=18.0, sun="shade"))


# ---- never out


def test_a_plant_that_is_open_to_no_place_long_enough_is_told_so():
    spans = {"porch": (OUT, OUT)}
    words = "No outdoor place is open to it long enough between two move days (8 May to 2 Oct)."
    assert Finished(spans=spans).blocked() == words
    assert Finished(spans={}).blocked().startswith("No outdoor place is open to it")
    assert Finished(back=OUT).end(OUT, BRIGHT).blocked().startswith("No outdoor place is open to it")


@pytest.mark.parametrize("note", ["", FULL, CLOSING])
def test_a_plant_without_room_is_told_so(note):
    scene = Finished().end(BACK, note)
    assert scene.blocked() == "No room: the outdoor places that could take it are full (8 May to 2 Oct)."


def test_a_plant_that_all_places_are_too_bright_for_is_told_the_least_bad_one_and_its_day_trip():
    """At the bed 1.5 of 8 hours of sun are 19 % of a day, at the lawn 12 of 120 mol a tenth: 19 % of four hours, as
    strong all along as at its strongest, are 28 minutes."""
    scene = Finished({"lawn": (120.0, 30.0, 9.0), "bed": (60.0, 25.0, 8.0)}).end(BACK, BRIGHT)
    assert scene.blocked() == (
        "Too bright: no outdoor place fits it, even under 90 % shade cloth; at the bed it would get 25 mol a day and "
        "8 h of full sun on Sat 8 May. Day trips suit it: out there at 07:00, back indoors by 07:20.")
    assert Finished({"bed": (200.0, 25.0, 8.0)}).end(BACK, BRIGHT).blocked().endswith("full sun on Sat 8 May.")


def test_too_bright_with_no_place_open_on_its_day():
    spans = {"porch": (OUT + timedelta(days=1), BACK), "lawn": (OUT - timedelta(days=9), OUT)}
    assert Finished(spans=spans).end(BACK, BRIGHT).blocked() == "Too bright: no outdoor place fits it."


# ---- since when a plant was ready

MOVE = date(2027, 7, 3)
"""Eight weeks after it went out: it is used to the porch's light."""


def moved(lights=None, dli=6.0, sun_h=0.0, shade=0.0, cause="brighter", came=OUT, **given) -> Finished:
    lights = lights or {"porch": (10.0, 6.0, 0.0), "bed": (14.0, 9.0, 0.0)}
    scene = Finished(lights, **given).put((came, "porch", shade, "first"))
    return scene.put((MOVE, "bed", 0.0, cause), dli=dli, sun_h=sun_h)


def test_a_plant_that_was_ready_for_long_is_said_to_be_for_six_weeks_or_since_it_came():
    assert MOVE - moved().ready() == timedelta(days=READY_DAYS) == timedelta(days=42)
    late = MOVE - timedelta(days=20)
    assert moved(came=late).ready() == late


@pytest.mark.parametrize("days", [1, 5, 30])
def test_a_place_that_opened_to_it_later_made_it_ready_then(days):
    opened = MOVE - timedelta(days=days)
    assert moved(spans={"porch": (OUT, BACK), "bed": (opened, BACK)}).ready() == opened


def test_a_place_that_was_too_bright_for_it_made_it_ready_when_it_no_longer_was():
    def bright(light):
        light.mean_dli[2, :light.dates.index(MOVE) - 12] = 40.1

    assert moved(changed=bright).ready() == MOVE - timedelta(days=12)

    def limit(light):
        light.mean_dli[2, :] = 40.0

    assert moved(changed=limit).ready() == MOVE - timedelta(days=42)


@pytest.mark.parametrize(("before", "days"), [(4.1, 12), (4.0, 42)])
def test_sun_beyond_its_class_keeps_it_from_being_ready(before, days):
    def sunny(light):
        light.full_sun_h[2, :light.dates.index(MOVE) - 12] = before
        light.full_sun_h[1, :] = 4.0

    scene = moved(changed=sunny, sun_h=4.0, taxon=replace(SUN, sun="part-sun"))
    assert MOVE - scene.ready() == timedelta(days=days)


def test_in_its_first_week_it_is_ready_for_little_sun_only():
    def sunny(hours):
        def change(light):
            light.full_sun_h[1:, :] = hours
        return change

    came = MOVE - timedelta(days=20)
    assert moved(came=came, changed=sunny(1.6), sun_h=1.6).ready() == came + timedelta(days=7)
    assert moved(came=came, changed=sunny(1.5), sun_h=1.5).ready() == came


@pytest.mark.parametrize("shade", [0.0, 0.5])
def test_growing_used_to_light_makes_it_ready(shade):
    """Backwards from 17 mol on the way to 20 (40 under half a cloth) A was 20 - 3 * e ** (n / 7); 50.6 ask for 14.6."""
    porch = 20.0 / (1 - shade)
    scene = moved({"porch": (30.0, porch, 0.0), "bed": (50.6, 30.0, 0.0)}, dli=17.0, shade=shade)
    enough = 50.6 / 3.5 / (1 - light_rule().margin)
    days = max(n for n in range(42) if 20 - 3 * np.exp(n / 7) >= enough)
    assert days == 4 and scene.ready() == MOVE - timedelta(days=days)


@pytest.mark.parametrize("shade", [0.0, 0.5])
def test_growing_used_to_direct_sun_makes_it_ready(shade):
    """Backwards from 2 h towards 3: S was 3 - e ** (n / 4); 3.3 h ask for 3.3 / 0.99 - 2 = 1.33."""
    scene = moved({"porch": (10.0, 6.0 / (1 - shade), 3.0 / (1 - shade)), "bed": (12.0, 9.0, 3.3)}, sun_h=2.0,
                  shade=shade)
    days = max(n for n in range(42) if 3 - np.exp(n / 4) >= 3.3 / (1 - light_rule().margin) - 2)
    assert days == 2 and scene.ready() == MOVE - timedelta(days=days)


def test_each_day_counts_by_its_own_light():
    """On the day of the move the bed's clear sky asks for all of the plant's 6 mol, or its sun for all of its hour; a
    day there before that would have let it fade."""
    def cloudy(light):
        light.clear_dli[2, light.dates.index(MOVE):] = 20.7
        light.mean_dli[2, :] = 1.0

    def sunny(light):
        light.full_sun_h[1, :] = 1.0
        light.full_sun_h[2, light.dates.index(MOVE):] = 2.96

    assert moved(changed=cloudy).ready() == MOVE - timedelta(days=42)
    assert moved(changed=sunny, sun_h=1.0).ready() == MOVE - timedelta(days=42)


def test_a_plant_may_have_been_ready_on_the_first_day_of_the_year():
    first = make_daylight().dates[0]
    scene = Finished({"porch": (10.0, 6.0, 0.0), "bed": (14.0, 9.0, 0.0)}, leave=first)
    scene.put((first, "porch", 0.0, "first"), (first + timedelta(days=20), "bed", 0.0, "brighter"))
    assert scene.ready() == first


def test_only_moves_to_more_light_have_a_day_of_readiness():
    scene = moved(cause="descent")
    assert ready_days(scene.rows, scene.groups, scene.yard) == {}
    assert scene.stops()[1].why.endswith("a day")
    first = Finished().put((OUT, "porch", 0.0, "brighter"))
    assert ready_days(first.rows, first.groups, first.yard) == {}


def test_two_moves_have_their_own_days():
    scene = moved(spans=dict.fromkeys(("porch", "bed"), (OUT, BACK)))
    scene.put((MOVE + timedelta(days=14), "porch", 0.0, "step"))
    days = ready_days(scene.rows, scene.groups, scene.yard)
    arrivals = arrivals_of(scene.rows.past[0])
    assert [days.get(id(a)) for a in arrivals] == [None, arrivals[1].day - 42, arrivals[1].day]


# ---- the words of a stop


def test_readiness_is_told_or_that_the_season_made_the_place_the_brighter_one():
    assert moved().stops()[1].why.endswith("; ready since Sat 22 May")
    same = moved({"porch": (10.0, 8.0, 0.0), "bed": (14.0, 9.19, 0.0)}, dli=8.0)
    assert same.stops()[1].why.endswith("; with the sun's path of this season it gives more than the porch")
    more = moved({"porch": (10.0, 8.0, 0.0), "bed": (14.0, 9.21, 0.0)}, dli=8.0)
    assert more.stops()[1].why.endswith("; ready since Sat 22 May")
    limit = moved({"porch": (10.0, 8.0, 0.0), "bed": (14.0, (1 + light_rule().little_gain) * 8.0, 0.0)}, dli=8.0)
    assert limit.stops()[1].why.endswith("; ready since Sat 22 May")
    step = moved({"porch": (10.0, 8.0, 0.0), "bed": (14.0, 9.19, 0.0)}, dli=8.0, cause="step")
    assert step.stops()[1].why.endswith("; ready since Sat 22 May")


TOLD = {
    "brighter": "the brightest place with room that it is ready for",
    "step": "a step on the way to more light: it gets used to more direct sun here",
    "too-bright": "the light at the porch passes what it takes",
    "closing": "nights: it may be at the porch until Mon 20 Sep only",
    "gives-way": "makes room at the porch for plants that need it more",
    "descent": "runs the light down before it comes in on Sat 2 Oct",
    "descent-short": "runs the light down before it comes in on Sat 2 Oct; no shadier place has room",
    "cloth-off": "used to this light by now: the cloth comes off",
    "no-cloth": "stands here without a shade cloth",
    "logged": "stands here by the log",
    "logged-bright": "stands here by the log, which is more light than it was ready for (21 mol a day under a clear "
                     "sky, 2.5 h of full sun); look for bleached leaves",
}


@pytest.mark.parametrize("cause", TOLD)
def test_each_cause_is_told_with_sun_and_light(cause):
    spans = {"porch": (OUT, date(2027, 9, 20)), "under the tree": (OUT, BACK)}
    scene = Finished(spans=spans).put((OUT, "porch", 0.0, "first"))
    why = scene.put((MOVE, "under the tree", 0.0, cause)).stops()[1].why
    assert why.startswith(f"{TOLD[cause]}; direct sun 07:00 to 09:30; light 6 -> 9 mol a day")


def test_light_before_and_after_counts_the_cloths():
    scene = Finished().put((OUT, "lawn", 0.7, "cloth"), (MOVE, "under the tree", 0.5, "cloth"))
    first, second = scene.stops()
    assert "; light 2 -> 6 mol a day" in first.why and "; light 6 -> 4.5 mol a day" in second.why
    assert "70 % shade cloth here until Sat 3 Jul makes this one fit" in first.why
    assert (first.clear_dli, first.mean_dli, first.full_sun_h) == pytest.approx((9.0, 6.0, 1.2))
    assert (first.shade.percent, first.shade.place, first.shade.until) == (70, "lawn", MOVE)
    assert first.until == second.date == MOVE and second.until == BACK


@pytest.mark.parametrize(("waited", "told"), [(OUT, False), (OUT - timedelta(days=1), True)])
def test_a_plant_that_waited_is_told_since_when(waited, told):
    why = Finished().put((OUT, "porch", 0.0, "first"), waited_from=waited).stops()[0].why
    assert why.endswith("; waited since Fri 7 May for a fitting place with room") is told


def test_of_like_plants_that_move_together_each_has_waited_since_its_own_day():
    scene = Finished(None, *(Finished.ask(name=name, count=n) for n, name in ((1, "A"), (2, "B"))))
    scene.put((OUT, "porch", 0.0, "first"), waited_from=OUT - timedelta(days=1))
    scene.put((OUT, "porch", 0.0, "first"), row=1, waited_from=OUT - timedelta(days=2))
    maker = StopMaker(scene.rows, scene.groups, scene.yard)
    assert ["Fri 7 May" in maker.stops(row)[0].why for row in (0, 1)] == [True, False]


def test_limits_of_a_stop_are_those_of_the_state_it_came_with():
    """6 mol allow 21; half an hour of sun allows 2.5, but 1.5 in the first week."""
    scene = Finished().put((OUT, "porch", 0.0, "first"), (OUT + timedelta(days=7), "under the tree", 0.0, "brighter"))
    first, second = scene.stops()
    assert (first.allowed_dli, first.allowed_full_sun_h) == (21.0, 1.5)
    assert (second.allowed_dli, second.allowed_full_sun_h) == (21.0, 2.5)


def test_a_row_that_never_went_out_has_no_stops():
    assert Finished().stops() == ()


@pytest.mark.parametrize(("days_out", "back"), [(0, "09:00"), (6, "09:00"), (7, "10:30")])
def test_hours_without_the_cloth_are_those_of_the_day_it_goes_under(days_out, back):
    """4 h of full sun at the lawn: 1.5 of them in the first week, 0.99 * 2.5 after it, of nine hours by the
    clock that count as strong as the strongest: 128 and 212 minutes."""
    moved_on = OUT + timedelta(days=days_out)
    arrivals = [(OUT, "porch", 0.0, "first"), (moved_on, "lawn", 0.7, "cloth")][0 if days_out else 1:]
    assert Finished().put(*arrivals).stops()[-1].shade.hours == ("07:00", back)


def test_each_plant_is_told_its_own_nights_and_its_own_hours():
    """On the same days at the same places: the porch closes to one a day later; the lawn's 20 mol are within what one
    takes, and four times what the other does."""
    spans = [{"porch": (OUT, date(2027, 9, day)), "lawn": (OUT, BACK)} for day in (20, 21)]
    plants = [Finished.ask(name=name, spans=span) for name, span in zip("AB", spans, strict=True)]
    scene = Finished(None, *plants, Finished.ask(name="C", light_high_mol=5.0), Finished.ask(name="D"))
    for row in (0, 1):
        scene.put((OUT, "porch", 0.0, "first"), (MOVE, "lawn", 0.0, "closing"), row=row)
    for row in (2, 3):
        scene.put((OUT, "lawn", 0.8, "cloth"), row=row)
    maker = StopMaker(scene.rows, scene.groups, scene.yard)
    assert ["until Mon 20 Sep only" in maker.stops(row)[1].why for row in (0, 1)] == [True, False]
    assert [maker.stops(row)[0].shade.hours for row in (2, 3)] == [("07:00", "08:20"), ("07:00", "09:00")]


def test_stops_that_read_the_same_are_made_once_and_others_are_not():
    requests = [Finished.ask(name=name, count=n + 1) for n, name in enumerate("ABCD")]
    scene = Finished(None, *requests)
    for row, (place, shade) in enumerate([("porch", 0.0), ("porch", 0.0), ("lawn", 0.0), ("lawn", 0.3)]):
        scene.put((OUT, place, shade, "first"), row=row)
    maker = StopMaker(scene.rows, scene.groups, scene.yard)
    stops = [maker.stops(row)[0] for row in range(4)]
    assert stops[0] is stops[1] and [s.place for s in stops] == ["porch", "porch", "lawn", "lawn"]
    assert [s.shade.percent if s.shade else None for s in stops] == [None, None, None, 30]
