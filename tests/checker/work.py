"""The jobs: what must not meet, what must come before what, how much a day may hold, one id for one thing."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from checker import sun
from checker.folder import Broken, Garden, is_logged

HOTTEST_C = 32.0
STRAIGHT_LINES_C = 0.6
"""What straight lines between the months may differ by from a smooth curve with the same means."""
MIDDLES = (15.5, 45.0, 74.5, 105.0, 135.5, 166.0, 196.5, 227.5, 258.0, 288.5, 319.0, 349.5)
LAPSE_C_PER_M = 0.0065
FEED_AFTER_REPOT, LEACH_BEFORE_REPOT = timedelta(weeks=4), timedelta(weeks=3)
REPOT_AFTER_MIDSUMMER = timedelta(weeks=4)
FEED_SEASON = timedelta(weeks=6)
SPRAY_GAP_DAYS = 4
"""The shortest interval of any pest's repeat sprays (aphids and whiteflies)."""
CHECKS_BEFORE_IN = ("inspect-before-in", "treat-before-in", "last-check")
SOAP = ("treat", "wash-soap")
AT_ONCE = ("isolate", "hand-wipe", "treat", "pest-recheck", "alert", "water-daily")
"""Kinds that a pest or a day of heat begins, on whatever day that is."""
PROTECTS = ("move", "cloth", "rescue", "alert", "isolate", "hand-wipe", "treat", "pest-recheck", "inspect",
            "last-check", "new-plant", "quarantine", "secure-wind", "deter-pets", "water-daily")
"""Kinds that do not wait where a day is full; inspect-roots does."""
COMES_AND_GOES = ("arrived", "died", "given-away")
"""What the log may say of a plant's coming and going; then it is right, and plants.csv is not asked."""
WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def soap(garden: Garden) -> Iterator[Broken]:
    """No soap in direct sun, nor on a day whose normal high is above 32 °C, and where the plant then stands."""
    for step in garden.plan["steps"]:
        day = date.fromisoformat(step["date"])
        if not step["kind"].startswith(SOAP) or not garden.counts(day):
            continue
        high = _high_c(garden, day)
        if high is not None and high > HOTTEST_C + STRAIGHT_LINES_C:
            yield Broken("heat", f"{step['kind']} on {day}, normal high {high:.1f} °C")
        for name, minute in _minutes(garden, step):
            place = garden.places.get(name)
            if place is None or place["kind"] != "outdoor":
                continue
            at = sun.position(minute, garden.site["latitude"], garden.site["longitude"])
            if sun.shines_surely(place, *at):
                yield Broken("sun", f"{step['kind']} at {name} on {day} at {minute:%H:%M}, sun from "
                                    f"{at[0]:.0f} degrees, {at[1]:.0f} high")
                break


def _minutes(garden: Garden, step: dict[str, Any]) -> Iterator[tuple[str, datetime]]:
    """(place, time) every five minutes of a step, place by place where it goes round several."""
    parts = step["parts"] or [step] if step["start"] is not None else []
    for part in parts:
        start = datetime.fromisoformat(f"{step['date']}T{part['start']}").replace(
            tzinfo=ZoneInfo(garden.site.get("timezone", "UTC")))
        for n in range(0, max(part["minutes"], 1), 5):
            yield part["place"], start + timedelta(minutes=n)


def _high_c(garden: Garden, day: date) -> float | None:
    """Normal high at the site, by straight lines between the middles of the months."""
    if garden.highs_c is None:
        return None
    at = day.timetuple().tm_yday - 0.5
    middles = [MIDDLES[-1] - 365, *MIDDLES, MIDDLES[0] + 365]
    highs = [garden.highs_c[-1], *garden.highs_c, garden.highs_c[0]]
    n = max(k for k in range(13) if middles[k] <= at)
    high = highs[n] + (highs[n + 1] - highs[n]) * (at - middles[n]) / (middles[n + 1] - middles[n])
    up = garden.site["elevation_m"] - garden.site.get("station_elevation_m", garden.site["elevation_m"])
    return high - LAPSE_C_PER_M * up


def intervals(garden: Garden) -> Iterator[Broken]:
    """What must lie apart lies apart, what must come first comes first."""
    summer = _midsummer(garden)
    for name, steps in _by_plant(garden).items():
        on = defaultdict(list)
        for step in steps:
            on[step["kind"]].append(date.fromisoformat(step["date"]))
        done = [(date.fromisoformat(e["date"]), e["step"]) for e in garden.log if e.get("plant") in ("", name)]
        repots = on["repot"] + [day for day, kind in done if "repot" in kind and "last-repot" not in kind]
        for fed in on["feed"] + on["feed-start"]:
            if any(timedelta(0) <= fed - repot < FEED_AFTER_REPOT for repot in repots) and garden.counts(fed):
                yield Broken("feed", f"{name} is fed on {fed}, within four weeks after repotting")
        for repot in on["repot"]:
            if any(timedelta(0) <= repot - leach < LEACH_BEFORE_REPOT for leach in on["leach"]):
                yield Broken("leach", f"{name} is leached within three weeks before it is repotted on {repot}")
            if repot > summer + REPOT_AFTER_MIDSUMMER and garden.counts(repot):
                yield Broken("repot", f"{name} is repotted on {repot}, midsummer is {summer}")
        for start in on["feed-start"]:
            if any(timedelta(0) <= stop - start < FEED_SEASON for stop in on["feed-stop"]):
                yield Broken("feed", f"{name} starts to be fed on {start} and stops within six weeks")
        for pest in {kind for kind in on if kind.startswith("treat") and kind != "treat-before-in"}:
            sprays = sorted(on[pest])
            for one, other in zip(sprays, sprays[1:], strict=False):
                if (other - one).days < SPRAY_GAP_DAYS and garden.counts(one):
                    yield Broken("sprays", f"{name}: {pest} on {one} and {other}")


def last_checks(garden: Garden) -> Iterator[Broken]:
    """No plant comes in before its last pest check, and none without one."""
    steps = _by_plant(garden)
    for plant in garden.plan["plants"]:
        if plant["status"] != "moves" or is_logged(plant["route"][-1]):
            continue
        back = plant["in"]["date"]
        if not garden.counts(date.fromisoformat(back)) or garden.leaves(plant, back):
            continue
        checks = [step["date"] for step in steps[plant["name"]] if step["kind"] in CHECKS_BEFORE_IN]
        checks += [e["date"] for e in garden.log if any(kind in e["step"] for kind in CHECKS_BEFORE_IN)
                   and e.get("plant") in ("", plant["name"])]
        if not checks:
            yield Broken("check", f"{plant['name']} comes in on {back} unchecked")
        elif max(checks) > back:
            yield Broken("check", f"{plant['name']} comes in on {back}, a check before that is on {max(checks)}")


def days_of_work(garden: Garden) -> Iterator[Broken]:
    """Work stays within the minutes of a day, on the person's days."""
    allowed = garden.rules.get("move_days", ["sat", "sun"])
    by_day: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for step in garden.plan["steps"]:
        day = date.fromisoformat(step["date"])
        if not garden.counts(day) or not step["minutes"]:
            continue
        by_day[step["date"]].append(step)
        if allowed and WEEKDAYS[day.weekday()] not in allowed and not step["kind"].startswith(AT_ONCE):
            yield Broken("days", f"{step['kind']} on {day}, a {WEEKDAYS[day.weekday()]}")
    limit = garden.rules.get("minutes_per_day", 180)
    minutes = {day: sum(step["minutes"] for step in steps) for day, steps in by_day.items()}
    for day, most in sorted(minutes.items()):
        if most > limit and (why := _over(garden, day, by_day[day], minutes, limit)):
            yield Broken("minutes", f"{day} holds {most} minutes of {limit}: {why}")


def _over(garden: Garden, day: str, steps: list[dict[str, Any]], minutes: dict[str, int], limit: int) -> str:
    """What is wrong with a day that runs over; "" where all of its work protects the plants, none of it finds room on
    another day of its time, and the plan says by how much the day runs over."""
    if waits := [step["kind"] for step in steps
                 if not step["kind"].startswith(PROTECTS) or step["kind"] == "inspect-roots"]:
        return f"{' and '.join(waits)} could wait"
    for step in steps:
        for other in _other_days(garden, step):
            if _is_free(garden, other) and minutes.get(other.isoformat(), 0) + step["minutes"] <= limit:
                return f"{step['kind']} finds room on {other}"
    told = [found.group(1) for line in garden.plan["skipped"] if line["kept"] and
            (found := re.search(rf"\bon {_told(date.fromisoformat(day))} runs (.+?) over ", line["reason"]))]
    over = minutes[day] - limit
    words = " ".join(part for part in (f"{over // 60} h" * (over >= 60), f"{over % 60} min" * (over % 60 > 0)) if part)
    return "" if told == [words] else f"the plan says {told or 'nothing'}, not that it runs {words} over"


def _other_days(garden: Garden, step: dict[str, Any]) -> list[date]:
    """Other days on which a step could be done as well: a spray or a wipe a day later, a look at plants within the week
    before the first of them goes out."""
    day = date.fromisoformat(step["date"])
    if step["kind"].startswith(("treat", "hand-wipe")) and step["kind"] != "treat-before-in":
        return [day + timedelta(days=1)]
    out = [plant["route"][0]["date"] for plant in garden.plan["plants"] if plant["name"] in step["plants"] and
           plant["route"] and plant["route"][0]["date"] >= step["date"]]
    if step["kind"] != "inspect" or not out:
        return []
    return [each for n in range(8) if (each := date.fromisoformat(min(out)) - timedelta(days=n)) != day]


def _told(day: date) -> str:
    return f"{day:%a} {day.day} {day:%b}"


def _is_free(garden: Garden, day: date) -> bool:
    """Whether the person works on a day that is still to come."""
    allowed = garden.rules.get("move_days", ["sat", "sun"])
    away = any(str(each["from"]) <= day.isoformat() < str(each["until"]) for each in garden.toml.get("away", []))
    return garden.counts(day) and not away and (not allowed or WEEKDAYS[day.weekday()] in allowed)


def whereabouts(garden: Garden) -> Iterator[Broken]:
    """A spray is done where the plant stands; steps name plants that are there."""
    plants = {plant["name"]: plant for plant in garden.plan["plants"]}
    by_log = {entry.get("plant") for entry in garden.log if entry["step"] in COMES_AND_GOES}
    for step in garden.plan["steps"]:
        for name in step["plants"]:
            if name not in plants:
                yield Broken("names", f"{step['kind']} on {step['date']} names {name}, which is no plant")
                continue
            plant, day = plants[name], step["date"]
            row = garden.row(plant) if name not in by_log else {}
            if row.get("arrived", "") > day or row.get("left") and row["left"] < day:
                yield Broken("names", f"{step['kind']} on {day} for {name}, which is not there then")
            stand = next((stop["place"] for stop in plant["route"] if stop["date"] <= day < stop["until"]),
                         plant["place"])
            moved = any(stop["date"] == day or stop["until"] == day for stop in plant["route"])
            if step["kind"].startswith(SOAP) and stand not in step["place"].split(" + ") and not moved and \
                    garden.counts(date.fromisoformat(day)):
                yield Broken("where", f"{step['kind']} for {name} at {step['place']} on {day}: it stands at {stand}")


def ids(garden: Garden) -> Iterator[Broken]:
    """One id, one thing: no id twice, no (kind, plants, day) under two ids."""
    seen = Counter(step["uid"] for step in garden.plan["steps"])
    for uid, times in seen.items():
        if times > 1 or "/" in uid:
            yield Broken("ids", f"{uid} stands there {times} times")
    things = Counter((step["kind"], tuple(step["plants"]), step["date"], step["place"])
                     for step in garden.plan["steps"])
    for thing, times in things.items():
        if times > 1:
            yield Broken("ids", f"{thing} stands there under {times} ids")


def _by_plant(garden: Garden) -> dict[str, list[dict[str, Any]]]:
    found: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for step in garden.plan["steps"]:
        for name in step["plants"]:
            found[name].append(step)
    return found


def _midsummer(garden: Garden) -> date:
    south = garden.site["latitude"] < 0
    return date(garden.plan["year"], 12, 21) if south else date(garden.plan["year"], 6, 21)


CHECKS = (soap, intervals, last_checks, days_of_work, whereabouts, ids)
