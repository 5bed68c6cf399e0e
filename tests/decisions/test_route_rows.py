"""Plants as rows: who is alike, from when to when each is out, what the log changes, and how a row is split."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from invented import make_daylight, make_plant, make_taxon, stays_of

from seasonplan.decisions.route_rows import INDOORS, Arrival, Rows, make_groups
from seasonplan.decisions.route_types import RouteRequest
from seasonplan.decisions.route_yard import make_yard
from seasonplan.model import Place

PLACES = (Place("north window", "indoor"), Place("south window", "indoor"),
          *(Place(name, "outdoor") for name in ("porch", "tree", "lawn")))
YARD = make_yard(PLACES, make_daylight(PLACES), ("sat",))
YEAR = YARD.dates
OUT, BACK = date(2027, 5, 8), date(2027, 10, 2)
SPANS = {"porch": (OUT, BACK), "lawn": (date(2027, 5, 15), date(2027, 9, 18))}


def ask(name="Olive", spans=None, leave=OUT, back=BACK, stays=(), **plant) -> RouteRequest:
    return RouteRequest(make_plant(name, **plant), SPANS if spans is None else spans, leave, back, stays_of(stays))


def season(**given) -> tuple[date, date, tuple]:
    """(out, in, logged stays) of one plant."""
    groups, _ = make_groups([ask(**given)], YARD)
    return (YARD.date(groups.leave[0]), YARD.date(groups.end[0]),
            tuple((YARD.date(day), YARD.names[place]) for day, place in groups.logged[0]))


def out_and_in(**given) -> tuple[date, date]:
    return season(**given)[:2]


def test_plants_that_are_alike_share_a_row_and_names_rank_them():
    requests = [ask("Olive B"), ask("Fig", count=2), ask("Olive A"), ask("Rose", place="north window")]
    groups, rank = make_groups(requests, YARD)
    assert groups.members == ([1], [2, 0], [3]) and rank.tolist() == [2, 0, 1, 3]
    assert groups.pots.tolist() == [2, 1, 1] and [PLACES[n].name for n in groups.indoor] == [
        "south window", "south window", "north window"]
    rows = Rows(groups, rank)
    assert rows.size.tolist() == [1, 2, 1] and rows.tie.tolist() == [0, 1, 3]


@pytest.mark.parametrize("other", [
    {"count": 2}, {"place": "north window"}, {"light_high_mol": 11.0}, {"leave": date(2027, 5, 15)},
    {"back": date(2027, 9, 25)}, {"stays": ((OUT, "porch"),)}, {"spans": {"porch": (OUT, BACK)}},
    {"taxon": make_taxon(sun="part-sun")}, {"taxon": make_taxon(light_low_mol=2.0)},
    {"taxon": make_taxon(botanical="Ficus inventa")}])
def test_plants_that_differ_in_anything_that_matters_have_rows_of_their_own(other):
    assert len(make_groups([ask("A"), ask("B", **other)], YARD)[0].members) == 2
    assert len(make_groups([ask("A", **other), ask("B", **other)], YARD)[0].members) == 1


def test_spans_are_day_numbers_and_a_place_without_one_never_opens():
    groups, _ = make_groups([ask()], YARD)
    day = YARD.day
    assert groups.opens[0, [0, 2]].tolist() == [day(OUT), day(date(2027, 5, 15))]
    assert groups.closes[0, [0, 2]].tolist() == [day(BACK), day(date(2027, 9, 18))]
    assert groups.opens[0, 1] > 10 * len(YEAR) and groups.closes[0, 1] < 0


def test_a_plant_leaves_on_its_day_and_is_in_on_its_day():
    assert season() == (OUT, BACK, ())


@pytest.mark.parametrize(("closes", "back"), [(date(2027, 9, 24), date(2027, 9, 18)),
                                              (date(2027, 9, 25), date(2027, 9, 25)), (BACK, BACK)])
def test_where_all_places_close_before_its_day_it_comes_in_on_the_last_move_day_until_then(closes, back):
    assert out_and_in(spans={"porch": (OUT, closes)}) == (OUT, back)


def test_a_place_that_closes_before_the_first_move_day_takes_nobody():
    """The planning year begins on a Friday."""
    assert YEAR[0].weekday() == 4
    spans = {"porch": (YEAR[0], YEAR[0])}
    groups, _ = make_groups([ask(spans=spans, leave=YEAR[0], back=YEAR[9])], YARD)
    assert groups.end[0] < groups.leave[0]
    groups, _ = make_groups([ask(spans={"porch": (YEAR[0], YEAR[1])}, leave=YEAR[0], back=YEAR[9])], YARD)
    assert groups.end[0] == 1


def test_days_outside_the_planning_year_are_held_to_it():
    early, late = YEAR[0] - timedelta(days=9), YEAR[-1] + timedelta(days=30)
    groups, _ = make_groups([ask(spans={"porch": (early, late)}, leave=early, back=late)], YARD)
    assert (groups.leave[0], groups.end[0], groups.opens[0, 0]) == (0, len(YEAR), 0)
    groups, _ = make_groups([ask(stays=((early, "porch"), (late, "lawn")))], YARD)
    assert groups.logged[0] == ((0, 0), (len(YEAR) - 1, 2))


# ---- the autumn descent


@pytest.mark.parametrize(("botanical", "leave", "days"), [
    ("Inventia prima", OUT, 14), ("Ficus inventa", OUT, 42), ("Ficus inventa", BACK - timedelta(days=70), 35),
    ("Ficus inventa", BACK - timedelta(days=71), 35), ("Inventia prima", BACK - timedelta(days=21), 10)])
def test_the_descent_takes_at_most_half_of_a_stay(botanical, leave, days):
    spans = {"porch": (leave, BACK)}
    groups, _ = make_groups([ask(spans=spans, leave=leave, taxon=make_taxon(botanical=botanical))], YARD)
    assert groups.descent.tolist() == [days]


def test_two_plants_that_come_in_on_the_same_day_may_have_descents_of_their_own():
    requests = [ask("A", taxon=make_taxon(botanical="Ficus inventa")), ask("B"), ask("C", back=date(2027, 9, 25))]
    assert make_groups(requests, YARD)[0].descent.tolist() == [42, 14, 14]


def test_a_plant_that_stays_out_has_no_descent_nor_has_one_that_never_goes_out():
    spans = {"porch": (YEAR[0], YEAR[-1] + timedelta(days=1))}
    staying = ask("A", spans=spans, leave=YEAR[0], back=YEAR[-1] + timedelta(days=1))
    last_day = replace(staying, plant=make_plant("B"), back_by=YEAR[-1])
    never = ask("C", spans={"porch": (OUT, OUT)}, leave=OUT, back=OUT - timedelta(days=9))
    assert make_groups([staying, last_day, never], YARD)[0].descent.tolist() == [0, 14, 0]


# ---- the log


def test_the_last_time_it_went_out_counts():
    first, again = date(2027, 5, 12), date(2027, 6, 20)
    stays = ((first, "porch"), (date(2027, 6, 1), "south window"), (again, "tree"), (date(2027, 7, 4), "lawn"))
    assert season(stays=stays) == (again, BACK, ((again, "tree"), (date(2027, 7, 4), "lawn")))


def test_of_two_moves_on_one_day_the_later_counts():
    assert season(stays=((OUT, "porch"), (date(2027, 6, 1), "tree"), (date(2027, 6, 1), "lawn")))[2] == (
        (OUT, "porch"), (date(2027, 6, 1), "lawn"))


def test_a_logged_move_indoors_is_the_day_it_comes_in():
    went_in = date(2027, 7, 7)
    assert out_and_in(stays=((went_in, "south window"),)) == (OUT, went_in)
    assert out_and_in(stays=((date(2027, 5, 1), "porch"), (went_in, "south window"))) == (date(2027, 5, 1), went_in)
    assert out_and_in(stays=((OUT, "porch"), (OUT, "south window"))) == (OUT, OUT)


@pytest.mark.parametrize("when", [OUT - timedelta(days=30), OUT])
def test_a_move_indoors_of_a_plant_that_was_not_out_yet_changes_nothing(when):
    assert season(stays=((when, "south window"),)) == (OUT, BACK, ())
    assert out_and_in(stays=((OUT + timedelta(days=1), "south window"),)) == (OUT, OUT + timedelta(days=1))


def test_found_outdoors_after_its_day_it_comes_in_on_the_next_move_day_or_stays_to_the_year_s_end():
    assert out_and_in(stays=((BACK, "porch"),)) == (BACK, date(2027, 10, 9))
    assert out_and_in(stays=((OUT, "porch"), (BACK + timedelta(days=4), "lawn"))) == (OUT, date(2027, 10, 9))
    assert out_and_in(stays=((date(2027, 9, 29), "porch"),))[1] == BACK
    groups, _ = make_groups([ask(stays=((YEAR[-1], "porch"),))], YARD)
    assert groups.end[0] == len(YEAR)


# ---- rows


def rows_of(*requests) -> Rows:
    return Rows(*make_groups(requests, YARD))


def test_rows_begin_indoors_and_free_from_the_day_they_leave_or_from_what_the_log_says():
    rows = rows_of(ask("A"), ask("B", stays=((OUT, "porch"),)))
    assert rows.place.tolist() == [INDOORS] * 2 and not rows.standing(YARD.day(OUT)).any()
    assert rows.free_from[0] == YARD.day(OUT) and rows.free_from[1] > 10 * len(YEAR)
    assert rows.end.tolist() == [YARD.day(BACK)] * 2 and not rows.shade.any()


def test_a_split_row_keeps_the_first_plants_and_copies_what_they_are_doing():
    rows = rows_of(*(ask(name) for name in ("D", "A", "C", "B")), ask("Z", count=2))
    rows.stand(0, Arrival(130, 2, 0.5, 3.0, 1.0, "cloth", 127, None), 133)
    rows.note[0] = "full"
    new = rows.split(0, 1)
    assert rows.members == [[1], [4], [3, 2, 0]] and new == 2
    assert rows.size.tolist() == [1, 1, 3] and rows.tie.tolist() == [0, 4, 1]
    assert rows.past[2] == rows.past[0] and rows.note == ["full", "", "full"]
    for name in ("group", "place", "shade", "out", "free_from", "end"):
        assert getattr(rows, name)[2] == getattr(rows, name)[0], name
    assert rows.dli[2].tolist() == [3.0, 3.0] and rows.sun_h[2].tolist() == [1.0, 1.0]


def test_a_plant_keeps_its_state_and_its_first_day_when_it_moves_on():
    rows = rows_of(ask())
    rows.stand(0, Arrival(130, 0, 0.0, 3.0, 0.0, "first", 130, None), 133)
    rows.dli[0] = 5.0
    rows.stand(0, Arrival(140, 2, 0.3, 9.0, 9.0, "brighter", 130, rows.past[0]), 143)
    assert (rows.out[0], rows.place[0], rows.shade[0], rows.free_from[0]) == (130, 2, 0.3, 143)
    assert rows.dli[0].tolist() == [5.0, 5.0] and rows.past[0].before.day == 130


def test_a_plant_stands_outdoors_until_the_day_it_is_in():
    rows = rows_of(ask("A"), ask("B", count=2))
    for row in (0, 1):
        rows.stand(row, Arrival(130, row * 2, 0.0, 3.0, 0.0, "first", 130, None), 133)
    assert rows.standing(rows.end[0] - 1).all() and not rows.standing(rows.end[0]).any()
    rows.go_in(1, 150)
    assert np.array_equal(rows.standing(149), [True, False]) and rows.end[1] == 150
    assert rows.place[1] < 0 and rows.place[1] != INDOORS, "it is not one that has yet to go out"
