"""What each screen shows, from the plans as they stand and what was noted since; its words come from `outputs`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache

from seasonplan import wording as w
from seasonplan.model import LogEntry, Plan, PlantPlan, Step
from seasonplan.outputs.cautions import themes, themes_of
from seasonplan.outputs.daybook import DayBook, alerts_age, capital, how_key, words_of
from seasonplan.outputs.page_days import WAYS, AlertView, Way, alert_views, amounts_line, day_words, in_days, job_view
from seasonplan.outputs.page_plants import PlantView, plant_views
from seasonplan.outputs.page_tables import night_source
from seasonplan.serve.household import Now

AHEAD_DAYS = 3
"""Days with work after today that stand folded below it."""
DONE_SHOWN = 12
MOVES_FIRST = "Carrying"


@dataclass(frozen=True)
class Card:
    """One thing to tick. plants: (name, pots) of its rows; lines, how: what to do; amount: what it takes."""

    garden: int
    uid: str
    title: str
    minutes: str
    amount: str
    late: str
    ticked: bool
    plants: tuple[tuple[str, int], ...]
    ways: tuple[Way, ...]
    lines: tuple[str, ...]
    how: tuple[str, ...]
    why: tuple[str, ...]
    cautions: tuple[str, ...]
    places: tuple[str, ...]
    moves: bool


@dataclass(frozen=True)
class Corner:
    """What there is to do at one place."""

    place: str
    cards: tuple[Card, ...]


@dataclass(frozen=True)
class Later:
    """A day after today, folded."""

    title: str
    minutes: str
    cards: tuple[Card, ...]


@dataclass(frozen=True)
class Done:
    """Something that the log tells of today or was noted last: words, and what takes it back."""

    garden: int
    words: str
    step: str
    plants: tuple[str, ...]
    on: date
    note: str


@dataclass(frozen=True)
class Alarm:
    """An alert of one garden with what can be done about it."""

    garden: int
    site: str
    view: AlertView


@dataclass(frozen=True)
class GardenDay:
    """A garden's today. begin: how many things of a plan on paper lie in the past; habits: title and detail of what
    begins today and is no work; nights: where its nights come from and how sure its dates are; looked: when
    `watch` last looked at those ahead."""

    garden: int
    site: str
    minutes: str
    corners: tuple[Corner, ...]
    later: tuple[Later, ...]
    begin: int
    habits: tuple[tuple[str, str], ...] = ()
    nights: str = ""
    looked: str = ""


def days_of(now: Now, put_off: frozenset[str]) -> list[GardenDay]:
    """Each garden's today by place, and its next days."""
    return [_garden_day(now, n, _book(plan), put_off) for n, plan in enumerate(now.plans)]


@lru_cache(maxsize=8)
def _book(plan: Plan) -> DayBook:
    """A plan's day book, kept while the plan stands."""
    return DayBook(plan)


def _garden_day(now: Now, garden: int, book: DayBook, put_off: frozenset[str]) -> GardenDay:
    due = [step for step in book.open_steps if step.date <= now.today and (book.plan.kept or step.date == now.today)]
    shown = [step for step in due if step.uid not in put_off]
    corners: dict[str, list[Card]] = {}
    for step in shown:
        card = _card(now, garden, book, step)
        corners.setdefault(MOVES_FIRST if card.moves else step.place or "Anywhere", []).append(card)
    order = {place.name: n for n, place in enumerate(book.plan.places, 1)} | {MOVES_FIRST: 0}
    coming = [day for day in book.ahead if day.date > now.today and day.steps][:AHEAD_DAYS]
    later = [Later(f"{day_words(book.plan, day.date)}, {in_days(now.today, day.date)}",
                   w.duration(day.minutes) if day.minutes else "",
                   tuple(_card(now, garden, book, step) for step in day.steps)) for day in coming]
    off = [_card(now, garden, book, step) for step in due if step.uid in put_off]
    if off:
        later.insert(0, Later("Not today", "", tuple(off)))
    minutes = sum(step.minutes for step in shown)
    return GardenDay(garden, book.plan.site.name, w.duration(minutes) if minutes else "",
                     tuple(Corner(place, tuple(cards)) for place, cards in
                           sorted(corners.items(), key=lambda each: order.get(each[0], len(order)))),
                     tuple(later), sum(1 for step in book.plan.steps if step.date < now.today) if book.on_paper else 0,
                     tuple((habit.title, habit.detail) for day in book.days if day.date == now.today
                           for habit in day.habits), night_source(book.plan), alerts_age(book.plan))


def _card(now: Now, garden: int, book: DayBook, step: Step) -> Card:
    view = job_view(book, step)
    wanted = set(themes_of(step))
    cautions = [theme.short for theme in themes([step]) if theme.number in wanted]
    late = "" if step.open_since is None else f"since {w.day(step.open_since)}"
    outdoors = tuple(place.name for place in book.plan.places if place.outdoors)
    rooms = tuple(place.name for place in book.plan.places if not place.outdoors)
    return Card(garden, step.uid, _short_title(book, step), view.minutes, amounts_line(book.plan, [step]), late,
                step.uid in now.ticked, tuple((name, book.pots([name])) for name in step.plants), view.ways, view.own,
                book.common_lines(step), view.why + book.common_reasons(step), tuple(cautions),
                (rooms if step.kind == "move-in" else outdoors) if view.ways else (), bool(view.ways))


def _short_title(book: DayBook, step: Step) -> str:
    """A move by its way and place, a job in its few words."""
    carries = book.carries(step) if step.kind in ("move-out", "move", "move-in") else ()
    if carries:
        places = list(dict.fromkeys(carry.to_place for carry in carries))
        return f"{capital(words_of(step.kind).verb)} to {w.listed(places, 3)}"
    return capital(book.phrases([step])[0])


def done_lately(now: Now) -> list[Done]:
    """What the logs tell of today, and what was noted since the last plan, the latest first; what two people noted of
    one kind stays apart, so that neither takes back the other's."""
    deeds = {(garden, entry.step, entry.date, entry.plant): n
             for n, (garden, entries) in enumerate(now.deeds) for entry in entries}
    found: dict[tuple[int, str, date, int], list[LogEntry]] = {}
    logged = [(garden, entry) for garden, plan in enumerate(now.plans) for entry in plan.scenario.log
              if entry.date == now.today]
    for garden, entry in [*logged, *now.noted]:
        deed = deeds.get((garden, entry.step, entry.date, entry.plant), -1)
        found.setdefault((garden, entry.step, entry.date, deed), []).append(entry)
    return [_done(*key[:3], entries) for key, entries in reversed(found.items())][:DONE_SHOWN]


def _done(garden: int, step: str, on: date, entries: Sequence[LogEntry]) -> Done:
    names = tuple(dict.fromkeys(entry.plant for entry in entries if entry.plant))
    who = w.listed([w.one_line(name, 40) for name in names], 3)
    kind = step.split("@")[0]
    words = capital(words_of(kind).said(who)) if who else capital(kind.replace("-", " "))
    note = next((entry.note for entry in entries if entry.note), "")
    return Done(garden, words, step, names, on, note)


def alarms(now: Now) -> list[Alarm]:
    """Alerts of all gardens whose night has not passed, those to act on first."""
    found = [Alarm(n, plan.site.name, view) for n, plan in enumerate(now.plans) for view in alert_views(plan)
             if view.alert.night >= now.today]
    return sorted(found, key=lambda each: (each.view.alert.level != "act", each.view.alert.night))


@dataclass(frozen=True)
class Shelf:
    """Plants of one garden that stand at one place today."""

    garden: int
    place: str
    plants: tuple[tuple[str, str], ...]


def shelves(now: Now) -> list[tuple[str, list[Shelf]]]:
    """(garden, places with the plants that stand there today): name of each plant, and where it goes next."""
    found = []
    for garden, plan in enumerate(now.plans):
        by_place: dict[str, list[tuple[str, str]]] = {place.name: [] for place in plan.places}
        for each in plan.plants:
            by_place.setdefault(stands(each, now.today), []).append((each.plant.name, _next_move(each, now.today)))
        found.append((plan.site.name, [Shelf(garden, place, tuple(plants)) for place, plants in by_place.items()
                                       if plants]))
    return found


def stands(each: PlantPlan, today: date) -> str:
    """Where a plant stands today, as its plan has it."""
    return next((stop.place for stop in each.route if stop.date <= today < stop.until), each.plant.place)


def _next_move(each: PlantPlan, today: date) -> str:
    coming = next((stop for stop in each.route if stop.date > today), None)
    if coming is not None:
        return f"{w.short_day(coming.date)} to {coming.place}"
    last = each.route[-1].until if each.route else None
    return f"{w.short_day(last)} in" if last is not None and last > today and each.status == "moves" else ""


def plant_page(plan: Plan, name: str) -> tuple[PlantPlan, PlantView, tuple[Step, ...]] | None:
    """A plant's plan, its view, and its steps still to come; None where there is no such plant."""
    each = next((each for each in plan.plants if each.plant.name == name), None)
    if each is None:
        return None
    book = _book(plan)
    [view] = [view for view in plant_views(DayBook(_only(plan, each)))][:1]
    steps = tuple(step for step in book.open_steps if name in step.plants and step.date >= plan.today)
    return each, view, steps


def plant_step(plan: Plan, each: PlantPlan, step: Step) -> str:
    """A step as one of its plants takes part in it: "Wash", "Move to porch"."""
    carry = next((carry for carry in _book(plan).carries(step) if each in carry.plans), None) \
        if step.kind in WAYS else None
    return f"{WAYS[step.kind]} to {carry.to_place}" if carry else capital(how_key(step.kind))


def _only(plan: Plan, each: PlantPlan) -> Plan:
    return replace(plan, plants=(each,))
