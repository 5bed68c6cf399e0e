"""The light rule, run again day by day: what a plant is used to, what it may have, what it gets.

Every number is the agreement's (Light and Route). Documents round to 0.01, hence the slack.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from checker.folder import DAY, Broken, Garden, days, is_logged

STEP_RATIO, FLOOR_MOL = 3.5, 12.0
SUN_STEP_H, SUN_RATIO = 3.0, 2.2
LIGHT_KEPT, SUN_KEPT = math.exp(-1 / 7), math.exp(-1 / 4)
"""What is left after a day of first-order lags of 7 and 4 days."""
CLASS_SUN_H = {"deep-shade": 0.5, "shade": 1.5, "part-sun": 4.0, "sun": math.inf}
IN_SHADE_SUN_H = 1.5
FIRST_DAYS, FIRST_SUN_H, FIRST_PEAK = 7, 1.5, 325.0
MOST_STEP = 10.0
DESCENT, DARKEST_CLOTH = 3.0, 90
NO_DARK_PLACE = "no place is as dark as its room"
"""What the last stop says of a plant that comes in from more than that, since no place under any cloth gives less."""
BRIGHT_SHARE, BRIGHT_WITHIN_DAYS = 0.70, 28
SLACK, SLACK_SHARE = 0.03, 0.01


@dataclass(frozen=True)
class Day:
    """A plant's day outdoors: what it got through cloth and place, and what it was used to that morning."""

    day: date
    nth: int
    stop: dict[str, Any]
    through: float
    got: dict[str, float]
    used_mol: float
    used_sun_h: float


def cloth_at(stop: dict[str, Any], day: date) -> int:
    """Percent of shade over the plant on a day, which its stop says, also of a cloth that hangs for the season; two
    cloths may hang over parts of one place at a time."""
    shade = stop.get("shade")
    hangs = shade and shade.get("percent") is not None and (shade["until"] is None or day.isoformat() < shade["until"])
    return int(shade["percent"]) if shade and hangs else 0


def life(garden: Garden, plant: dict[str, Any]) -> Iterator[Day]:
    """Its days outdoors, with the state run through the indoor days of the planning year before them."""
    indoor = garden.light[plant["place"]]
    first = date.fromisoformat(plant["route"][0]["date"])
    used = next(iter(indoor.values()))["mean_dli"]
    for day in days(min(indoor), first):
        used += (1 - LIGHT_KEPT) * (indoor[day]["mean_dli"] - used)
    used, sun, nth = max(used, indoor[first]["mean_dli"]), 0.0, 0
    for n, stop in enumerate(plant["route"]):
        for day in days(stop["date"], stop["until"]):
            if day not in indoor:
                return
            through = 1 - cloth_at(stop, day) / 100
            got = {key: garden.light[stop["place"]][day][key] * through
                   for key in ("clear_dli", "mean_dli", "full_sun_h", "peak_ppfd")}
            yield Day(day, nth, stop, through, got, used, sun)
            outdoors = garden.places[stop["place"]]["kind"] == "outdoor"
            used += (1 - LIGHT_KEPT) * (got["mean_dli"] - used)
            sun += (1 - SUN_KEPT) * ((got["full_sun_h"] if outdoors else 0.0) - sun)
            nth += outdoors
        after = plant["route"][n + 1]["date"] if n + 1 < len(plant["route"]) else stop["until"]
        for day in days(stop["until"], after):        # back indoors in between, as the log has it
            used += (1 - LIGHT_KEPT) * (indoor[day]["mean_dli"] - used)
            sun *= SUN_KEPT


def limits(garden: Garden, plant: dict[str, Any], day: Day) -> dict[str, float]:
    """What it may have on a day: clear-sky light [mol], full-sun hours, peak [umol m-2 s-1]."""
    kind = garden.taxon(plant)["sun"]
    cap = CLASS_SUN_H[kind]
    if garden.rules.get("summer") == "in-shade":
        cap = min(cap, IN_SHADE_SUN_H)
    sun = min(max(day.used_sun_h + SUN_STEP_H, SUN_RATIO * day.used_sun_h), cap)
    peak = math.inf
    if day.nth < FIRST_DAYS:
        sun = min(sun, FIRST_SUN_H)
        peak = FIRST_PEAK if kind in ("shade", "deep-shade") else math.inf
    return {"clear_dli": max(STEP_RATIO * day.used_mol, FLOOR_MOL), "full_sun_h": sun, "peak_ppfd": peak,
            "mean_dli": garden.light_high(plant)}


def rule(garden: Garden) -> Iterator[Broken]:
    """No stop breaks the light rule on any day; one sentence for each stop and limit."""
    for plant in _travellers(garden):
        told: set[tuple[str, str]] = set()
        for day in life(garden, plant):
            if is_logged(day.stop) or not garden.counts(day.day) or (day.stop.get("shade") or {}).get("hours"):
                continue
            for key, limit in limits(garden, plant, day).items():
                slack = SLACK + SLACK_SHARE * limit if math.isfinite(limit) else 0.0
                if day.got[key] > limit + slack and (day.stop["date"], key) not in told:
                    told.add((day.stop["date"], key))
                    yield Broken("light", f"{plant['name']} at {day.stop['place']} on {day.day}: {key} "
                                          f"{day.got[key]:.2f}, may have {limit:.2f}")


def steps(garden: Garden) -> Iterator[Broken]:
    """No step up or down is more than tenfold, like for like; the descent ends near its room, not below it."""
    for plant in _travellers(garden):
        before = None
        last = None
        came_down = False
        for day in life(garden, plant):
            fresh = before is None or (day.stop["date"], day.through) != before
            if fresh and last is not None:
                came_down = day.got["mean_dli"] < 0.95 * last.got["mean_dli"]
            before, last = (day.stop["date"], day.through), day
            if fresh and garden.counts(day.day) and not is_logged(day.stop):
                ratio = day.got["mean_dli"] / max(day.used_mol, 1e-9)
                if not 1 / MOST_STEP - 1e-3 <= ratio <= MOST_STEP + 0.1:
                    yield Broken("tenfold", f"{plant['name']} at {day.stop['place']} on {day.day}: "
                                            f"{day.got['mean_dli']:.2f} mol, used to {day.used_mol:.2f}")
        if last is not None and garden.counts(last.day) and not is_logged(last.stop) and plant["status"] == "moves":
            yield from _end(garden, plant, last, came_down)


def _end(garden: Garden, plant: dict[str, Any], last: Day, came_down: bool) -> Iterator[Broken]:
    """came_down: to its last place, from a brighter one; where it only stayed while the year darkened, that is no
    descent."""
    indoors = garden.light[plant["place"]].get(last.day + DAY)
    if indoors is None:
        return
    room_mol, got = indoors["mean_dli"], last.got["mean_dli"]
    most = DESCENT * room_mol * (1 + SLACK_SHARE) + SLACK
    darkest, where = _darkest(garden, plant, last.day)
    comes = f"{plant['name']} comes in from {got:.2f} mol to {room_mol:.2f} on {last.day + DAY}"
    if got > most and darkest <= most:
        yield Broken("descent", f"{comes}; {where} under {DARKEST_CLOTH} % would give {darkest:.2f}")
    elif got > most and (got > darkest * (1 + SLACK_SHARE) + SLACK or NO_DARK_PLACE not in last.stop["why"]):
        yield Broken("descent", f"{comes}; no place gives less than {darkest:.2f}, and its last stop does not say that")
    if got < room_mol * 0.95 - SLACK and came_down:
        yield Broken("descent", f"{plant['name']} goes down to {got:.2f} mol, deeper than its room, {room_mol:.2f}")


def _darkest(garden: Garden, plant: dict[str, Any], day: date) -> tuple[float, str]:
    """(mol, place) under the thickest cloth at the darkest place whose window is open for a plant on a day; of one with
    room only as the plan leaves it."""
    found = []
    for window in plant["windows"]:
        place = window["place"]
        if garden.places[place]["kind"] != "outdoor" or window["when"] == "never" or window["when"] == "dates" and not \
                window["date"] <= day.isoformat() < window["until"] or day not in garden.light[place]:
            continue
        if _has_room(garden, plant, place, [day]):
            found.append((garden.light[place][day]["mean_dli"] * (1 - DARKEST_CLOTH / 100), place))
    return min(found, default=(math.inf, ""))


def _has_room(garden: Garden, plant: dict[str, Any], place: str, span: list[date]) -> bool:
    """Whether a plant fits in at a place on all of these days beside those that the plan has there."""
    most = garden.places[place].get("room_for")
    others = sum(other["count"] for other in garden.plan["plants"] if other["name"] != plant["name"] and any(
        stop["place"] == place and stop["date"] <= span[-1].isoformat() and stop["until"] > span[0].isoformat()
        for stop in other["route"]))
    return most is None or others + plant["count"] <= most


def towards_the_sun(garden: Garden) -> Iterator[Broken]:
    """Plants of class sun and part-sun stand in 70 % of the brightest light they can bear within 28 days."""
    if garden.rules.get("summer", "toward-sun") != "toward-sun":
        return
    for plant in _travellers(garden):
        kind = garden.taxon(plant)["sun"]
        first = date.fromisoformat(plant["route"][0]["date"])
        day = first + timedelta(days=BRIGHT_WITHIN_DAYS)
        if kind not in ("sun", "part-sun") or plant["status"] != "moves" or garden.today is not None or \
                (date.fromisoformat(plant["in"]["date"]) - day).days < BRIGHT_WITHIN_DAYS:
            continue
        best, where = max(((light, place) for place in garden.places
                           if (light := _bearable(garden, plant, place, kind, day)) is not None), default=(0.0, ""))
        got = max((each.got["mean_dli"] for each in life(garden, plant) if each.day <= day), default=0.0)
        if got < BRIGHT_SHARE * best - SLACK:
            yield Broken("bright", f"{plant['name']} has had {got:.1f} mol by {day}; {where} would give {best:.1f}")


def _bearable(garden: Garden, plant: dict[str, Any], place: str, kind: str, day: date) -> float | None:
    """Mean light it could have at a place that takes it for the four weeks around a day [mol]: under a cloth where the
    place is brighter than it likes; None where the window is shut, the sun too much, or the room taken."""
    window = next((each for each in plant["windows"] if each["place"] == place), None)
    if garden.places[place]["kind"] != "outdoor" or window is None or window["when"] == "never":
        return None
    span = list(days(day - timedelta(days=14), day + timedelta(days=14)))
    if window["when"] == "dates" and not window["date"] <= span[0].isoformat() <= span[-1].isoformat() < \
            window["until"]:
        return None
    if not _has_room(garden, plant, place, span):
        return None
    lights = [garden.light[place][each] for each in span if each in garden.light[place]]
    share = min(1.0, *(CLASS_SUN_H[kind] / max(each["full_sun_h"], 1e-9) for each in lights))
    if share < 1.0:
        return None
    return min(min(each["mean_dli"] for each in lights), garden.light_high(plant))


def _travellers(garden: Garden) -> Iterator[dict[str, Any]]:
    return (plant for plant in garden.plan["plants"] if plant["route"] and plant["place"] in garden.light)


CHECKS = (rule, steps, towards_the_sun)
