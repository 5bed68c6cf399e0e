"""Two invented stories of a garden, planned every single day by somebody who lives it. Each day's plan is held against
the log and against the plan of the day before.

summer: a northern garden from April to November: late, ill, rescued, bought, away, given away, died.
year: a southern garden the whole year round, over the end of its planning year on 30 June: pests in its last weeks and
over the turn, a plant bought in its winter, a late wave, a rescue, ticks that contradict each other, ticks taken back.

Run: python tests/season_by_day.py [summer|year] [--from DAY] [--until DAY] [--quiet] (about two minutes each)
It prints a line for each day (what is planned, what was done, what moved) and at the end what does not hold.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from seasonplan import build_plan, load_scenario  # noqa: E402
from seasonplan.deeds import Deed, entries_of, undone  # noqa: E402
from seasonplan.inputs.previous import read_before  # noqa: E402
from seasonplan.model import Away, Before, LogEntry, Plan, Scenario  # noqa: E402
from seasonplan.outputs.documents import plan_json  # noqa: E402

MOVES = ("move-out", "move", "move-in")
NEARBY_DAYS = 7
"""What was due and not done is dated again within so many days of today, or of coming back: the next weekend. What
happened to a plant moves the work that others share with it by no more."""
SPARE_DAYS = 14
"""So far off may work that can be left out join other work with the same tools (care.level.JOIN_DAYS)."""
HELD_DAYS = 45
"""A pest holds a plant outdoors by no more: four weekly sprays and the look after them."""
SUN = "week of a step into more sun"
"""Said of work that waits longer."""


def deeds(*told: tuple[date, str, str]) -> dict[date, tuple[Deed, ...]]:
    """(day, step, plant) by day."""
    found: dict[date, tuple[Deed, ...]] = {}
    for day, step, plant in told:
        found[day] = (*found.get(day, ()), Deed(step, day, (plant,)))
    return found


@dataclass(frozen=True)
class Story:
    """A shipped garden thinned to some rows. bought: which of them came when. late: nothing is done in these days.
    events: what happens beside the work. undone: on these days what was told last is taken back. forgotten: kinds of
    work that this person never does."""

    garden: str
    rows: tuple[str, ...]
    bought: tuple[str, date]
    first: date
    last: date
    late: tuple[date, date]
    events: Mapping[date, tuple[Deed, ...]]
    away: Away | None = None
    undone: tuple[date, ...] = ()
    forgotten: tuple[str, ...] = ("wash", "prune")

    def is_away(self, day: date) -> bool:
        return self.away is not None and self.away.first <= day < self.away.until

    def back(self, day: date) -> date:
        """The day, or the one of coming back."""
        return self.away.until if self.away is not None and self.is_away(day) else day


SUMMER = Story(
    "fallowmere", ("Big lemon", "Hallway ficus", "Rubber plant", "Window pothos", "Snake plants", "Boston fern",
                   "Gardenia"), ("Gardenia", date(2027, 6, 21)), date(2027, 4, 1), date(2027, 11, 1),
    (date(2027, 5, 20), date(2027, 6, 2)),
    deeds((date(2027, 6, 9), "rescue", "Hallway ficus"), (date(2027, 7, 3), "found-aphid", "Big lemon"),
          (date(2027, 8, 2), "died", "Boston fern"), (date(2027, 8, 21), "given-away", "Window pothos")),
    Away(date(2027, 7, 12), date(2027, 7, 22), helper=True))
YEAR = Story(
    "wattle-bend", ("Makrut lime", "Pink hibiscus", "Fiddle-leaf", "Peace lily", "Kentias", "Croton"),
    ("Croton", date(2027, 7, 14)), date(2026, 9, 20), date(2027, 11, 20), (date(2026, 10, 16), date(2026, 10, 30)),
    deeds((date(2026, 11, 24), "rescue", "Fiddle-leaf"), (date(2026, 12, 8), "found-mealybug", "Kentias"),
          (date(2026, 12, 9), "found-spider-mite", "Kentias"), (date(2027, 1, 12), "pest-clear", "Kentias"),
          (date(2027, 2, 10), "died", "Peace lily"), (date(2027, 2, 14), "found-scale", "Makrut lime"),
          (date(2027, 2, 14), "pest-clear", "Makrut lime"), (date(2027, 5, 19), "found-scale", "Makrut lime"),
          (date(2027, 6, 22), "found-aphid", "Pink hibiscus")),
    undone=(date(2027, 2, 11), date(2027, 6, 28)))
STORIES = {"summer": SUMMER, "year": YEAR}
FIRST, LAST = SUMMER.first, SUMMER.last


@dataclass
class Season:
    """The garden, its log as it grows, and the plan of the day before. touched: plants to which something happened on
    the day before; how: what."""

    story: Story
    scenario: Scenario
    log: list[LogEntry] = field(default_factory=list)
    before: Before | None = None
    last: Plan | None = None
    touched: frozenset[str] = frozenset()
    how: frozenset[str] = frozenset()

    def day(self, today: date) -> tuple[Plan, list[str], list[str]]:
        """(plan, what does not hold, what moved) of a day, before anything is done on it."""
        name, came = self.story.bought
        plants = tuple(p for p in self.scenario.plants if p.name != name or today >= came)
        plan = build_plan(replace(self.scenario, plants=plants, log=tuple(self.log)), today, self.before)
        wrong = [*broken(plan, self.log, self.story)]
        if today == came:
            self.touched |= {name}
        moved = [*jumps(self.last, plan, self.touched, self.story), *own_moves(self.last, plan, self.touched, self.how)]
        self.before, self.last = read_before(plan_json(plan)), plan
        return plan, wrong, moved

    def live(self, plan: Plan) -> list[str]:
        """What is done on a day: its work, unless nobody is there or wants to, and what happens."""
        today, told, story = plan.today, list[str](), self.story
        names: set[str] = set()
        how: set[str] = set()
        if today in story.undone and self.log:
            gone = undone(self.log)
            self.log = [entry for entry in self.log if entry not in gone]
            told.append(f"undo {gone[0].step} of {gone[0].date}")
            names |= {entry.plant for entry in gone}
            how.add("undo")
        busy = story.late[0] <= today < story.late[1] or story.is_away(today) or today in story.undone
        work = [] if busy else [Deed(s.uid, today) for s in plan.steps if s.date == today and
                                s.kind not in story.forgotten]
        events = story.events.get(today, ())
        for deed in [*work, *events]:
            entries = entries_of(deed, replace(plan, scenario=replace(plan.scenario, log=tuple(self.log))))
            self.log += [replace(entry, line=len(self.log) + n) for n, entry in enumerate(entries)]
            if deed in events:
                names |= {entry.plant for entry in entries}
                how.add(deed.step.partition("-")[0])
            told.append(entries[0].step if entries else deed.step)
        if today == story.bought[1]:
            names.add(story.bought[0])
            how.add("bought")
        self.touched, self.how = frozenset(names), frozenset(how)
        return told


def season(story: Story = SUMMER, first: date | None = None) -> Season:
    """The garden as it stands on the day on which its log begins."""
    whole = load_scenario(ROOT / "scenarios" / story.garden)
    rows = [replace(p, pests="none", last_leached=None, last_repotted=None if p.name == story.bought[0] else
                    p.last_repotted) for p in whole.plants if p.name in story.rows]
    rows.sort(key=lambda plant: plant.name == story.bought[0])
    return Season(story, replace(whole, plants=tuple(rows), away=(story.away,) if story.away else (),
                                 rules=replace(whole.rules, year=None)), [LogEntry(first or story.first, "begin")])


def broken(plan: Plan, log: list[LogEntry], story: Story = SUMMER) -> Iterator[str]:
    """What does not hold in the plan of a day."""
    today, done = plan.today, {(entry.step, entry.plant, entry.date) for entry in log}
    sprays: dict[str, list[date]] = {}
    for step in plan.steps:
        if step.date < today:
            yield f"{step.kind} of {step.plants[0]} lies in the past, on {step.date}"
        if step.open_since and step.open_since >= today:
            yield f"{step.kind} of {step.plants[0]} is open since {step.open_since}"
        if story.is_away(step.date):
            yield f"{step.kind} on {step.date}, while nobody is there"
        for name in step.plants:
            if (step.kind, name, today) in done and step.date == today:
                yield f"{step.kind} of {name} is asked for again on the day it was done"
            if step.kind == "treat":
                sprays.setdefault(name, []).append(step.date)
    for name, days in sprays.items():
        days = sorted([*days, *(e.date for e in log if e.step == "treat" and e.plant == name)])
        yield from (f"{name} is sprayed on {one} and {other}" for one, other in zip(days, days[1:], strict=False)
                    if other >= today and (other - one).days < 4)
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
    yield from stands(plan, log)


def stands(plan: Plan, log: list[LogEntry]) -> Iterator[str]:
    """Plants that the log has outdoors though the plan has no way in for them."""
    yard = {place.name for place in plan.places if place.outdoors}
    for each in plan.plants:
        moves = [e for e in log if e.plant == each.plant.name and e.step in (*MOVES, "rescue") and e.date <= plan.today]
        outside = bool(moves) and moves[-1].place in yard
        if outside and each.status != "stays-out" and not any(
                s.kind == "move-in" and each.plant.name in s.plants for s in plan.steps):
            yield f"{each.plant.name} stands at {moves[-1].place} and has no way in"


def jumps(last: Plan | None, plan: Plan, touched: frozenset[str], story: Story = SUMMER) -> Iterator[str]:
    """What is dated otherwise than the day before by more than a reason explains: it was due and not done, or something
    happened to its plants, or to another one with which it shares its work, or it waits for what was missed."""
    now = {(s.uid, name): s for s in plan.steps for name in s.plants}
    kinds = {(s.kind, name): s for s in reversed(plan.steps) for name in s.plants}
    back = story.back(plan.today)
    missed = {name for s in plan.steps if s.open_since for name in s.plants}
    over = " ".join(plan.notices)
    for step in last.steps if last else ():
        for name in step.plants:
            new = now.get((step.uid, name)) or (kinds.get((step.kind, name)) if step.date >= plan.today else None)
            if new is None and step.date >= plan.today and not touched and name not in missed and name not in over \
                    and step.kind not in story.forgotten:
                yield f"{step.kind} of {name} on {step.date:%d %b} is asked for no more"
            if new is None or new.date == step.date or name in touched:
                continue
            if step.date < plan.today and ((new.date - back).days <= NEARBY_DAYS or SUN in new.why):
                continue
            near = SPARE_DAYS if step.optional else NEARBY_DAYS
            if touched and abs((new.date - step.date).days) <= near or name in missed and (
                    step.due != new.due or step.kind in (*MOVES, "cloth")):
                continue
            yield f"{step.kind} of {name}: {step.date:%d %b} -> {new.date:%d %b}"


def own_moves(last: Plan | None, plan: Plan, touched: frozenset[str], how: frozenset[str]) -> Iterator[str]:
    """What became of the moves of a plant to which something happened: a pest holds it in or out for the time of its
    treatment at most and sends it nowhere; a rescue has a way out again and leaves the end of the season where it was;
    one that is gone has none; one that was bought has none for two weeks."""
    if last is None or "undo" in how:
        return
    for name in touched:
        was, now = (sorted((s.date, s.kind) for s in p.steps if name in s.plants and s.kind in MOVES)
                    for p in (last, plan))
        if how & {"died", "given"} and now:
            yield f"{name} is gone and moves on {now[0][0]:%d %b}"
        if "bought" in how and now and (now[0][0] - plan.today).days < 12:
            yield f"{name} is new and moves on {now[0][0]:%d %b}"
        if "found" in how:
            first = (was[0] if was else None, now[0] if now else None)
            if first[0] != first[1] and (first[0] is None or first[1] is None or abs(
                    (first[1][0] - first[0][0]).days) > HELD_DAYS):
                yield f"{name} is ill and moves {first[1]} instead of {first[0]}"
        if "rescue" in how:
            if not now or now[0][1] != "move-out" or (now[0][0] - plan.today).days > 21:
                yield f"{name} was rescued and has no way out again: {now[:1]}"
            elif was and abs((now[-1][0] - was[-1][0]).days) > 14:
                yield f"{name} was rescued and comes in on {now[-1][0]:%d %b} instead of {was[-1][0]:%d %b}"


def played(first: date | None = None, until: date | None = None, every_day: bool = True, story: Story = SUMMER,
           ) -> Iterator[tuple[date, str, list[str], list[str]]]:
    """(day, a line about it, what does not hold, what moved without a reason) of every day planned: the log begins on
    the first; every_day: else only days of work and those on which something happens."""
    first, until = first or story.first, until or story.last
    one = season(story, first)
    for today in (first + timedelta(days=n) for n in range((until - first).days)):
        if not every_day and today.weekday() < 5 and today not in (*story.events, *story.undone, story.bought[1]):
            continue
        plan, wrong, moved = one.day(today)
        due = [s for s in plan.steps if s.date == today]
        told = one.live(plan)
        late = sum(s.open_since is not None for s in plan.steps)
        line = f"{today:%a %d %b}: {len(plan.steps):3d} ahead in {plan.year}, {late} open; today {len(due)}"
        line += f" ({sum(s.minutes for s in due)} min)" if due else ""
        yield today, line + (f"; done {', '.join(told)}" if told else "") + "".join(
            f"\n    said: {notice}" for notice in plan.notices), wrong, moved


def main(arguments: list[str]) -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("story", nargs="?", choices=STORIES, default="summer")
    parser.add_argument("--from", dest="first", type=date.fromisoformat)
    parser.add_argument("--until", type=date.fromisoformat)
    parser.add_argument("--quiet", action="store_true")
    given = parser.parse_args(arguments)
    count = Counter[str]()
    for _, line, wrong, moved in played(given.first, given.until, story=STORIES[given.story]):
        count.update(days=1, wrong=len(wrong), moved=len(moved))
        if not given.quiet or wrong or moved or "said:" in line:
            print(line, flush=True)
        for each in wrong:
            print(f"    DOES NOT HOLD: {each}")
        for each in moved:
            print(f"    moved: {each}")
    print(f"{count['days']} days planned; {count['wrong']} times something does not hold; {count['moved']} jumps")
    return 1 if count["wrong"] else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
