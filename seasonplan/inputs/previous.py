"""What the plan before this one said: an earlier plan.json. One that cannot be understood counts as none."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

from seasonplan.model import Before


def read_before(data: bytes | None) -> Before | None:
    """None where there is no earlier plan.json, or one that no version of this program wrote."""
    if data is None:
        return None
    try:
        document = json.loads(data)
        since = document.get("since") or {"plants": {}, "pests": {}}
        known = dict.fromkeys((str(plant["name"]) for plant in document["plants"]), None)
        return Before(int(document["year"]), known | {name: _day(day) for name, day in since["plants"].items()},
                      {name: (str(told["pest"]), _day(told["date"])) for name, told in since["pests"].items()})
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None


def _day(value: Any) -> date:
    return date.fromisoformat(value)
