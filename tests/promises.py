"""The promises of every plan, checked from the outside: plan.json against `light --json` and the scenario, in plain
loops that share nothing with the program. Each function returns sentences about what is broken; none is the promise."""

from __future__ import annotations

from collections import defaultdict
from datetime import date, timedelta

import numpy as np

SUN_CAP_H = {"deep-shade": 0.5, "shade": 1.5, "part-sun": 4.0, "sun": float("inf")}
SLACK = 0.02  # figures in the documents are rounded to 0.01
HEAT_C = 32.0
SPRAYS = ("treat", "wash")
MIDDLES = np.array([15.5, 45, 74.5, 105, 135.5, 166, 196.5, 227.5, 258, 288.5, 319, 349.5])
STRAIGHT_LINES_C = 0.5  # straight lines between the months' middles against a smooth curve with the same means


def days(first: str, until: str):
    day = date.fromisoformat(first)
    while day < date.fromisoformat(until):
        yield day
        day += timedelta(days=1)


def light_by_place(document: dict) -> dict[str, dict[date, dict]]:
    return {p["name"]: {date.fromisoformat(d["date"]): d for d in p["days"]} for p in document["places"]}


def shade_of(stop: dict, day: date) -> float:
    """Share of light that passes: 1, or less under the shade the stop asks for."""
    shade = stop.get("shade")
    if not shade or shade.get("percent") is None or day >= date.fromisoformat(shade["until"]):
        return 1.0
    return 1 - shade["percent"] / 100


def broken_light(document: dict, light: dict, scenario) -> list[str]:
    """Days on which a stop is more than the plant was ready for (stops with hours out, and logged ones, apart)."""
    places, found = light_by_place(light), []
    for plant, entry in zip(scenario.plants, document["plants"], strict=True):
        if not entry["route"]:
            continue
        used_dli = places[plant.place][date.fromisoformat(entry["route"][0]["date"])]["mean_dli"]
        used_sun, first = 0.0, date.fromisoformat(entry["route"][0]["date"])
        for stop in entry["route"]:
            free = "log" in stop.get("why", "") or (stop.get("shade") or {}).get("hours")
            for day in days(stop["date"], stop["until"]):
                through = shade_of(stop, day)
                clear, mean, sun = (places[stop["place"]][day][k] * through
                                    for k in ("clear_dli", "mean_dli", "full_sun_h"))
                limit = min(max(used_sun + 3, 2.2 * used_sun), SUN_CAP_H[plant.taxon.sun])
                if (day - first).days < 7:
                    limit = min(limit, 1.5)
                if not free and (clear > max(3.5 * used_dli, 12) + SLACK or sun > limit + SLACK
                                 or mean > plant.light_high_mol + SLACK):
                    found.append(f"{plant.name} at {stop['place']} on {day}: {clear:.2f} mol of "
                                 f"{max(3.5 * used_dli, 12):.2f}, {sun:.2f} h of {limit:.2f}, mean {mean:.2f}")
                used_dli += (1 - np.exp(-1 / 7)) * (mean - used_dli)
                used_sun += (1 - np.exp(-1 / 4)) * (sun - used_sun)
    return found


def crowded(document: dict, scenario) -> list[str]:
    """Places that hold more pots than they have room for (logged stays are the person's own doing)."""
    room = {p.name: p.room_for for p in scenario.places if p.outdoors and p.room_for is not None}
    pots: dict[tuple[str, date], int] = defaultdict(int)
    for entry in document["plants"]:
        for stop in entry["route"]:
            for day in days(stop["date"], stop["until"]):
                pots[stop["place"], day] += entry["count"]
    return [f"{place} on {day}: {n} pots" for (place, day), n in pots.items() if place in room and n > room[place]]


def unaccounted(document: dict) -> list[str]:
    """Plants whose stays leave a gap, overlap, or do not run from the day out to the day in."""
    found = []
    for entry in document["plants"]:
        stops = entry["route"]
        if entry["status"] == "moves":
            if not stops or stops[0]["date"] != entry["out"]["date"] or stops[-1]["until"] != entry["in"]["date"]:
                found.append(f"{entry['name']}: route does not run from out to in")
        elif entry["status"] in ("stays-in", "day-trips") and stops:
            found.append(f"{entry['name']}: {entry['status']} but has a route")
        found += [f"{entry['name']}: gap at {a['until']}" for a, b in zip(stops, stops[1:], strict=False)
                  if a["until"] != b["date"]]
        found += [f"{entry['name']}: empty stay on {s['date']}" for s in stops if s["date"] >= s["until"]]
    return found


def outside_window(document: dict, plan) -> list[str]:
    """Stays on dates on which the place's own window does not have the plant."""
    from seasonplan.model import Edge

    found = []
    for plant, entry in zip(plan.plants, document["plants"], strict=True):
        spans = {w.place: w.span for w in plant.windows}
        for stop in entry["route"]:
            span = spans.get(stop["place"], Edge.NEVER)
            if span is Edge.ALL_YEAR or "log" in stop.get("why", ""):
                continue
            if span is Edge.NEVER or stop["date"] < span[0].isoformat() or stop["until"] > span[1].isoformat():
                found.append(f"{entry['name']} at {stop['place']} {stop['date']}..{stop['until']}, window {span}")
    return found


def contradictions(document: dict, scenario, summer: date) -> list[str]:
    """Steps that contradict each other: feed after repotting, late repotting, spraying in heat, in before the check."""
    found = []
    by_plant: dict[str, list[dict]] = defaultdict(list)
    for step in document["steps"]:
        for name in step["plants"]:
            by_plant[name].append(step)
    highs = scenario.normals.tmax_c
    for name, steps in by_plant.items():
        repots = [date.fromisoformat(s["date"]) for s in steps if s["kind"] == "repot"]
        feeds = [date.fromisoformat(s["date"]) for s in steps if s["kind"] in ("feed-start", "feed")]
        found += [f"{name}: fed on {f}, repotted on {r}" for f in feeds for r in repots if 0 <= (f - r).days < 28]
        found += [f"{name}: repotted on {r}" for r in repots if r > summer + timedelta(weeks=4)]
        ins = [s["date"] for s in steps if s["kind"] == "move-in"]
        checks = [s["date"] for s in steps if s["kind"].startswith(("treat", "check", "inspect"))]
        found += [f"{name}: comes in on {i} without a check before it" for i in ins
                  if not any(c <= i for c in checks)]
    for step in document["steps"]:
        if step["kind"].startswith(SPRAYS) and highs is not None and len(highs) == 12:
            day = date.fromisoformat(step["date"]).timetuple().tm_yday
            high = np.interp(day, MIDDLES, highs, period=365)
            if high > HEAT_C + STRAIGHT_LINES_C:
                found.append(f"{step['kind']} on {step['date']}, normal high {high:.1f}")
    return found


def twice(document: dict) -> list[str]:
    """Ids that occur twice or carry a slash."""
    ids = [s["uid"] for s in document["steps"]]
    return sorted({u for u in ids if ids.count(u) > 1 or "/" in u})
