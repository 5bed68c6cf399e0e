"""What a plant may do on one Saturday in June, on each limit and one day or one step beyond it.

The yard of these tests has the same invented light every day, and moves on Saturdays: a plant that is put down on
SAT can be moved again on the Saturday after.
"""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from invented import make_daylight, make_plant, make_taxon

from seasonplan.decisions.acclimation import light_rule
from seasonplan.decisions.route_choice import TIER, Options, comes_in_soon, holds, options, plants_of, wishes
from seasonplan.decisions.route_rows import INDOORS, Arrival, Rows, make_groups
from seasonplan.decisions.route_types import RouteRequest
from seasonplan.decisions.route_yard import make_yard
from seasonplan.model import Place

SAT, AUTUMN = date(2027, 6, 12), date(2027, 9, 25)
FERN = make_taxon(sun="sun", light_low_mol=10.0, light_high_mol=40.0)
DIM = {"porch": (10.0, 6.0, 1.0), "bed": (11.0, 7.0, 1.0)}


def after(days: int, day: date = SAT) -> date:
    return day + timedelta(days=days)


class Scene:
    """Plants in a yard of steady light: {place: (clear, mean, full-sun hours)}."""

    def __init__(self, lights, *requests: RouteRequest, room=None, indoor_mol: float = 2.0, open_mol: float = 40.0):
        places = (Place("south window", "indoor"),
                  *(Place(name, "outdoor", room_for=(room or {}).get(name)) for name in lights))
        light = make_daylight(places)
        ones = np.ones(len(light.dates))
        clear, mean, sun = (np.array(v)[:, None] * ones for v in zip((3.0, indoor_mol, 0.0), *lights.values(),
                                                                     strict=True))
        light = replace(light, clear_dli=clear, mean_dli=mean, full_sun_h=sun, open_clear_dli=60 * ones,
                        open_mean_dli=open_mol * ones)
        self.yard = make_yard(places, light, ("sat",))
        self.groups, rank = make_groups(requests, self.yard)
        self.rows = Rows(self.groups, rank)

    def stand(self, place: str, since: date, row: int = 0, dli: float = 6.0, sun_h: float = 1.0, shade: float = 0.0,
              out: date | None = None) -> "Scene":
        """Put a row at a place, used to so much light by now."""
        day = self.yard.day(since)
        self.rows.stand(row, Arrival(day, self.yard.names.index(place), shade, dli, sun_h, "first", day, None), day + 3)
        self.rows.dli[row], self.rows.sun_h[row] = dli, sun_h
        self.rows.out[row] = self.yard.day(out or since)
        return self

    def options(self, day: date = SAT) -> Options:
        return options(self.yard.day(day), np.arange(len(self.rows.members)), self.rows, self.groups, self.yard)

    def wishes(self, day: date = SAT):
        return wishes(self.options(day), self.rows, self.groups, self.yard)


def ask(name: str = "Fern", taxon=FERN, leave=SAT, back=AUTUMN, spans=None, places=("porch",), **plant) -> RouteRequest:
    spans = dict.fromkeys(places, (leave, back)) if spans is None else spans
    return RouteRequest(make_plant(name, taxon=taxon, **plant), spans, leave, back)


def only(values) -> bool:
    assert values.shape[0] == 1 and values.size == 1
    return bool(values.ravel()[0])


# ---- where it may go


@pytest.mark.parametrize(("opens", "closes", "may"), [(0, 7, True), (1, 7, False), (0, 6, False), (-30, 60, True)])
def test_a_place_must_be_open_until_the_plant_can_leave_it_again(opens, closes, may):
    spans = {"porch": (after(opens), after(closes)), "bed": (SAT, AUTUMN)}
    assert bool(Scene(DIM, ask(spans=spans)).options().may_move[0, 0]) is may


def test_a_plant_that_comes_in_before_it_could_move_again_needs_the_place_until_then_only():
    spans = {"porch": (SAT, after(5)), "bed": (SAT, after(4))}
    scene = Scene(DIM, ask(back=after(5), spans=spans))
    assert scene.options().may_move.tolist() == [[True, False]]


@pytest.mark.parametrize(("pots", "may"), [(3, True), (4, False)])
def test_all_pots_of_a_plant_must_fit(pots, may):
    assert only(Scene({"porch": DIM["porch"]}, ask(count=pots), room={"porch": 3}).options().may_move) is may


@pytest.mark.parametrize(("leave", "opens", "back", "waits"), [
    (0, 14, 100, True), (0, 15, 100, False), (0, 9, 30, True), (0, 10, 30, False), (-7, 7, 100, True),
    (-7, 8, 100, False)])
def test_a_plant_waits_two_weeks_for_a_place_to_open_but_not_into_its_last_three(leave, opens, back, waits):
    spans = {"porch": (after(opens), after(back)), "bed": (after(-60), after(-50))}
    scene = Scene(DIM, ask(leave=after(leave), back=after(back), spans=spans))
    assert only(scene.options().may_wait) is waits and not scene.options().may_move.any()


@pytest.mark.parametrize(("closes", "waits"), [(0, False), (1, True)])
def test_nobody_waits_for_a_place_that_has_closed(closes, waits):
    spans = {"porch": (after(-20), after(closes)), "bed": (after(60), AUTUMN)}
    assert only(Scene(DIM, ask(spans=spans)).options().may_wait) is waits


@pytest.mark.parametrize(("closes", "back", "lasts"), [(21, 100, True), (20, 100, False), (35, 35, True),
                                                       (34, 34, False)])
def test_a_place_lasts_when_three_weeks_of_it_are_left_before_it_closes_and_before_the_descent(closes, back, lasts):
    """Moves on Saturdays make a descent of 14 days, so 35 days before coming in 21 are left."""
    scene = Scene(DIM, ask(back=after(back), spans={"porch": (SAT, after(closes)), "bed": (SAT, after(back))}))
    found = scene.options()
    assert found.may_move[0, 0] and bool(found.lasts[0, 0]) is lasts


def test_a_place_that_turns_too_bright_for_the_plant_within_three_weeks_does_not_last():
    plants = [ask(name, replace(FERN, light_high_mol=most)) for name, most in (("A", 6.0), ("B", 5.9))]
    assert Scene({"porch": DIM["porch"]}, *plants).options().lasts.tolist() == [[True], [False]]


@pytest.mark.parametrize(("days_out", "may"), [(7, True), (6, False)])
def test_the_first_seven_days_are_gentle(days_out, may):
    """Two hours of full sun: within S + 2, but more than the hour and a half of the first week."""
    scene = Scene({"porch": DIM["porch"], "steps": (12.0, 8.0, 2.0)}, ask(places=("porch", "steps")))
    scene.stand("porch", after(-days_out))
    assert scene.options().may_move[0].tolist() == [True, may]


def test_a_plant_still_indoors_is_used_to_its_window_and_to_no_sun():
    scene = Scene(DIM, ask(), indoor_mol=5.0)
    scene.rows.dli[:], scene.rows.sun_h[:] = 30.0, 9.0
    found = scene.options()
    assert found.dli.tolist() == [[5.0, 5.0]] and found.sun_h.tolist() == [[0.0, 0.0]]
    assert found.here.tolist() == [INDOORS] and not found.outdoors.any()
    assert scene.stand("porch", SAT, dli=30.0, sun_h=9.0).options().dli.tolist() == [[30.0, 30.0]]


# ---- where it may stay


@pytest.mark.parametrize(("opens", "closes", "stays"), [(0, 7, True), (0, 6, False), (1, 60, False)])
def test_a_plant_may_stay_where_the_place_is_open_to_it_until_the_next_day_to_move(opens, closes, stays):
    spans = {"porch": (after(opens), after(closes)), "bed": (SAT, AUTUMN)}
    scene = Scene(DIM, ask(leave=after(-14), spans=spans)).stand("porch", after(-14))
    assert only(scene.options().may_stay) is stays


def test_a_plant_stays_until_it_comes_in_where_no_day_to_move_is_left():
    spans = {"porch": (after(-60), after(5)), "bed": (after(-60), after(5))}
    scene = Scene(DIM, ask(leave=after(-60), back=after(5), spans=spans)).stand("porch", after(-60))
    assert only(scene.options().may_stay)


def test_a_plant_may_not_stay_in_more_than_it_takes_and_one_indoors_stays_nowhere():
    scene = Scene({"porch": DIM["porch"]}, ask("A", replace(FERN, light_high_mol=5.0)), ask("B"),
                  ask("C", replace(FERN, light_low_mol=9.0)))
    scene.stand("porch", after(-14), 0).stand("porch", after(-14), 1)
    assert scene.options().may_stay.tolist() == [False, True, False]


def test_in_midweek_staying_looks_to_the_next_saturday_and_moving_to_the_one_after_three_days():
    """Put down on a Thursday, a plant can be moved on the Saturday after next; one that stands already, on the next."""
    thursday = after(-2)
    spans = {"porch": (after(-60), SAT), "bed": (after(-60), AUTUMN)}
    found = Scene(DIM, ask(leave=after(-60), spans=spans)).stand("porch", after(-20)).options(thursday)
    assert only(found.may_stay) and not only(found.bare) and found.may_move.tolist() == [[False, True]]


# ---- cloths


def under_cloth(shade=0.5, dli=6.0, closes=AUTUMN, light_high=40.0):
    taxon = replace(FERN, light_high_mol=light_high)
    fern = ask(taxon=taxon, leave=after(-30), spans={"porch": (after(-30), closes)}, back=closes)
    scene = Scene({"porch": (20.0, 12.0, 1.0)}, fern)
    return scene.stand("porch", after(-21), dli=dli, shade=shade)


def test_light_under_a_cloth_is_counted_as_the_plant_gets_it():
    found = under_cloth(dli=5.0).options()
    assert found.light.tolist() == [[6.0]] and only(found.may_stay) and not only(found.bare)


def test_a_cloth_comes_off_once_the_plant_is_used_to_the_open_place():
    """20 mol under a clear sky ask for 20 / 3.5 / 0.99 = 5.77 mol."""
    assert not only(under_cloth(dli=5.76).options().bare)
    found = under_cloth(dli=5.78).options()
    assert only(found.bare) and found.light.tolist() == [[12.0]]


def test_no_cloth_comes_off_a_plant_that_has_none():
    scene = Scene(DIM, ask(leave=after(-14), places=tuple(DIM))).stand("porch", after(-14))
    found = scene.options()
    assert only(found.may_stay) and found.lasts.all() and not only(found.bare)


@pytest.mark.parametrize(("weeks_left", "comes_off"), [(5, True), (4, False)])
def test_a_cloth_stays_on_in_a_place_that_is_soon_over(weeks_left, comes_off):
    """Where less than three weeks are left before the two of the descent, taking it off is not worth the trouble."""
    found = under_cloth(closes=after(7 * weeks_left)).options()
    assert only(found.bare) is comes_off and only(found.may_stay) and only(found.may_move)


def test_under_a_cloth_the_plant_s_own_ceilings_hold():
    assert only(under_cloth(dli=4.0, light_high=6.0).options().may_stay)
    assert not only(under_cloth(dli=4.0, light_high=5.9).options().may_stay)


def test_each_plant_has_its_own_cloth():
    """Used to 4 mol: 10 mol clear under the half cloth are within 12, 16 under the thin one are beyond 3.5 * 4."""
    plants = [ask(name, places=("porch", "bed"), leave=after(-30)) for name in ("A", "B", "C", "D")]
    plants = [replace(p, plant=replace(p.plant, count=n + 1)) for n, p in enumerate(plants)]
    scene = Scene({"porch": (20.0, 12.0, 1.0), "bed": (60.0, 30.0, 1.0)}, *plants)
    for row, (place, shade) in enumerate([("porch", 0.5), ("porch", 0.2), ("bed", 0.8), ("bed", 0.5)]):
        scene.stand(place, after(-21), row, dli=4.0, shade=shade)
    assert scene.options().may_stay.tolist() == [True, False, True, False]


# ---- the descent and the last days


def coming_in(days_left: int, lights=None, leave=-100, **given):
    lights = lights or {"porch": (10.0, 6.0, 1.0), "bed": (11.0, 6.8, 1.0), "lawn": (12.0, 7.0, 1.0)}
    back = after(days_left)
    scene = Scene(lights, ask(leave=after(leave), back=back, places=tuple(lights), **given))
    return scene.stand(next(iter(lights)), after(leave), dli=20.0)


@pytest.mark.parametrize(("days_left", "soon"), [(9, True), (10, False)])
def test_in_the_last_ten_days_a_plant_moves_to_no_more_light(days_left, soon):
    """The bed has 13 percent more than the porch, which counts as the same; the lawn has 17 percent more."""
    scene = coming_in(days_left)
    assert only(comes_in_soon(scene.yard.day(SAT), np.array([0]), scene.rows, scene.groups)) is soon
    assert scene.options().may_move.tolist() == [[True, True, not soon]]


def test_exactly_fifteen_percent_more_is_as_good_as_the_same_in_the_last_days():
    lights = {"porch": (10.0, 6.0, 1.0), "bed": (11.0, 6.0 * (1 + light_rule().little_gain), 1.0)}
    assert coming_in(9, lights).options().may_move.tolist() == [[True, True]]


def test_even_a_plant_that_is_out_for_three_days_has_last_days():
    scene = Scene(DIM, ask(leave=after(-1), back=after(2))).stand("porch", after(-1))
    assert only(comes_in_soon(scene.yard.day(SAT), np.array([0]), scene.rows, scene.groups))


@pytest.mark.parametrize(("days_left", "may"), [(3, True), (2, False)])
def test_nobody_moves_for_less_than_three_days(days_left, may):
    assert coming_in(days_left).options().may_move[0, :2].tolist() == [may, may]


def test_the_light_under_a_cloth_counts_when_the_last_days_allow_no_more():
    scene = coming_in(9, lights={"porch": (20.0, 12.0, 1.0), "bed": (11.0, 6.8, 1.0), "lawn": (12.0, 7.0, 1.0)})
    scene.rows.shade[0] = 0.5
    assert scene.options().may_move.tolist() == [[False, True, False]]


def test_the_last_days_are_no_matter_to_plants_indoors_or_to_those_that_stay_out():
    scene = Scene(DIM, ask(leave=SAT, back=after(9), spans=dict.fromkeys(DIM, (SAT, after(9)))))
    day = scene.yard.day(SAT)
    assert not only(comes_in_soon(day, np.array([0]), scene.rows, scene.groups))
    year = scene.yard.dates
    out = Scene(DIM, ask(leave=year[0], back=after(1, year[-1]), places=tuple(DIM))).stand("porch", year[0])
    assert not only(comes_in_soon(len(year) - 5, np.array([0]), out.rows, out.groups))


@pytest.mark.parametrize(("days_left", "level"), [(15, 1.0), (14, 0.5), (7, 0.2)])
def test_the_level_of_the_descent_is_that_of_the_day(days_left, level):
    assert coming_in(days_left).options().level.tolist() == [level]


@pytest.mark.parametrize(("days_left", "level"), [(10, 0.5), (9, 0.2)])
def test_ten_days_before_coming_in_another_saturday_is_left_and_nine_days_before_none(days_left, level):
    """On the next Saturday three days would be left, enough for a stop, or two, which are not."""
    assert coming_in(days_left).options().level.tolist() == [level]


def test_light_is_never_run_down_below_what_the_window_gives():
    scene = Scene(DIM, ask(leave=after(-100), back=after(7), places=tuple(DIM)), indoor_mol=12.0)
    assert scene.stand("porch", after(-100)).options().level.tolist() == [pytest.approx(0.3)]


@pytest.mark.parametrize(("open_mol", "low_enough"), [(0.5, True), (0.0, True), (5.0, False)])
def test_on_a_dark_day_a_window_may_give_as_much_as_open_ground(open_mol, low_enough):
    """Half a mol in the window: all of a winter day's light outdoors, or more where there is none; a tenth of 5 mol."""
    scene = Scene({"porch": (0.3, 0.2, 0.0)}, ask(leave=after(-100), back=after(7)), indoor_mol=0.5, open_mol=open_mol)
    level = scene.stand("porch", after(-100)).options().level[0]
    assert bool(level >= 1) is low_enough and (low_enough or level == 0.2)
    assert np.isfinite(scene.wishes().use).all()


# ---- how much a place leads to


@pytest.mark.parametrize(("opens", "counts"), [(7, True), (8, False)])
def test_a_brighter_place_that_opens_within_a_week_is_a_prospect(opens, counts):
    lights = {"porch": (10.0, 6.0, 1.0), "lawn": (18.0, 14.0, 2.0)}
    spans = {"porch": (SAT, AUTUMN), "lawn": (after(opens), AUTUMN)}
    found = Scene(lights, ask(spans=spans)).options()
    assert found.prospect[0, 0] == pytest.approx(14 * light_rule().step_discount if counts else 6.0)
    assert found.prospect[0, 1] == 14.0


# ---- the limits of a stay


def test_a_stay_holds_while_no_day_of_it_passes_a_limit():
    """The porch's sun is within the rule, and over the first week's hour and a half for 3 days more."""
    scene = Scene({"porch": (12.0, 6.0, 2.0)}, ask(leave=after(-4)))
    scene.stand("porch", after(-4), sun_h=2.0)
    day = scene.yard.day(SAT)
    assert not holds(day, 1, 0, scene.rows, scene.groups, scene.yard)
    assert holds(day + 3, 1, 0, scene.rows, scene.groups, scene.yard)
    assert holds(day + 3, 90, 0, scene.rows, scene.groups, scene.yard)
    scene.groups.sun_cap[:] = 1.9
    assert not holds(day + 3, 90, 0, scene.rows, scene.groups, scene.yard)


@pytest.mark.parametrize(("more", "holds_out"), [(0.0, True), (-1e-6, False)])
def test_a_state_that_is_just_enough_is_enough(more, holds_out):
    """14 mol and 3 hours of full sun ask for 14 / 3.5 mol and 3 - 2 hours, with one percent to spare."""
    rule = light_rule()
    spare = 1 - rule.margin
    scene = Scene({"porch": (14.0, 6.0, 3.0)}, ask(leave=after(-20)))
    for dli, sun_h in ((14 / (spare * rule.step_ratio) + more, 9.0), (9.0, 3 / spare - rule.sun_step_h + more)):
        scene.stand("porch", after(-20), dli=dli, sun_h=sun_h)
        assert holds(scene.yard.day(SAT), 1, 0, scene.rows, scene.groups, scene.yard) is holds_out


@pytest.mark.parametrize(("sun", "may"), [(1.5, True), (1.501, False)])
def test_an_hour_and_a_half_of_sun_is_gentle(sun, may):
    assert only(Scene({"porch": (10.0, 6.0, sun)}, ask()).options().may_move) is may


@pytest.mark.parametrize(("high", "cap", "may"), [(6.0, "part-sun", True), (5.999, "part-sun", False),
                                                  (6.0, "shade", False)])
def test_a_place_on_the_very_limit_is_within_it(high, cap, may):
    """6 mol of 6, four hours of the four that part sun takes; shade takes one and a half."""
    taxon = make_taxon(sun=cap, light_low_mol=2.0, light_high_mol=high)
    scene = Scene({"porch": (12.0, 6.0, 4.0)}, ask(taxon=taxon, leave=after(-20)))
    assert only(scene.stand("porch", after(-20), sun_h=4.0).options().may_move) is may


# ---- what it wants


def scores(lights, at, *, taxon=FERN, dli=20.0, sun_h=5.0, days_left=100, shade=0.0, **yard):
    """{place: score}, and all wishes, of a plant that stands at a place, long out and used to much light."""
    scene = Scene(lights, ask(taxon=taxon, leave=after(-100), back=after(days_left), places=tuple(lights)), **yard)
    wanted = scene.stand(at, after(-100), dli=dli, sun_h=sun_h, shade=shade).wishes()
    return dict(zip(lights, wanted.score[0].tolist(), strict=True)), wanted


@pytest.mark.parametrize(("here", "there", "moves"), [(12.0, 13.7, False), (12.0, 13.9, True), (8.0, 8.7, False),
                                                      (8.0, 8.9, True)])
def test_a_plant_moves_for_fifteen_percent_more_or_for_ten_where_it_wants_light(here, there, moves):
    """It needs 10 mol. The two places lead to nothing further."""
    found, _ = scores({"porch": (12.0, here, 1.0), "bed": (12.0, there, 1.0)}, "porch")
    assert (found["bed"] > found["porch"]) is moves


def test_exactly_fifteen_percent_more_are_worth_a_move():
    found, _ = scores({"porch": (12.0, 12.0, 1.0), "bed": (12.0, 12.0 * (1 + light_rule().little_gain), 1.0)}, "porch")
    assert found["bed"] > found["porch"]


def test_a_place_that_passes_what_the_plant_takes_is_no_option_to_stay():
    found, _ = scores({"porch": (12.0, 41.0, 1.0), "bed": (12.0, 6.0, 1.0)}, "porch")
    assert found["porch"] == -np.inf and found["bed"] > -np.inf


def test_what_a_place_leads_to_counts_more_than_its_own_light():
    """The porch's sun leads to the steps' 12 mol; the bed gives 9.5 mol and leads nowhere."""
    lights = {"bed": (11.0, 9.5, 0.0), "porch": (10.0, 6.0, 1.2), "steps": (16.0, 12.0, 2.9)}
    score = Scene(lights, ask(places=tuple(lights))).wishes().score[0]
    assert score[1] > score[0]


def test_a_plant_on_exactly_what_it_needs_is_not_wanting():
    found, _ = scores({"porch": (12.0, 10.0, 1.0), "bed": (12.0, 11.2, 1.0)}, "porch")
    assert found["bed"] < found["porch"]


def test_staying_comes_before_a_place_that_does_not_last():
    scene = Scene({"porch": (12.0, 6.0, 1.0), "lawn": (12.0, 20.0, 1.0)},
                  ask(leave=after(-100), spans={"porch": (after(-100), AUTUMN), "lawn": (SAT, after(20))}))
    score = scene.stand("porch", after(-100), dli=20.0).wishes().score[0]
    assert score[0] > score[1] and score[1] > 0


@pytest.mark.parametrize(("bed", "needed", "moves"), [
    (9.5, 10.0, True), (9.0, 10.0, False), (5.0, 5.0, True), (4.9, 5.0, False)])
def test_a_plant_under_a_cloth_prefers_a_place_without_one_that_is_hardly_darker_or_gives_what_it_needs(bed, needed,
                                                                                                        moves):
    """Under the cloth it has 10.8 mol; fifteen percent less are 9.18."""
    lights = {"porch": (60.0, 36.0, 1.0), "bed": (12.0, bed, 1.0)}
    found, _ = scores(lights, "porch", dli=8.0, shade=0.7, taxon=replace(FERN, light_low_mol=needed))
    assert (found["bed"] > found["porch"]) is moves


def test_plants_are_as_they_were_on_the_day_of_the_choice():
    scene = Scene(DIM, ask("A", leave=after(-3)), ask("B", replace(FERN, light_high_mol=9.0)), indoor_mol=4.0)
    scene.stand("porch", after(-3), 0, dli=5.0, sun_h=0.6)
    plants = plants_of(scene.options(), np.array([0, 1]), scene.rows, scene.groups)
    assert plants.gentle_days.tolist() == [4, 7] and plants.light_high.tolist() == [40.0, 9.0]
    assert plants.dli.tolist() == [[5.0, 5.0], [4.0, 4.0]] and plants.sun_h.tolist() == [[0.6, 0.6], [0.0, 0.0]]


def test_of_equal_prospects_the_brighter_place_is_wanted_by_a_plant_indoors():
    """Both beds lead to the lawn; the second is brighter itself."""
    lights = {"first bed": (10.0, 6.0, 1.0), "second bed": (10.0, 6.5, 1.0), "lawn": (18.0, 14.0, 2.0)}
    score = Scene(lights, ask(places=tuple(lights))).wishes().score[0]
    assert score[1] > score[0] and score[2] == -np.inf


def test_a_plant_outdoors_claims_its_place_more_and_one_that_waited_claims_more_each_day():
    rule = light_rule()
    plants = [ask("A", leave=after(-20)), ask("B", leave=after(-5)), ask("C", leave=SAT)]
    scene = Scene({"porch": DIM["porch"]}, *plants).stand("porch", after(-20), 0)
    wanted = scene.wishes()
    assert wanted.claim == pytest.approx([0.0, 5 * rule.patience_gain, 0.0])
    assert wanted.bonus.tolist() == [[rule.keep_bonus], [0.0], [0.0]]


def test_a_plant_that_is_out_has_nothing_without_a_place_and_one_indoors_its_window():
    """Its window gives 2 of the 10 mol it needs; one that is content with 1 mol, or none, lacks nothing there. Whoever
    is out claims a place more than anybody indoors who has waited for a year."""
    content, frugal = replace(FERN, light_low_mol=1.0), replace(FERN, light_low_mol=0.0)
    scene = Scene({"porch": DIM["porch"]}, ask("A", leave=after(-20)), ask("B"), ask("C", content), ask("D", frugal))
    wanted = scene.stand("porch", after(-20), 0).wishes()
    assert wanted.without[1:] == pytest.approx([0.2, 1.0, 1.0])
    assert wanted.use[0, 0] - wanted.without[0] > 1.1 + 365 * light_rule().patience_gain
    assert wanted.use[3, 0] == pytest.approx(1.0 + 0.1 * 6 / 40)


def test_the_needs_of_plants_that_live_in_the_dark_are_shares_too():
    """A plant that needs 0.5 mol and takes 0.8 has two fifths of its need at 0.2 mol."""
    cave = make_taxon(sun="deep-shade", light_low_mol=0.5, light_high_mol=0.8)
    wanted = Scene({"porch": (0.4, 0.2, 0.0)}, ask(taxon=cave), indoor_mol=0.1).wishes()
    assert wanted.without == pytest.approx([0.2]) and wanted.use == pytest.approx(0.4 + 0.1 * 0.25)


def test_use_of_light_is_the_need_it_meets_and_a_little_more_up_to_what_the_plant_takes():
    """Of 10 mol needed and 40 taken; only one place at a time, so that it leads nowhere else."""
    for light, use in ((5.0, 0.5 + 0.1 / 8), (20.0, 1.05), (40.0, 1.1), (50.0, 1.1)):
        assert Scene({"porch": (12.0, light, 0.0)}, ask()).wishes().use == pytest.approx(use)


# ---- what it wants in the descent

FALLING = {"lawn": (30.0, 24.0, 1.0), "steps": (24.0, 19.0, 1.0), "bed": (12.0, 10.0, 1.0), "porch": (9.0, 6.0, 1.0)}
"""Shares of the 40 mol of open ground: 0.6, 0.475, 0.25, 0.15."""


def order(found) -> list[str]:
    return sorted(found, key=lambda place: -found[place])


def test_in_the_descent_the_brightest_place_within_the_level_is_wanted_then_the_least_beyond_it():
    """Two weeks before coming in half of open light is allowed: the steps, and the lawn last of all."""
    found, wanted = scores(FALLING, "lawn", days_left=14)
    assert order(found) == ["steps", "bed", "porch", "lawn"]
    assert wanted.use[0] == pytest.approx([0.5 / 0.6, 1.0, 1.0, 1.0])


def test_in_the_last_third_of_the_descent_a_fifth_of_open_light_is_allowed():
    found, _ = scores(FALLING, "bed", days_left=7)
    assert order(found)[0] == "porch"


def test_a_place_within_the_level_is_kept_in_the_descent():
    found, _ = scores(FALLING, "bed", days_left=14)
    assert order(found)[0] == "bed" and found["bed"] > found["porch"] + TIER / 2


def test_a_place_on_the_very_level_of_the_descent_is_within_it():
    found, _ = scores({"lawn": (30.0, 24.0, 1.0), "steps": (24.0, 20.0, 1.0), "bed": (12.0, 10.0, 1.0)}, "lawn",
                      days_left=14)
    assert order(found) == ["steps", "bed", "lawn"]


def test_in_the_descent_a_place_hardly_darker_is_no_reason_to_move_unless_the_plant_must():
    """A fifth of open light is 8 mol. From 8.4 mol a move to 7.6 is not worth it; from a place that closes now the
    brightest within the level is wanted, be it hardly darker."""
    found, _ = scores({"bed": (12.0, 8.4, 1.0), "porch": (12.0, 7.6, 1.0)}, "bed", days_left=7)
    assert order(found) == ["bed", "porch"]
    a_step = 9.0 * (1 - light_rule().little_gain)
    assert order(scores({"bed": (12.0, 9.0, 1.0), "porch": (12.0, a_step, 1.0)}, "bed", days_left=7)[0])[0] == "porch"
    lights = {"bed": (12.0, 8.4, 1.0), "porch": (12.0, 7.6, 1.0), "shed": (12.0, 7.4, 1.0)}
    open_all = (after(-100), after(14))
    scene = Scene(lights, ask(leave=after(-100), back=after(14), spans={
        "bed": (after(-100), SAT), "porch": open_all, "shed": open_all}), open_mol=38.0)
    score = scene.stand("bed", after(-100), dli=20.0).wishes(after(7)).score[0]
    assert score[1] > score[2] > -np.inf and score[0] == -np.inf


def test_light_that_a_dark_place_gives_is_a_share_of_open_light_in_the_descent():
    """Half a mol of one is half of open light, where the last days allow a fifth; no light at all is no trouble."""
    lights = {"porch": (0.9, 0.5, 0.0), "cellar": (0.0, 0.0, 0.0)}
    _, wanted = scores(lights, "porch", days_left=7, open_mol=1.0, indoor_mol=0.1)
    assert wanted.use[0] == pytest.approx([0.4, 1.0])


@pytest.mark.parametrize(("share", "moves"), [(0.86, False), (0.84, True)])
def test_in_the_descent_only_a_real_step_down_is_worth_a_move(share, moves):
    """Both places are beyond the last level; a step down by fifteen percent counts."""
    lights = {"bed": (12.0, 20.0, 1.0), "porch": (12.0, 20.0 * share, 1.0)}
    found, _ = scores(lights, "bed", days_left=7)
    assert (order(found)[0] == "porch") is moves
