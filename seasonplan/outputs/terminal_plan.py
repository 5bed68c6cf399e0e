"""The summary of a plan: one screen that says what is next, what moves when, what to decide, where the files are."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from seasonplan import wording as w
from seasonplan.climate.sureness import nights_line
from seasonplan.dates import MONTH_NAMES, is_south
from seasonplan.model import Alert, Plan, PlantPlan
from seasonplan.outputs.daybook import NAME_MOST, DayBook, WorkDay, alerts_age, capital, due_day
from seasonplan.outputs.sheet import Cell, Column, Sheet, fitted
from seasonplan.outputs.terminal_all import add_all, count_sentence, day_words, skipped_line

MOST_LINES = 40
"""Lines of the summary, for a terminal of 80 columns or more. A screen holds about as many. Our setting."""
AHEAD_DAYS = 14
DAY_WIDTH, TIME_WIDTH = 11, 12
BROKEN_SHORT = 12
WHYS = 2
CLAUSE = re.compile(r" \(|: |\.(?: |$)")
"""Where the first clause of a reason ends."""
WAY_WORDS = {"move-out": "out", "move": "move", "move-in": "in"}


@dataclass(frozen=True)
class _Room:
    """How many rows each part may have before it says how many more there are; lines: of each coming day."""

    days: int = 10
    moves: int = 14
    decisions: int = 6
    alerts: int = 4
    lines: int = 4

    def smaller(self) -> _Room | None:
        """A row less where most are left; None where nothing can go any more."""
        floors = {"lines": 1, "moves": 4, "days": 5, "decisions": 3, "alerts": 2}
        spare = {name: getattr(self, name) - floor for name, floor in floors.items()}
        name = max(spare, key=lambda each: spare[each])
        return replace(self, **{name: getattr(self, name) - 1}) if spare[name] > 0 else None


def plan_summary(plan: Plan, colour: bool = False, width: int = 80, files: Sequence[str] = (), folder: str = "DIR",
                 everything: bool = False) -> str:
    """A plan on one screen. files: the paths that were written; folder: the scenario's, for what to type next;
    everything: all that the plan holds stands between, and the screen may scroll."""
    book = DayBook(plan)
    room: _Room | None = _Room()
    while room is not None:
        text = _laid_out(book, room, width, files, folder, everything).text(colour, width)
        if everything or text.count("\n") < MOST_LINES:
            break
        room = room.smaller()
    return text


def _laid_out(book: DayBook, room: _Room, width: int, files: Sequence[str], folder: str, everything: bool) -> Sheet:
    plan, sheet = book.plan, Sheet()
    across = f"/{(plan.year + 1) % 100:02d}" if is_south(plan.site.latitude_deg) else ""
    sheet.heading(f"{plan.site.name}, season of {plan.year}{across}")
    sheet.line(count_sentence(plan, book.pots(book.plans)))
    lacking = [each for each in plan.plants if each.lacks]
    if lacking:
        sheet.line(f"{_few([each.plant.name for each in lacking])}: {lacking[0].lacks}", "strong")
    if staying := _why_staying(plan.plants):
        sheet.line(staying)
    sheet.line(nights_line(plan.scenario.normals, plan.climate, plan.rules.units),
               "warning" if plan.scenario.normals.doubt else "quiet")
    for notice in plan.notices:
        sheet.line(notice, "warning")
    _alerts(sheet, book, room.alerts, width)
    _days(sheet, book, room, width)
    if everything:
        add_all(sheet, book)
    else:
        _moving_days(sheet, book, room.moves, width)
        _months(sheet, plan)
        _decisions(sheet, book, room.decisions, folder)
    _last(sheet, book, files, folder, everything)
    return sheet


def _why_staying(plants: Sequence[PlantPlan]) -> str:
    """Where half of the plants or more stay in all year: why, in the first clause of their reasons, those that most
    share first."""
    staying = [each for each in plants if each.status == "stays-in"]
    if 2 * len(staying) < len(plants) or not staying:
        return ""
    alike = defaultdict[str, list[str]](list)
    for each in staying:
        alike[CLAUSE.split(each.reason.removeprefix("Stays in: "), maxsplit=1)[0]].append(each.plant.name)
    most = sorted(alike.items(), key=lambda both: -len(both[1]))[:WHYS]
    told = [f"{why} ({_few(names)})." for why, names in most]
    return " ".join([*told, "The others' reasons: --all."] if len(alike) > WHYS else told)


def _rows(sheet: Sheet, rows: Sequence[tuple[str, str, str]], most: int, more: Callable[[int], str]) -> None:
    """Rows of day, time and text; what is over goes into one sentence."""
    columns = (Column("", fixed=True), Column("", figures=True), Column(""))
    sheet.table(columns, [(Cell(day, "strong"), time, text) for day, time, text in rows[:most]], heads=False)
    if len(rows) > most:
        sheet.line(more(len(rows) - most), "quiet")


def _alerts(sheet: Sheet, book: DayBook, most: int, width: int) -> None:
    alerts = sorted(book.plan.alerts_ahead, key=lambda a: (a.level != "act", a.night, a.place))
    if not alerts:
        return
    sheet.heading("Alerts")
    for alert in alerts[:most]:
        sheet.line(alert_line(alert, book.plan.rules.units), "warning" if alert.level == "act" else "plain")
    if age := alerts_age(book.plan):
        sheet.line(age, "quiet")
    if len(alerts) > most:
        sheet.line(f"and {w.counted(len(alerts) - most, 'more alert')}: seasonplan watch lists them.", "quiet")


def alert_line(alert: Alert, units: str) -> str:
    """An alert in one sentence or two: the night, how cold, what to do and by when."""
    danger = "frost" if alert.frost else "cold"
    lead = f"{w.day(alert.night)}, {danger} at {w.one_line(alert.place, NAME_MOST)}: about " \
           f"{w.temperature(alert.low_c_at_place, units)} at the plants."
    act = f" {alert.action} By {w.moment(alert.by)}." if alert.level == "act" else " Keep watch."
    return lead + act


def _days(sheet: Sheet, book: DayBook, room: _Room, width: int) -> None:
    """What is overdue, then each of the next days with work."""
    rows = []
    if book.overdue:
        since = f"since {day_words(due_day(book.overdue[0]), book.plan)}: "
        phrases = book.phrases(book.overdue)
        rows.append(("Overdue", _time(sum(s.minutes for s in book.overdue)),
                     _fit([since + phrases[0], *phrases[1:]], width, room.lines)))
    soon = book.within(AHEAD_DAYS)
    rows += [(day_words(day.date, book.plan), _time(day.minutes), _fit(_day_parts(book, day), width, room.lines))
             for day in soon]
    sheet.heading("Next two weeks")
    _rows(sheet, rows, room.days, lambda n: f"and {w.counted(n, 'more day')} with work: see the calendar or --all.")
    if not soon and book.ahead:
        first = book.ahead[0].date
        sheet.line(f"{'Nothing else' if rows else 'Nothing'} until {day_words(first, book.plan)}, in "
                   f"{w.counted((first - book.plan.today).days, 'day')}.")
    elif not soon:
        sheet.line("Nothing is left to do this season.")
    if book.on_paper:
        sheet.line("Nothing is logged this season: all until today is taken as done as planned.", "quiet")


def _time(minutes: int) -> str:
    return w.duration(minutes) if minutes else ""


def _fit(parts: Sequence[str], width: int, lines: int = 1, joiner: str = "; ") -> str:
    """What fits beside a day and a time, on so many lines; a line that is broken loses the end of its room."""
    across = max(width - DAY_WIDTH - TIME_WIDTH - 4, 20)
    return capital(fitted(parts, across + (across - BROKEN_SHORT) * (lines - 1), joiner))


def _day_parts(book: DayBook, day: WorkDay) -> list[str]:
    return [*_move_parts(book, day), *book.phrases(day.jobs), *book.phrases(day.habits)]


def _move_parts(book: DayBook, day: WorkDay) -> list[str]:
    """Moves of a day in few words: "out to porch: Big lemon, Aloe tray"; several ways count pots."""
    found: dict[tuple[str, str], list[str]] = defaultdict(list)
    for step in day.moves:
        for carry in book.carries(step):
            found[WAY_WORDS[step.kind], carry.to_place] += [each.plant.name for each in carry.plans]
    parts = []
    for (way, place), names in found.items():
        who = w.listed([w.one_line(n, NAME_MOST) for n in names]) if len(names) <= 2 else \
            w.counted(book.pots(names), "pot")
        parts.append(f"{way} to {w.one_line(place, NAME_MOST)}: {who}")
    return parts


def _moving_days(sheet: Sheet, book: DayBook, most: int, width: int) -> None:
    """Every day on which plants leave the house, change place or come back, with those it is about."""
    rows = []
    for day in book.ahead:
        for kind in ("move-out", "move", "move-in"):
            names = [name for step in day.moves if step.kind == kind for name in step.plants]
            if names and kind != "move":
                who = _fit([w.one_line(name, NAME_MOST) for name in names], width, joiner=", ")
                rows.append((day_words(day.date, book.plan), f"{book.pots(names)} {WAY_WORDS[kind]}", who))
    if rows:
        sheet.heading("Out and back in")
    _rows(sheet, rows, most, lambda n: f"and {w.counted(n, 'more wave')}: see plan.html or --all.")
    between = [day for day in book.ahead if any(step.kind == "move" for step in day.moves)]
    if between:
        first, last = (day_words(day.date, book.plan) for day in (between[0], between[-1]))
        days = f"{len(between)} days, from {first} to {last}" if len(between) > 1 else first
        sheet.line(f"Places outdoors change on {days}.", "quiet")
    cloths = [f"{w.one_line(c.place, NAME_MOST)} {c.percent} % until {w.day(c.last)} ({w.trimmed(c.area_m2)} m²)"
              for c in book.plan.cloths if c.last > book.plan.today]
    if cloths:
        sheet.line(f"Shade cloths that hang or come: {_fit(cloths, width, 2)}.", "quiet")


def _months(sheet: Sheet, plan: Plan) -> None:
    """How many things each month still to come asks for, and how long they take."""
    first, last = plan.daylight.dates[0], plan.daylight.dates[-1]

    def name(month: date) -> str:
        short = MONTH_NAMES[month.month - 1][:3]
        return short if first <= month <= last else f"{short} {month.year}:"
    said = [f"{name(month.first)} {month.things} ({w.duration(month.minutes)})"
            for month in plan.months if month.things and month.first >= plan.today.replace(day=1)]
    if said:
        sheet.line(f"Things to do by month: {', '.join(said)}.", "quiet")


def _decisions(sheet: Sheet, book: DayBook, most: int, folder: str) -> None:
    """What only the person can decide or find out."""
    plan = book.plan
    found = [skipped_line(job) for job in plan.skipped if not job.optional]
    if plan.other_summer and any(step.kind == "move-out" and step.date >= plan.today for step in plan.steps):
        other = "toward-sun" if plan.rules.summer == "in-shade" else "in-shade"
        found.append(f'{plan.other_summer} (summer = "{other}")')
    if book.half_shade:
        found.append(book.half_shade)
    found += [f"Away {w.date_span(away.first, away.until)}"
              + (" with a helper" if away.helper else " without a helper") + (f": {away.risk}" if away.risk else
                                                                              ": plan.html has the list.")
              for away in plan.helper if away.until > plan.today]
    if plan.assumptions:
        found.append(f"{w.counted(len(plan.assumptions), 'thing')} had to be assumed: --all or plan.html lists them.")
    if not found:
        return
    sheet.heading("To decide")
    sheet.table((Column("", fixed=True), Column("")), [("-", w.one_line(line, 230)) for line in found[:most]],
                heads=False)
    if len(found) > most:
        sheet.line(f"and {len(found) - most} more: --all.", "quiet")


def _few(names: Sequence[str]) -> str:
    return w.listed([w.one_line(name, NAME_MOST) for name in names], 2)


def _last(sheet: Sheet, book: DayBook, files: Sequence[str], folder: str, everything: bool) -> None:
    """Where the files are, and as the very last line what to do next."""
    sheet.line("")
    if files:
        sheet.line(f"Written to {', '.join(files)}.")
    if not everything:
        sheet.line(f"With all moves, jobs and reasons: seasonplan plan {folder} --all", "quiet")
    sheet.line(next_line(book, folder), "strong")


def next_line(book: DayBook, folder: str) -> str:
    """The one thing to do next: an alert, then what is overdue, then the next day with work."""
    today = book.plan.today
    urgent = sorted((a for a in book.plan.alerts if a.level == "act" and a.night >= today), key=lambda a: a.night)
    if urgent:
        return f"Next: by {w.moment(urgent[0].by)}: {urgent[0].action}"
    if book.overdue:
        oldest = book.overdue[0]
        if len(book.overdue) == 1:
            return (f"Next: say whether what was due on {day_words(due_day(oldest), book.plan)} was done: "
                    f"seasonplan done {folder} STEP")
        return (f"Next: say what was done of the {w.counted(len(book.overdue), 'overdue step')}, the oldest from "
                f"{day_words(due_day(oldest), book.plan)}: seasonplan done {folder} STEP")
    if not book.ahead:
        return "Next: nothing before the next season."
    day = book.ahead[0]
    wait = (day.date - today).days
    when = {0: "today", 1: "tomorrow"}.get(wait, f"in {wait} days")
    return f"Next: {day_words(day.date, book.plan)}, {when}: {fitted(_day_parts(book, day), 150, '; ')}."
