"""What the log says of moves, from plain kinds and from step ids."""

from datetime import date

from invented import make_plant, make_scenario

from seasonplan.dates import planning_days
from seasonplan.decisions.log_state import logged_stays, nameless_moves, with_names
from seasonplan.model import LogEntry, LoggedStay, Step

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


def test_a_move_logged_by_its_id_alone_is_told_for_each_plant_of_its_step():
    uid = "2027-move-out-fig-1-0badcafe@seasonplan.invalid"
    step = Step(uid, date(2027, 5, 8), None, 10, "move-out", "Out", ("Fig", "Palm"), "porch", "", "")
    other = LogEntry(date(2027, 6, 1), "leach")
    log = (LogEntry(date(2027, 5, 9), uid), other, LogEntry(date(2027, 5, 9), "2027-move-out-gone-1-0badcafe"))
    assert len(nameless_moves(log)) == 2
    told = with_names(log, [step])
    assert [(e.step, e.plant, e.place) for e in told] == [("move-out", "Fig", "porch"), ("move-out", "Palm", "porch"),
                                                         ("leach", "", "")]
