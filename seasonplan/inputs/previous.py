"""What the plan before this one said: an earlier plan.json. One that cannot be understood counts as none."""

from __future__ import annotations

import json
from datetime import date, datetime
from typing import Any

from seasonplan.model import Alert, Before, SeenStep


def read_before(data: bytes | None) -> Before | None:
    """None where there is no earlier plan.json, or one that no version of this program wrote."""
    if data is None:
        return None
    try:
        document = json.loads(data)
        since = document.get("since") or {"plants": {}, "pests": {}}
        known = dict.fromkeys((str(plant["name"]) for plant in document["plants"]), None)
        return Before(int(document["year"]), known | {name: day and _day(day) for name, day in since["plants"].items()},
                      {name: (str(told["pest"]), _day(told["date"])) for name, told in since["pests"].items()},
                      *_alerts(document), seen=_seen(document))
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None


def _seen(document: dict[str, Any]) -> tuple[SeenStep, ...]:
    """The steps; none where any of them cannot be understood."""
    bare = {"percent": 0}
    try:
        stands = {(str(plant["name"]), stop["date"]): (str(stop["place"]), int((stop["shade"] or bare)["percent"]))
                  for plant in document["plants"] for stop in plant["route"]}
        return tuple(SeenStep(
            str(step["uid"]), str(step["kind"]),
            tuple(_day(day) for day in dict.fromkeys((step["date"], step["open_since"] or step["date"]))),
            tuple(map(str, step["plants"])),
            {name: stands[name, step["date"]] for name in step["plants"] if (name, step["date"]) in stands})
            for step in document["steps"])
    except (ValueError, KeyError, TypeError):
        return ()


def _alerts(document: dict[str, Any]) -> tuple[tuple[Alert, ...], str]:
    """The alerts and when they were issued; none where any of them cannot be understood."""
    try:
        return tuple(_alert(told) for told in document["alerts"]), str(document.get("alerts_issued") or "")
    except (ValueError, KeyError, TypeError):
        return (), ""


def _alert(told: dict[str, Any]) -> Alert:
    low, to, out_again, alarm = told["forecast_low_c"], told["to"], told["out_again"], told["alarm"]
    return Alert(
        str(told["uid"]), _day(told["night"]), str(told["place"]), None if low is None else float(low),
        float(told["low_c_at_place"]), float(told["chance"]), float(told["threshold_c"]),
        tuple(map(str, told["plants"])), str(told["action"]), _moment(told["by"]),
        "act" if told["level"] == "act" else "keep-watch", bool(told["frost"]), None if to is None else str(to),
        None if out_again is None else _day(out_again), bool(told["stays"]), str(told["spell"]),
        None if alarm is None else _moment(alarm))


def _moment(value: Any) -> str:
    return datetime.fromisoformat(value).isoformat(timespec="minutes")


def _day(value: Any) -> date:
    return date.fromisoformat(value)
