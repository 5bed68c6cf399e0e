"""What a person should know before all else: lines of the log that cannot be true yet, what lapsed, what the list still
says though the log tells otherwise."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import date, timedelta

from seasonplan import wording as w
from seasonplan.model import Before, LogEntry, Scenario
from seasonplan.model.life import told_of

NAMED_MOST = 3
LOOKED_BACK = timedelta(days=21)
"""A step that was dated afresh may have been done so long before the day it stood under last. Our setting."""


def ahead_of(log: Iterable[LogEntry], today: date) -> tuple[str, ...]:
    """Entries dated after today, in one sentence; none where there are none."""
    found = [entry for entry in log if entry.date > today]
    if not found:
        return ()
    first = min(found, key=lambda entry: (entry.date, entry.line))
    what = f"log.csv:{first.line} is dated {w.day(first.date, year=True)}" if len(found) == 1 else \
        f"{len(found)} lines of log.csv are dated after today, the first of them (line {first.line}) " \
        f"{w.day(first.date, year=True)}"
    return (f"{what}, a day that has not come: it is planned with as if it were so. Is the date right?",)


def lapsed(scenario: Scenario, year: int, before: Before | None, kinds: Collection[str]) -> tuple[str, ...]:
    """What the plan at hand, one of the year before, still asked for and this one does not, in one sentence; none where
    there is nothing. kinds: those that this plan takes over."""
    if before is None or before.year != year - 1:
        return ()
    here, found = {plant.name for plant in scenario.plants}, dict[str, list[str]]()
    for step in before.seen:
        if step.kind in kinds:
            continue
        told = told_of(scenario.log, (step.kind, step.uid), step.days[-1] - LOOKED_BACK, date.max)
        names = [name for name in step.plants if name in here and not told & {name, ""}]
        if names:
            found.setdefault(step.kind, []).extend(names)
    said = [f"{kind.replace('-', ' ')} ({w.listed(list(dict.fromkeys(names)), NAMED_MOST)})"
            for kind, names in found.items()]
    return (f"The season of {year - 1} is over. Its plan still had, and the log does not tell that it was done: "
            f"{w.listed(said, len(said))}. What is still worth doing comes again in this plan.",) if said else ()


def still_listed(ill: dict[str, tuple[str, date]], treated: Iterable[str]) -> tuple[str, ...]:
    """Plants that plants.csv says have a pest though the log tells that its treatment is over."""
    names = [name for name in treated if name in ill]
    if not names:
        return ()
    has, its = ("has", "its") if len(names) == 1 else ("have", "their")
    return (f"plants.csv still says that {w.listed(names, NAMED_MOST)} {has} a pest; by the log {its} treatment is "
            "over, so none is planned. Take it off the list, or log what you find.",)
