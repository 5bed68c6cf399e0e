"""The outside checker: it knows nothing of the program, it finds every kind of broken promise, and plans keep them all.

Thousands of gardens and a hundred seasons in a row are checked by command (many.py, seasons.py); here are some of each.
"""

from __future__ import annotations

import ast
import copy
import json
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import pytest
from checker import cases, events, light, many, seasons, standing, work
from checker.check import CHECKS, broken
from checker.folder import Garden

HERE = Path(__file__).parent
pytestmark = pytest.mark.usefixtures("remembered_plans")


@pytest.mark.parametrize("path", sorted(HERE.glob("*.py")), ids=lambda path: path.name)
def test_the_checks_import_nothing_of_the_program(path):
    if path.stem in ("cases", "many", "seasons", "test_checker"):
        return                                        # the harness, which runs the program
    names = [name for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
             for name in ([node.module or ""] if isinstance(node, ast.ImportFrom) else
                          [alias.name for alias in node.names] if isinstance(node, ast.Import) else [])]
    assert not [name for name in names if name.split(".")[0] == "seasonplan"]


@pytest.mark.parametrize("case", cases.CASES)
def test_promises_are_kept_but_for_those_of_the_list(case):
    """Red for a promise that breaks, and for a row of not_yet.csv whose promise is kept by now."""
    found = cases.found(case)
    listed = {promise for its, promise in cases.not_yet() if its == case}
    assert [str(each) for each in found if each.promise not in listed] == []
    kept = listed - {each.promise for each in found}
    assert not kept, f"{case} keeps {sorted(kept)}: python tests/checker/cases.py --write takes it off the list"


def test_the_list_names_cases():
    assert {case for case, _ in cases.not_yet()} <= set(cases.CASES)


@pytest.fixture(scope="module")
def garden(tmp_path_factory) -> Garden:
    """A garden in which much happens, planned."""
    import shutil

    folder = tmp_path_factory.mktemp("garden") / "fallowmere"
    shutil.copytree(seasons.SHIPPED / "fallowmere", folder, ignore=shutil.ignore_patterns("out"))
    _, plan = many.planned(folder, "2027-03-01")
    lights = json.loads(many.run("light", folder, "--json", "--today", "2027-03-01"))
    return many.read(folder, lights, many.CATALOGUE())


def travelling(garden: Garden, stops: int = 2) -> dict:
    """A plant with several stays, about which nothing is broken."""
    bad = " ".join(str(each) for each in broken(garden))
    return next(plant for plant in garden.plan["plants"] if plant["status"] == "moves" and len(plant["route"]) >= stops
                and plant["name"] not in bad)


def step(garden: Garden, kind: str) -> dict:
    return next(each for each in garden.plan["steps"] if each["kind"] == kind)


def later(day: str, by: int) -> str:
    return (date.fromisoformat(day) + timedelta(days=by)).isoformat()


def spoil_room(garden: Garden) -> None:
    place = travelling(garden)["route"][0]["place"]
    garden.places[place]["room_for"] = 0


def spoil_window(garden: Garden) -> None:
    window = travelling(garden)["windows"][0]
    plant = travelling(garden)
    next(each for each in plant["windows"] if each["place"] == plant["route"][0]["place"])["date"] = later(
        plant["route"][0]["date"], 1)
    assert window is not None


def spoil_gap(garden: Garden) -> None:
    travelling(garden)["route"][1]["date"] = later(travelling(garden)["route"][1]["date"], 1)


def spoil_move(garden: Garden) -> None:
    garden.plan["steps"].remove(step(garden, "move-out"))


def spoil_light(key: str, factor: float) -> Callable[[Garden], None]:
    def spoil(garden: Garden) -> None:
        for name, place in garden.places.items():
            if place["kind"] == "outdoor":
                for day in garden.light[name].values():
                    day[key] *= factor
    return spoil


def spoil_descent(garden: Garden) -> None:
    for day in garden.light[travelling(garden)["place"]].values():
        day["mean_dli"] *= 50


def spoil_soap_heat(garden: Garden) -> None:
    garden.highs_c[:] = [33.0] * 12


def spoil_soap_sun(garden: Garden) -> None:
    """At solar noon on the open lawn."""
    spray = step(garden, "treat")
    garden.places["lawn"].pop("horizon_deg", None)
    spray |= {"place": "lawn", "start": "13:00", "minutes": 30, "parts": []}


def spoil_soap_sun_on_the_way(garden: Garden) -> None:
    """At the second place of several."""
    garden.places["lawn"].pop("horizon_deg", None)
    parts = [{"place": "porch", "start": "07:00", "minutes": 30}, {"place": "lawn", "start": "13:00", "minutes": 30}]
    step(garden, "treat").update(place="porch + lawn", start="07:00", minutes=60, parts=parts)


def spoil_where(garden: Garden) -> None:
    step(garden, "treat")["place"] = "nowhere"


def put_after(kind: str, other: str, by: int) -> Callable[[Garden], None]:
    """Gives the plants of one step another of a kind, so many days after it."""
    def spoil(garden: Garden) -> None:
        base = step(garden, other)
        garden.plan["steps"].append({**step(garden, kind), "uid": "made-up@seasonplan.invalid",
                                     "plants": base["plants"], "date": later(base["date"], by)})
    return spoil


def spoil_repot(garden: Garden) -> None:
    step(garden, "repot")["date"] = "2027-07-20"


def spoil_check(garden: Garden) -> None:
    for each in garden.plan["steps"]:
        if each["kind"] in work.CHECKS_BEFORE_IN:
            each["date"] = "2027-12-01"


def spoil_unchecked(garden: Garden) -> None:
    garden.plan["steps"] = [each for each in garden.plan["steps"] if each["kind"] not in work.CHECKS_BEFORE_IN]


def spoil_minutes(garden: Garden) -> None:
    garden.toml.setdefault("rules", {})["minutes_per_day"] = 5


def spoil_days(garden: Garden) -> None:
    step(garden, "wash")["date"] = "2027-06-02"       # a Wednesday


def spoil_ids(garden: Garden) -> None:
    garden.plan["steps"].append(dict(garden.plan["steps"][0]))


def spoil_names(garden: Garden) -> None:
    garden.plan["steps"][0]["plants"] = ["Nobody"]


def spoil_risk(garden: Garden) -> None:
    travelling(garden)["out"] |= {"expected_cold_nights": 2.2, "decided_by": "harm"}


def spoil_bright(garden: Garden) -> None:
    """Plants that stand in the shade were sun-lovers after all."""
    for taxon in garden.taxa.values():
        taxon |= {"sun": "sun", "light_high_mol": 60.0}


def spoil_sprays(garden: Garden) -> None:
    spray = step(garden, "treat")
    garden.plan["steps"].append({**spray, "uid": "made-up@seasonplan.invalid", "date": later(spray["date"], 2)})


def spoil_feed_season(garden: Garden) -> None:
    start = step(garden, "feed-start")
    garden.plan["steps"].append({**start, "uid": "made-up@seasonplan.invalid", "kind": "feed-stop",
                                 "date": later(start["date"], 20)})


def spoil_stay(garden: Garden) -> None:
    """A stay of three days in midsummer."""
    plant = travelling(garden)
    first, *_, last = plant["route"]
    plant["route"] = [{**first, "until": "2027-07-10"}, {**first, "place": "made up", "date": "2027-07-10",
                                                         "until": "2027-07-13"}, {**last, "date": "2027-07-13"}]
    plant["windows"].append({**plant["windows"][0], "place": "made up"})
    garden.light["made up"] = garden.light[first["place"]]
    garden.toml["place"].append({"name": "made up", "kind": "outdoor"})


def spoil_calendar(garden: Garden) -> None:
    step(garden, "wash")["date"] = later(step(garden, "wash")["date"], 7)


SPOILED = {
    "room": spoil_room, "window": spoil_window, "gap": spoil_gap, "steps": spoil_move, "restless": spoil_stay,
    "light": spoil_light("clear_dli", 4.0), "tenfold": spoil_light("mean_dli", 30.0), "descent": spoil_descent,
    "bright": spoil_bright, "heat": spoil_soap_heat, "sun": spoil_soap_sun, "where": spoil_where,
    "feed": put_after("feed", "repot", 10), "leach": put_after("leach", "repot", -10), "repot": spoil_repot,
    "check": spoil_check, "minutes": spoil_minutes, "days": spoil_days, "ids": spoil_ids, "names": spoil_names,
    "risk": spoil_risk, "calendar": spoil_calendar, "sprays": spoil_sprays,
}
ALSO = {"check": spoil_unchecked, "light": spoil_light("full_sun_h", 5.0), "window": lambda garden: travelling(
    garden)["windows"].clear(), "feed": spoil_feed_season,
        "sun": spoil_soap_sun_on_the_way}


@pytest.mark.parametrize(("promise", "spoil"), [*SPOILED.items(), *ALSO.items()],
                         ids=[*SPOILED, *(f"{name}, too" for name in ALSO)])
def test_a_plan_that_is_spoiled_on_purpose_is_noticed(garden, promise, spoil):
    before = [each for each in broken(garden) if each.promise == promise]
    other = copy.deepcopy(garden)
    spoil(other)
    assert len([each for each in broken(other) if each.promise == promise]) > len(before)


def test_every_promise_of_the_checks_is_spoiled_once():
    """Every promise that a check can find broken has its row above."""
    texts = "".join(Path(module.__file__).read_text(encoding="utf-8") for module in (standing, light, work, events))
    tree = ast.parse(texts.replace("from __future__ import annotations", ""))
    promises = {node.args[0].value for node in ast.walk(tree)
                if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Broken"}
    assert promises - set(SPOILED) == {"policies", "sequence"} and len(CHECKS) >= 15


def descent(garden: Garden, room_mol: float, **last: object) -> str:
    """What is said of the end of a plant whose room has so much light, with other things in its last stop."""
    garden, name = copy.deepcopy(garden), travelling(garden)["name"]
    [plant] = [each for each in garden.plan["plants"] if each["name"] == name]
    plant["route"][-1] |= last
    for day in garden.light[plant["place"]].values():
        day["mean_dli"] = room_mol
    return " ".join(each.what for each in light.steps(garden) if each.promise == "descent" and name in each.what
                    and "deeper" not in each.what)


def test_the_way_down_ends_near_the_room_or_as_deep_as_there_is_a_place_and_says_so(garden):
    stop, here = travelling(garden)["route"][-1], {"percent": 90, "until": None}
    last = date.fromisoformat(stop["until"]) - timedelta(days=1)
    for row in garden.toml["place"]:
        row.pop("room_for", None)
    lights = {window["place"]: garden.light[window["place"]][last]["mean_dli"] for window in
              travelling(garden)["windows"] if window["when"] != "never" and (
              window["when"] != "dates" or window["date"] <= last.isoformat() < window["until"])}
    dark = min(lights, key=lights.__getitem__)
    deepest, said = lights[dark] / 10, {"why": f"runs down; {light.NO_DARK_PLACE}"}
    assert descent(garden, lights[dark], place=dark, shade=None) == ""
    assert f"{dark} under 90 % would give" in descent(garden, deepest / 2, place=dark, shade=None, **said)
    assert descent(garden, deepest / 2, place=dark, shade=here) == ""
    assert "does not say that" in descent(garden, deepest / 9, place=dark, shade=here)
    assert descent(garden, deepest / 9, place=dark, shade=here, **said) == ""
    assert "does not say that" in descent(garden, deepest / 9, place=dark, shade=None, **said)


FULL_DAY = "2027-05-01"


def over_full(garden: Garden, *kinds: str, told: str = "30 min", days: tuple[str, ...] = ("sat",)) -> list[str]:
    """What is said of Sat 1 May with 45 minutes of each kind of work in a day of an hour."""
    garden, some = copy.deepcopy(garden), step(garden, "treat")
    garden.toml.setdefault("rules", {}).update(minutes_per_day=60, move_days=list(days))
    garden.plan["steps"] = [{**some, "kind": kind, "date": FULL_DAY, "minutes": 45} for kind in kinds]
    garden.plan["skipped"] = [{"kept": True, "reason": f"work on Sat 1 May runs {told} over your 1 h and goes on"}]
    return [each.what for each in work.days_of_work(garden) if each.promise == "minutes"]


def test_a_day_may_run_over_only_with_what_protects_plants_has_no_other_day_and_is_said(garden):
    assert over_full(garden, "treat", "move-out") == []
    assert over_full(garden, "treat", "move", "cloth", told="1 h 15 min") == []
    for words, *given in (("leach could wait", "treat", "leach"),
                          ("inspect-roots could wait", "move", "inspect-roots"),
                          ("not that it runs 1 h 15 min over", "treat", "move", "cloth")):
        [found] = over_full(garden, *given)
        assert words in found
    assert "treat finds room on 2027-05-02" in over_full(garden, "treat", "move", days=("sat", "sun"))[0]


CALENDAR = (b"BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nUID:2027-a@seasonplan.invalid\r\nSEQUENCE:1\r\nSUMMARY:one\r\n"
            b"END:VEVENT\r\nEND:VCALENDAR\r\n")


@pytest.mark.parametrize(("after", "found"), [
    (CALENDAR, 0), (CALENDAR.replace(b"one", b"two"), 1), (CALENDAR.replace(b"one", b"two").replace(b":1", b":2"), 0),
    (b"BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n", 1)])
def test_the_rules_of_sequence(after, found):
    assert len(list(events.replanned(CALENDAR, after))) == found
    called_off = CALENDAR.replace(b"SUMMARY", b"STATUS:CANCELLED\r\nSUMMARY")
    assert list(events.replanned(called_off, b"BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n")) == []
