"""One invented season of one garden, planned every single day by somebody who lives it: late, ill, rescued, bought,
away, given away, died. Each day's plan is held against the log and against the plan of the day before.

Run: python tests/season_by_day.py [--from 2027-04-01] [--until 2027-11-01] [--quiet] (about two minutes)
It prints a line for each day (what is planned, what was done, what moved) and at the end what does not hold.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from seasonplan import build_plan, load_scenario  # noqa: E402
from seasonplan.deeds import Deed, entries_of  # noqa: E402
from seasonplan.inputs.previous import read_before  # noqa: E402
from seasonplan.model import Away, Before, LogEntry, Plan, Scenario  # noqa: E402
from seasonplan.outputs.documents import plan_json  # noqa: E402

ROWS = ("Big lemon", "Hallway ficus", "Rubber plant", "Window pothos", "Snake plants", "Boston fern")
BOUGHT = ("Gardenia", date(2027, 6, 21))
FIRST, LAST = date(2027, 4, 1), date(2027, 11, 1)
AWAY = Away(date(2027, 7, 12), date(2027, 7, 22), helper=True)
LATE = (date(2027, 5, 20), date(2027, 6, 2))
"""Nothing is done in these days."""
EVENTS = {
    date(2027, 6, 9): Deed("rescue", date(2027, 6, 9), ("Hallway ficus",)),
    date(2027, 7, 3): Deed("found-aphid", date(2027, 7, 3), ("Big lemon",)),
    date(2027, 8, 2): Deed("died", date(2027, 8, 2), ("Boston fern",)),
    date(2027, 8, 21): Deed("given-away", date(2027, 8, 21), ("Window pothos",)),
}
"""What happens beside the work."""
FORGOTTEN = ("wash", "prune")
"""Kinds of work that this person never does."""
MOVES = ("move-out", "move", "move-in")
NEARBY_DAYS = 7
"""What was due and not done is dated again within so many days of today, or of coming back: the next weekend. What
happened to a plant moves the work that others share with it by no more."""
SUN = "week of a step into more sun"
"""Said of work that waits longer."""


@dataclass
class Season:
    """The garden, its log as it grows, and the plan of the day before."""

    scenario: Scenario
    log: list[LogEntry] = field(default_factory=list)
    before: Before | None = None
    last: Plan | None = None
    touched: frozenset[str] = frozenset()

    def day(self, today: date) -> tuple[Plan, list[str], list[str]]:
        """(plan, what does not hold, what moved) of a day, before anything is done on it."""
        plants = tuple(p for p in self.scenario.plants if p.name != BOUGHT[0] or today >= BOUGHT[1])
        plan = build_plan(replace(self.scenario, plants=plants, log=tuple(self.log)), today, self.before)
        wrong, moved = [*broken(plan, self.log)], [*jumps(self.last, plan, self.touched)]
        self.before, self.last = read_before(plan_json(plan)), plan
        return plan, wrong, moved

    def live(self, plan: Plan) -> list[str]:
        """What is done on a day: its work, unless nobody is there or wants to, and what happens."""
        today, told = plan.today, list[str]()
        busy = LATE[0] <= today < LATE[1] or AWAY.first <= today < AWAY.until
        deeds = [] if busy else [Deed(s.uid, today) for s in plan.steps if s.date == today and s.kind not in FORGOTTEN]
        names: set[str] = set()
        for deed in [*deeds, *([EVENTS[today]] if today in EVENTS else [])]:
            entries = entries_of(deed, replace(plan, scenario=replace(plan.scenario, log=tuple(self.log))))
            self.log += [replace(entry, line=len(self.log) + n) for n, entry in enumerate(entries)]
            names |= {entry.plant for entry in entries} if deed in EVENTS.values() else set()
            told.append(entries[0].step if entries else deed.step)
        self.touched = frozenset(names | ({BOUGHT[0]} if today == BOUGHT[1] else set()))
        return told


def season(first: date = FIRST) -> Season:
    """The garden as it stands on the day on which its log begins."""
    whole = load_scenario(ROOT / "scenarios" / "fallowmere")
    rows = [replace(p, pests="none", last_leached=None) for p in whole.plants if p.name in ROWS]
    bought = [replace(p, pests="none", last_leached=None, last_repotted=None) for p in whole.plants
              if p.name == BOUGHT[0]]
    return Season(replace(whole, plants=tuple([*rows, *bought]), away=(AWAY,)), [LogEntry(first, "begin")])


def broken(plan: Plan, log: list[LogEntry]) -> Iterator[str]:
    """What does not hold in the plan of a day."""
    today, done = plan.today, {(entry.step, entry.plant, entry.date) for entry in log}
    for step in plan.steps:
        if step.date < today:
            yield f"{step.kind} of {step.plants[0]} lies in the past, on {step.date}"
        if step.open_since and step.open_since >= today:
            yield f"{step.kind} of {step.plants[0]} is open since {step.open_since}"
        if AWAY.first <= step.date < AWAY.until:
            yield f"{step.kind} on {step.date}, while nobody is there"
        for name in step.plants:
            if (step.kind, name, today) in done and step.date == today:
                yield f"{step.kind} of {name} is asked for again on the day it was done"
    uids, things = Counter(s.uid for s in plan.steps), Counter(
        (s.kind, name, s.date) for s in plan.steps for name in s.plants)
    for thing, n in [*uids.items(), *things.items()]:
        if n > 1:
            yield f"{thing} stands there {n} times"
    names = {each.plant.name for each in plan.plants}
    yield from (f"{s.kind} names {name}, which is not there" for s in plan.steps for name in s.plants
                if name not in names)
    for each in plan.plants:
        way = [s.kind for s in plan.steps if each.plant.name in s.plants and s.kind in MOVES]
        if way.count("move-in") > 1 or way and way[-1] != "move-in":
            yield f"{each.plant.name}: {way}"
        yield from (f"{each.plant.name}: an empty stay on {s.date}" for s in each.route if s.date >= s.until)


def jumps(last: Plan | None, plan: Plan, touched: frozenset[str]) -> Iterator[str]:
    """What is dated otherwise than the day before by more than a reason explains: it was due and not done, or something
    happened to its plants, or to another one with which it shares its work, or it waits for what was missed."""
    now = {(s.uid, name): s for s in plan.steps for name in s.plants}
    kinds = {(s.kind, name): s for s in reversed(plan.steps) for name in s.plants}
    back = AWAY.until if AWAY.first <= plan.today < AWAY.until else plan.today
    missed = {name for s in plan.steps if s.open_since for name in s.plants}
    for step in last.steps if last else ():
        for name in step.plants:
            new = now.get((step.uid, name)) or (kinds.get((step.kind, name)) if step.date >= plan.today else None)
            if new is None and step.date >= plan.today and not touched and name not in missed:
                yield f"{step.kind} of {name} on {step.date:%d %b} is asked for no more"
            if new is None or new.date == step.date or name in touched:
                continue
            if step.date < plan.today and ((new.date - back).days <= NEARBY_DAYS or SUN in new.why):
                continue
            if touched and abs((new.date - step.date).days) <= NEARBY_DAYS or name in missed and step.due != new.due:
                continue
            yield f"{step.kind} of {name}: {step.date:%d %b} -> {new.date:%d %b}"


def played(first: date = FIRST, until: date = LAST, every_day: bool = True,
           ) -> Iterator[tuple[date, str, list[str], list[str]]]:
    """(day, a line about it, what does not hold, what moved without a reason) of every day planned: the log begins on
    the first; every_day: else only days of work and those on which something happens."""
    one = season(first)
    for today in (first + timedelta(days=n) for n in range((until - first).days)):
        if not every_day and today.weekday() < 5 and today not in (*EVENTS, BOUGHT[1]):
            continue
        plan, wrong, moved = one.day(today)
        due = [s for s in plan.steps if s.date == today]
        told = one.live(plan)
        late = sum(s.open_since is not None for s in plan.steps)
        line = f"{today:%a %d %b}: {len(plan.steps):3d} ahead, {late} open; today {len(due)}"
        line += f" ({sum(s.minutes for s in due)} min)" if due else ""
        yield today, line + (f"; done {', '.join(told)}" if told else ""), wrong, moved


def main(arguments: list[str]) -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--from", dest="first", type=date.fromisoformat, default=FIRST)
    parser.add_argument("--until", type=date.fromisoformat, default=LAST)
    parser.add_argument("--quiet", action="store_true")
    given = parser.parse_args(arguments)
    count = Counter[str]()
    for _, line, wrong, moved in played(given.first, given.until):
        count.update(days=1, wrong=len(wrong), moved=len(moved))
        if not given.quiet or wrong or moved:
            print(line, flush=True)
        for each in wrong:
            print(f"    DOES NOT HOLD: {each}")
        for each in moved:
            print(f"    moved: {each}")
    print(f"{count['days']} days planned; {count['wrong']} times something does not hold; {count['moved']} jumps")
    return 1 if count["wrong"] else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
