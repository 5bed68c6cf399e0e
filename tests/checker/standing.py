"""Where plants stand: inside their windows, with room, without gaps, moved on few days and not too often."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date, timedelta

from checker.folder import Broken, Garden, days, is_logged
from checker.light import cloth_at

MOST_CHANGES = 6
SHORTEST_STAY_DAYS = 5
FREE_DAYS = 21
"""On the way out, stays may be shorter for so long."""
MOST_MOVING_DAYS = 12
OF_POTS = 40
DAYS_TO_THE_SUN = 28


def windows(garden: Garden) -> Iterator[Broken]:
    """No plant stands outside on a date outside its window of that place."""
    for plant in garden.plan["plants"]:
        spans = {window["place"]: window for window in plant["windows"]}
        for stop in plant["route"]:
            window = spans.get(stop["place"])
            if is_logged(stop) or not garden.counts(date.fromisoformat(stop["until"])):
                continue
            if window is None or window["when"] == "never":
                yield Broken("window", f"{plant['name']} at {stop['place']}, which has none for it")
            elif window["when"] == "dates" and any(
                    garden.counts(day) and not window["date"] <= day.isoformat() < window["until"]
                    for day in days(stop["date"], stop["until"])):
                yield Broken("window", f"{plant['name']} at {stop['place']} {stop['date']} to {stop['until']}, "
                                       f"window {window['date']} to {window['until']}")


def promised_risk(garden: Garden) -> Iterator[Broken]:
    """Ends of a stay hold what the policy asks for, in the plan's own numbers; careful never stays out longer."""
    rules = garden.rules
    limits = {"careful": ("chance_of_harm", rules.get("harm_risk", 0.10)),
              "carry-in": ("expected_cold_nights", rules.get("carry_in_nights", 2.0))}
    key, limit = limits[rules.get("policy", "carry-in")]
    for plant in garden.plan["plants"]:
        out, back = plant["out"], plant["in"]
        kept = all(garden.counts(date.fromisoformat(end["date"])) for end in (out, back) if end["date"])
        if plant["status"] != "moves" or not kept or any(map(is_logged, plant["route"])):
            continue
        for name, end in (("out", out), ("in", back)):
            if end[key] is not None and end[key] > limit + 0.005 and end.get("decided_by") != "comfort":
                yield Broken("risk", f"{plant['name']} {name} on {end['date']}: {key} {end[key]}, asked {limit}")
        for window in plant["windows"]:
            spring, autumn = window["out"], window["in"]
            if spring["careful"] and spring["carry_in"] and spring["careful"] < spring["carry_in"] or \
                    autumn["careful"] and autumn["carry_in"] and autumn["careful"] > autumn["carry_in"]:
                yield Broken("policies", f"{plant['name']} at {window['place']}: careful is out longer than carry-in")


def room(garden: Garden) -> Iterator[Broken]:
    """No place outdoors holds more pots than it has room for."""
    pots: dict[tuple[str, date], int] = defaultdict(int)
    theirs: set[tuple[str, date]] = set()
    for plant in garden.plan["plants"]:
        for stop in plant["route"]:
            for day in days(stop["date"], stop["until"]):
                pots[stop["place"], day] += plant["count"]
                if is_logged(stop):
                    theirs.add((stop["place"], day))
    told: set[str] = set()
    for (place, day), count in sorted(pots.items()):
        most = garden.places.get(place, {}).get("room_for")
        if place in told or (place, day) in theirs or not garden.counts(day):
            continue
        if most is not None and count > most:
            told.add(place)
            yield Broken("room", f"{place} on {day}: {count} pots, room for {most}")


def gaps(garden: Garden) -> Iterator[Broken]:
    """Stays follow one another from the day out to the day in; moves are steps, and steps are moves."""
    for plant in garden.plan["plants"]:
        stops, name = plant["route"], plant["name"]
        if plant["status"] == "moves":
            if not stops:
                yield Broken("gap", f"{name} moves and has no route")
            elif stops[0]["date"] != plant["out"]["date"] or stops[-1]["until"] != plant["in"]["date"]:
                yield Broken("gap", f"{name}: the route does not run from out to in")
        elif plant["status"] in ("stays-in", "day-trips") and stops:
            yield Broken("gap", f"{name}: {plant['status']}, with a route")
        for one, other in zip(stops, stops[1:], strict=False):
            if one["until"] > other["date"] or one["until"] < other["date"] and not (
                    is_logged(one) or is_logged(other)):
                yield Broken("gap", f"{name}: one stay ends on {one['until']}, the next begins on {other['date']}")
        for stop in stops:
            if stop["date"] >= stop["until"]:
                yield Broken("gap", f"{name}: an empty stay on {stop['date']}")
    yield from _moves_are_steps(garden)


def _moves_are_steps(garden: Garden) -> Iterator[Broken]:
    told = {(step["kind"], step["date"], name) for step in garden.plan["steps"] for name in step["plants"]}
    wanted = set()
    for plant in garden.plan["plants"]:
        if plant["status"] != "moves":
            continue
        for n, stop in enumerate(plant["route"]):
            before = plant["route"][n - 1] if n else None
            if not is_logged(stop) and (before is None or before["place"] != stop["place"]):
                wanted.add(("move" if n else "move-out", stop["date"], plant["name"]))
        if not is_logged(plant["route"][-1]) and not garden.leaves(plant, plant["in"]["date"]):
            wanted.add(("move-in", plant["in"]["date"], plant["name"]))
    done = {(entry["date"], entry.get("plant")) for entry in garden.log if "move" in entry["step"]}
    for kind, day, name in sorted(wanted - told):
        if garden.counts(date.fromisoformat(day)) and not {(day, name), (day, "")} & done:
            yield Broken("steps", f"{name}: {kind} on {day} is in its route and no step says it")
    for kind, day, name in sorted(told - wanted):
        if kind in ("move-out", "move", "move-in") and garden.counts(date.fromisoformat(day)) and \
                not _changes_cloth(garden, name, day):
            yield Broken("steps", f"{name}: {kind} on {day} is a step and not in its route")


def _changes_cloth(garden: Garden, name: str, day: str) -> bool:
    return any(plant["name"] == name and any(stop["date"] == day or stop["until"] == day for stop in plant["route"])
               for plant in garden.plan["plants"])


def restlessness(garden: Garden) -> Iterator[Broken]:
    """Few changes a plant, stays that are long enough, few days of moving."""
    for plant in garden.plan["plants"]:
        stops = [stop for stop in plant["route"] if not is_logged(stop)]
        if not stops or len(stops) < len(plant["route"]):
            continue
        seen = [(stop["place"], cloth_at(stop, date.fromisoformat(stop["date"]))) for stop in stops]
        changes = sum(one != other for one, other in zip(seen, seen[1:], strict=False))
        if changes > MOST_CHANGES:
            yield Broken("restless", f"{plant['name']} changes place or cloth {changes} times")
        free = date.fromisoformat(stops[0]["date"]) + timedelta(days=FREE_DAYS)
        for stop in stops:
            first, until = (date.fromisoformat(stop[key]) for key in ("date", "until"))
            if (until - first).days < SHORTEST_STAY_DAYS and first >= free:
                yield Broken("restless", f"{plant['name']} stays {(until - first).days} days at {stop['place']}, "
                                         f"{first}")
    pots = sum(plant["count"] for plant in garden.plan["plants"])
    moving = {step["date"] for step in garden.plan["steps"] if step["kind"] in ("move-out", "move", "move-in")}
    if pots <= OF_POTS and len(moving) > MOST_MOVING_DAYS and garden.today is None:
        yield Broken("days", f"{pots} pots need {len(moving)} days of moving")


CHECKS = (windows, promised_risk, room, gaps, restlessness)
