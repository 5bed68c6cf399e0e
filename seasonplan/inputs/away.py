"""Times away: [[away]] blocks of scenario.toml, and away.csv (from, until, helper)."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date, datetime
from typing import Any

from seasonplan.inputs.gathering import Faults, Wrong
from seasonplan.inputs.tables import Row, read_table
from seasonplan.inputs.toml_lines import Section
from seasonplan.inputs.values import described, flag, text_day, text_yes_no
from seasonplan.model import Away

KEYS = ("from", "until", "helper")
LONGEST_DAYS = 366
"""More than a year away is a slip. Our setting."""
FIRST, LAST = "the first day away, as YYYY-MM-DD", "the day of coming back, as YYYY-MM-DD"


def read_away(sections: Sequence[Section], file: str, data: bytes | None, faults: Faults) -> tuple[Away, ...]:
    """All times away by date, from both. Ones that are wrong are left out; their faults stand."""
    found: list[tuple[Away, Callable[..., None]]] = []
    for section in sections:
        section.only(KEYS)
        _add(found, section.need("from", toml_day, FIRST), section.need("until", toml_day, LAST),
             section.get("helper", flag), section.line(), section.fault)
    for row in _rows(file, data, faults):
        _add(found, row.need("from", text_day, FIRST), row.need("until", text_day, LAST),
             row.get("helper", text_yes_no), row.line, row.fault)
    return _in_order(found)


def _rows(file: str, data: bytes | None, faults: Faults) -> Iterable[Row]:
    if data is None or not data.strip():
        return ()
    table = read_table(file, data, KEYS, ("from", "until"), faults)
    return () if table is None else table.rows


def toml_day(value: Any) -> date:
    """A date as TOML knows it, or as text."""
    if isinstance(value, datetime) or not isinstance(value, (date, str)):
        raise Wrong(f"found {described(value)}", "a date as YYYY-MM-DD")
    return text_day(value.strip()) if isinstance(value, str) else value


def _add(found: list, first: date | None, until: date | None, helper: bool | None, line: int,
         fault: Callable[..., None]) -> None:
    if first is None or until is None:
        return
    if until <= first:
        fault("until", f"back on {until}, away from {first}", "a day after the first day away",
              "until is the day of coming back." if until == first else "Are the two the wrong way round?")
    elif (until - first).days > LONGEST_DAYS:
        fault("until", f"{(until - first).days} days away", f"at most {LONGEST_DAYS} days", "Is the year right?")
    else:
        found.append((Away(first, until, bool(helper), line), fault))


def _in_order(found: list[tuple[Away, Callable[..., None]]]) -> tuple[Away, ...]:
    """By date; two that overlap are a fault, since they may not agree on the helper."""
    found.sort(key=lambda each: (each[0].first, each[0].until))
    for (one, _), (two, fault) in zip(found, found[1:], strict=False):
        if two.first < one.until:
            fault("from", f"away from {two.first}, but already away until {one.until}", "times that do not overlap",
                  "One block for both?")
    return tuple(away for away, _ in found)
