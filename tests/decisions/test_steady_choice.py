"""Who keeps which way: the choice alone, with ways made up by hand in place of the route."""

from dataclasses import replace
from datetime import date, timedelta
from types import SimpleNamespace

import pytest
from invented import make_night_climate, make_plant, make_scenario

from seasonplan.dates import planning_days
from seasonplan.decisions import steady
from seasonplan.decisions.going import Going
from seasonplan.decisions.route import RouteResult
from seasonplan.decisions.steady import Steady, moves_of, requests_of
from seasonplan.model import LogEntry, ShadeAdvice, Stop, log_note

DATES = planning_days(2027, 44.5)
DAY, WEEK = timedelta(days=1), timedelta(days=7)
OUT, MOVED, BACK, TODAY = date(2027, 5, 15), date(2027, 6, 12), date(2027, 9, 18), date(2027, 7, 1)


def stop(first, until, place="porch", cloth=0):
    shade = ShadeAdvice(place, cloth, until) if cloth else None
    return Stop(first, until, place, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, "", shade)


def paper_way(shift=DAY * 0):
    return RouteResult((stop(OUT + shift, MOVED + shift, cloth=50), stop(MOVED + shift, BACK, "lawn")))


held = []
"""By request: before which day the plants may not come in because of pests."""


@pytest.fixture
def season(monkeypatch):
    """A season: names, log, what the outings know. Gives each plant's way (the number of the request that made it, 0 on
    paper) and the requests: (names, beside whom, what was meant for whom)."""
    def run(*names, log=(), today=TODAY, way=None, not_before=None, back=BACK, new=(), gone=()):
        asked = []
        held.clear()

        def answers(requests, beside, before):
            asked.append(("".join(r.plant.name for r in requests), "".join(r.plant.name for r, _ in beside),
                          "".join(r.plant.name for r, _ in before)))
            held.append({r.not_before for r in requests})
            return [replace((way or (lambda request: paper_way()))(r), reason=str(len(asked) - 1)) for r in requests]

        monkeypatch.setattr(steady, "routes", lambda requests, *garden: answers(requests, (), ()))
        monkeypatch.setattr(steady, "routes_beside", lambda requests, beside, places, light, rules, before: answers(
            requests, beside, before))
        plants = tuple(make_plant(name, arrived=date(2027, 6, 1) if name in new else None) for name in names)
        scenario = make_scenario(plants=plants, log=tuple(LogEntry(*entry) for entry in log))
        on = Going(scenario, make_night_climate(), DATES, today, gone=tuple(make_plant(name) for name in gone))

        def outings(going, checked):
            return {p.name: SimpleNamespace(plant=p, spans={}, leave=OUT, back=back,
                                            not_before=not_before if checked else None)
                    for p in going.scenario.plants}

        found = Steady(outings, on, scenario.places, None, scenario.rules, lambda plant: 1.0).routed()
        return {name: int(result.reason) for name, (_, result) in found.items()}, asked
    return run


def told(name, shift=DAY * 0, cloth=50):
    return ((OUT + shift, "move-out", name, "porch", log_note(None, cloth)),
            (MOVED + shift, "move", name, "lawn", log_note(None, 0)))


def test_on_paper_those_that_join_are_planned_after_and_beside_the_others(season):
    assert season("A", "B", today=None) == ({"A": 0, "B": 0}, [("AB", "", ""), ("", "AB", "")])
    assert season("A", "N", "B", today=None, new="N") == ({"A": 0, "N": 1, "B": 0}, [("AB", "", ""), ("N", "AB", "")])


def test_who_did_what_was_planned_keeps_it(season):
    assert season("A", "B", log=(*told("A"), *told("B"))) == (
        {"A": 0, "B": 0}, [("AB", "", ""), ("", "AB", ""), ("", "AB", "")])


def test_one_that_was_late_is_planned_anew_beside_the_others_after_its_last_move_that_was_otherwise(season):
    def way(request):
        return paper_way(WEEK if request.stays and request.stays[0].date == OUT + WEEK else 0 * DAY)

    ways, asked = season("A", "B", log=(*told("A"), *told("B", WEEK)), way=way)
    assert ways == {"A": 0, "B": 2}                   # it followed what was made after its first late move
    assert asked == [("AB", "", ""), ("", "A", ""), ("B", "A", "B"), ("", "AB", ""), ("", "AB", "")]


def test_one_that_follows_no_way_is_planned_from_today_on_with_what_was_meant_for_it_last(season):
    ways, asked = season("A", "B", log=(*told("A"), *told("B", WEEK)))
    assert ways["A"] == 0 and ways["B"] == len(asked) - 1 and asked[-1] == ("B", "A", "B")


def test_a_move_that_was_missed_and_another_cloth_are_otherwise(season):
    first, second = told("A")
    for log in ((first,), (), told("A", cloth=30), told("A", cloth=0)):
        assert season("A", "B", log=(*log, *told("B")))[0] != {"A": 0, "B": 0}
    assert season("A", "B", log=(*told("A"), *told("B")), today=MOVED)[0] == {"A": 0, "B": 0}
    assert season("A", "B", log=(first, *told("B")), today=MOVED)[0] == {"A": 0, "B": 0}      # due today, not missed
    assert season("A", "B", log=(first, *told("B")), today=MOVED + DAY)[0] != {"A": 0, "B": 0}


def test_one_that_came_in_is_in_wherever_its_room(season):
    room = (BACK, "move-in", "A", "south window")
    assert season("A", log=(*told("A"), room), today=BACK + DAY)[0] == {"A": 0}
    assert season("A", log=(*told("A"), (BACK, "move", "A", "lawn")), today=BACK + DAY)[0] != {"A": 0}


def test_a_way_that_lasts_longer_than_may_be_or_ends_before_the_last_check_is_not_kept(season):
    log = told("A")
    assert season("A", log=log, back=BACK)[0] == {"A": 0} == season("A", log=log, not_before=BACK)[0]
    assert season("A", log=log, back=BACK - DAY)[0] != {"A": 0} != season("A", log=log, not_before=BACK + DAY)[0]


def test_pests_found_since_hold_back_all_but_the_season_as_it_began(season):
    season("A", today=None, not_before=BACK)
    assert held == [{BACK}, set()]
    season("A", "N", today=None, new="N", not_before=BACK)
    assert held == [{BACK}, {BACK}]
    season("A", log=told("A", WEEK), not_before=BACK)
    assert held[0] == {None} and {BACK} in held[1:-1] and held[-1] == {BACK}


def test_one_move_that_was_late_is_enough_and_a_way_may_be_one_stay(season):
    def way(request):
        return paper_way(WEEK if request.stays and request.stays[0].date == OUT + WEEK else 0 * DAY)

    assert season("A", "B", log=(*told("A"), told("B", WEEK)[0]), way=way, today=MOVED + DAY, back=BACK + WEEK)[0] == {
        "A": 0, "B": 2}
    alone = {"way": lambda request: RouteResult((stop(OUT, BACK, cloth=50),)), "log": told("A")[:1]}
    assert season("A", **alone)[0] == {"A": 0} != season("A", back=BACK - DAY, **alone)[0]


def test_one_that_does_not_go_out_keeps_that_as_long_as_it_stays_in(season):
    def indoors(request):
        return RouteResult((), blocked="no place")

    assert season("A", way=indoors)[0] == {"A": 0}
    ways, asked = season("A", "B", log=told("A"), way=indoors)
    assert ways["B"] == 0 < ways["A"] and {beside for _, beside, _ in asked} == {""}          # nobody stands outdoors


def test_the_paper_has_who_is_gone_and_not_who_joined(season):
    ways, asked = season("A", "N", log=told("A"), new="N", gone=("G",))
    assert asked[0] == ("AG", "", "") and set(ways) == {"A", "N"} and ways["N"] > 0 == ways["A"]


def test_what_is_asked_of_the_route_is_what_is_known_of_the_plant():
    fern = make_plant("Fern")
    outing = SimpleNamespace(plant=fern, spans={"porch": (OUT, BACK)}, leave=OUT, back=BACK, not_before=BACK - DAY)
    going = Going(make_scenario(plants=(fern,), log=(LogEntry(*told("Fern")[0]),)), make_night_climate(), DATES, TODAY)
    [request] = requests_of([outing], going, lambda plant: 3.5)
    assert (request.plant, request.spans, request.weight_kg) == (fern, {"porch": (OUT, BACK)}, 3.5)
    assert [request.stays, request.free_from] == [going.stays(fern), TODAY]
    assert OUT in vars(request).values() and BACK in vars(request).values() and BACK - DAY in vars(request).values()


def test_moves_tell_the_cloth_and_the_way_in():
    assert moves_of(paper_way()) == [(OUT, "porch", 50), (MOVED, "lawn", 0), (BACK, "", 0)]
    assert moves_of(RouteResult((stop(OUT, MOVED), stop(MOVED + DAY, BACK)))) == [
        (OUT, "porch", 0), (MOVED, "", 0), (MOVED + DAY, "porch", 0), (BACK, "", 0)]
    assert moves_of(RouteResult(())) == []
