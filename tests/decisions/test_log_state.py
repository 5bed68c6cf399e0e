"""What the log says of moves, from plain kinds and from step ids."""

from datetime import date

from invented import make_daylight, make_plant, make_plant_plan, make_scenario, make_stop

from seasonplan.dates import planning_days
from seasonplan.decisions.log_state import completed, incomplete_moves, logged_stays
from seasonplan.model import LogEntry, LoggedStay, ShadeAdvice, Step

DATES = planning_days(2027, 44.5)


def test_kinds_are_read_from_words_and_from_ids():
    kinds = {"move-in": "move-in", "2027-move-out-fig-1-0badcafe@seasonplan.invalid": "move-out",
             "2027-move-fig-2-0badcafe@seasonplan.invalid": "move", "leach": None,
             "2027-leach-move-in-later-1-0badcafe@seasonplan.invalid": None}
    assert {step: LogEntry(DATES[0], step).move_kind for step in kinds} == kinds


def test_stays_are_this_plants_moves_of_this_year_in_order():
    fig = make_plant("Fig")
    log = (LogEntry(date(2027, 9, 2), "move-in", "Fig"), LogEntry(date(2027, 5, 9), "move-out", "Fig", "lawn"),
           LogEntry(date(2027, 5, 9), "move-out", "Palm", "porch"),
           LogEntry(date(2026, 5, 9), "move-out", "Fig", "porch"),
           LogEntry(date(2027, 6, 1), "move", "", "porch"), LogEntry(date(2027, 6, 3), "leach", "Fig", "lawn"))
    scenario = make_scenario(plants=(fig,), log=log)
    assert logged_stays(scenario, fig, DATES) == (
        LoggedStay(date(2027, 5, 9), "lawn"), LoggedStay(date(2027, 6, 1), "porch"),
        LoggedStay(date(2027, 9, 2), "south window"))


def test_a_move_outdoors_without_a_place_leaves_the_place_to_the_route():
    fig = make_plant("Fig")
    scenario = make_scenario(plants=(fig,), log=(LogEntry(date(2027, 5, 9), "move-out", "Fig"),))
    assert logged_stays(scenario, fig, DATES) == ()


UID = "2027-move-out-fig-1-0badcafe@seasonplan.invalid"
STEP = Step(UID, date(2027, 5, 8), None, 10, "move-out", "Out", ("Fig", "Palm"), "porch + lawn", "", "")


def told(*log):
    """What the log says after the plan without its incomplete moves has completed it: (step, plant, place, cloth)."""
    light = make_daylight()
    shade = ShadeAdvice("lawn", 40, date(2027, 6, 12))
    out = {"Fig": (make_stop(date(2027, 5, 8), date(2027, 6, 12), "porch", light),
                   make_stop(date(2027, 6, 12), date(2027, 9, 1), "lawn", light, shade=shade)),
           "Palm": (make_stop(date(2027, 5, 8), date(2027, 9, 1), "lawn", light, shade=shade),)}
    plans = [make_plant_plan(make_plant(name), route[0].date, date(2027, 9, 1), route) for name, route in out.items()]
    scenario = make_scenario(plants=tuple(p.plant for p in plans), log=log)
    missing = incomplete_moves(scenario, DATES)
    return [(e.step, e.plant, e.place, e.cloth) for e in completed(log, missing, [STEP], plans)]


def test_a_move_logged_by_its_id_alone_is_told_for_each_plant_of_its_step():
    assert told(LogEntry(date(2027, 5, 15), UID), LogEntry(date(2027, 6, 1), "leach"),
                LogEntry(date(2027, 5, 9), "2027-move-out-gone-1-0badcafe")) == [
        ("move-out", "Fig", "porch", 0), ("move-out", "Palm", "lawn", 40), ("leach", "", "", None)]


def test_a_move_without_a_word_of_the_cloth_has_the_planned_one():
    assert told(LogEntry(date(2027, 6, 20), "move", "Fig", "lawn"),
                LogEntry(date(2027, 6, 20), "move", "Palm", "lawn", "no cloth"),
                LogEntry(date(2027, 6, 20), "move", "Fig", "under the tree")) == [
        ("move", "Fig", "lawn", 40), ("move", "Palm", "lawn", 0), ("move", "Fig", "under the tree", None)]


def test_a_move_without_a_place_went_where_the_plan_has_it_next():
    assert told(LogEntry(date(2027, 5, 16), "move-out", "Fig"), LogEntry(date(2027, 6, 20), "move", "Fig")) == [
        ("move-out", "Fig", "porch", 0), ("move", "Fig", "lawn", 40)]


def test_a_move_of_all_that_names_no_plant_is_told_for_each():
    assert told(LogEntry(date(2027, 5, 15), "move-out", "", "lawn"), LogEntry(date(2027, 9, 2), "move-in")) == [
        ("move-out", "Fig", "lawn", 40), ("move-out", "Palm", "lawn", 40), ("move-in", "", "", None)]
