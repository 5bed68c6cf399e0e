"""Days as the page and the sheet show them: who is carried from where to where, which jobs, how much, what to mind."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from seasonplan import wording as w
from seasonplan.dates import MONTH_NAMES
from seasonplan.model import Alert, Plan, Plant, Step
from seasonplan.outputs.calendar_text import amount_text, cloth_words, pots_label
from seasonplan.outputs.cautions import themes_of
from seasonplan.outputs.daybook import (
    NAME_MOST,
    Carry,
    DayBook,
    Words,
    WorkDay,
    capital,
    how_key,
    words_of,
    work_days,
)

FEW_NAMES = 4
"""Plants of a job that are named; more are counted. Moves name every plant. Our setting."""
OPEN_DAYS = 28
"""Days from today on that stand open; the rest is folded by month. Our setting."""
NOW_DAYS = 2
"""Days with work after today that the page begins with."""
NOW_ROWS = {0: 3, 1: 2}
"""Rows of each of those days, by whether an alert stands above them: a phone's first screen holds about so many."""
NAMES_NOW = 40
"""Characters of plants' names in such a row."""
LONG_LINE = 60
"""Characters from which a sentence is said once a day for jobs of the same kind."""
AS_ABOVE = "The rest as above."
LEVEL_WORDS = {"act": "Act", "keep-watch": "Keep watch"}
WAYS = {"move-out": "Out", "move": "Move", "move-in": "In"}


@dataclass(frozen=True)
class Way:
    """Plants carried from one place to another. cloth: what to hang there, a sentence or ""."""

    word: str
    names: tuple[str, ...]
    from_place: str
    to_place: str
    cloth: str


@dataclass(frozen=True)
class Job:
    """A step with its texts. own, why: what only this step says; how: anchor of what its kind says; cautions: numbers
    of their themes; tags: open since when, or that it can wait."""

    step: Step
    title: str
    place: str
    minutes: str
    own: tuple[str, ...]
    why: tuple[str, ...]
    how: str
    cautions: tuple[int, ...]
    noted: bool
    ways: tuple[Way, ...] = ()
    tags: str = ""


@dataclass(frozen=True)
class Line:
    """One thing to tick. cautions: numbers of their themes. reminder: it takes no time and no thing."""

    what: str
    how_much: str
    cautions: tuple[int, ...]
    reminder: bool = False


@dataclass(frozen=True)
class Day:
    """One day. over: its work takes more than a day has; jobs: with all there is to say, of a day soon; lines: in
    short."""

    date: date
    title: str
    minutes: str
    over: bool
    jobs: tuple[Job, ...]
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Month:
    """Days of a month that stand folded."""

    title: str
    summary: str
    days: tuple[Day, ...]


@dataclass(frozen=True)
class NowRow:
    """A job or a way in one or two short lines: what and how much; where and which plants."""

    what: str
    where: str


@dataclass(frozen=True)
class NowDay:
    """One of the first days: heading, rows, and how many more there are at the anchor."""

    title: str
    minutes: str
    rows: tuple[NowRow, ...]
    more: int
    anchor: str


@dataclass(frozen=True)
class AlertView:
    """An alert with its texts."""

    alert: Alert
    title: str
    numbers: str


def day_views(book: DayBook) -> tuple[Day, ...]:
    """Every day of the plan: those of the next four weeks with all there is to say, the others in short."""
    return _said_once([_day(book, day) for day in book.days])


def _said_once(days: Sequence[Day]) -> tuple[Day, ...]:
    """The days with what follows a colon ("scale on Lemon: look for ...") only where it is said for the first time, and
    with the sentences that two jobs of a kind share on a day only at the first of them."""
    said: set[str] = set()
    found = []
    for day in days:
        jobs, above = [], defaultdict[str, set[str]](set)
        for job in day.jobs:
            own = tuple(_without_said(line, said) for line in job.own)
            jobs.append(replace(job, own=_without_above(own, above[job.step.kind])))
            above[job.step.kind] |= {line for line in own if len(line) >= LONG_LINE}
            said |= {tail for line in job.own for tail in [line.partition(": ")[2]] if tail}
        found.append(replace(day, jobs=tuple(jobs)))
    return tuple(found)


def _without_above(lines: tuple[str, ...], above: set[str]) -> tuple[str, ...]:
    kept = tuple(line for line in lines if line not in above)
    return kept if kept == lines else (*kept, AS_ABOVE)


def _without_said(line: str, said: set[str]) -> str:
    head, _, tail = line.partition(": ")
    return f"{head}." if tail in said else line


def _day(book: DayBook, day: WorkDay) -> Day:
    soon = 0 <= (day.date - book.plan.today).days < OPEN_DAYS
    return Day(day.date, day_words(book.plan, day.date), w.duration(day.minutes) if day.minutes else "",
               day.minutes > book.plan.rules.minutes_per_day,
               tuple(job_view(book, step) for step in day.steps + day.habits) if soon else (),
               () if soon else day_lines(book, day))


def day_lines(book: DayBook, day: WorkDay) -> tuple[Line, ...]:
    """A day in short: each way that plants go, each kind of job with how much it takes."""
    lines = [line for step in day.moves for line in _moves(book, step)]
    return tuple([*lines, *_jobs(book, day.jobs + day.habits)])


def _moves(book: DayBook, step: Step) -> list[Line]:
    """A line for each place that plants go to: every plant by name, and where it comes from."""
    found: dict[str, list[Carry]] = defaultdict(list)
    for carry in book.carries(step):
        found[carry.to_place].append(carry)
    lines = []
    for place, some in found.items():
        cloths = list(dict.fromkeys(_under(carry) for carry in some))
        apart = len(cloths) > 1                # then each says its own, so that nobody hangs it over the wrong plant
        parts = [", ".join(_label(each.plant) for each in carry.plans) + f" from {carry.from_place}"
                 + (f" ({_under(carry)})" if apart and carry.cloth else "") for carry in some]
        lines.append(Line(f"{WAYS[step.kind]} to {place}: {'; '.join(parts)}", "" if apart else cloths[0],
                          themes_of(step)))
    return lines


def _under(carry: Carry) -> str:
    return f"{carry.cloth.percent} % cloth until {w.short_day(carry.cloth.until)}" if carry.cloth else ""


def _label(plant: Plant) -> str:
    name = w.one_line(plant.name, NAME_MOST)
    return name if plant.count == 1 else f"{name} ({plant.count})"


def _jobs(book: DayBook, steps: Sequence[Step]) -> list[Line]:
    """Steps of the same words are one line, the longest work first; what takes no time is one line together."""
    found: dict[Words, list[Step]] = defaultdict(list)
    for step in steps:
        if step.minutes or step.amounts:
            found[words_of(step.kind)].append(step)
    lines = [Line(_said(book, words, some), amounts_line(book.plan, some), _numbers(some))
             for words, some in sorted(found.items(), key=lambda each: -sum(step.minutes for step in each[1]))]
    rest = [step for step in steps if not step.minutes and not step.amounts]
    return [*lines, Line(capital(", ".join(book.phrases(rest))), "", _numbers(rest), True)] if rest else lines


def _said(book: DayBook, words: Words, steps: Sequence[Step]) -> str:
    """What steps of the same words ask for; of cloths what is done where, since "see to" them tells nobody anything."""
    cloths = [w.one_line(step.title) for step in steps if step.kind == "cloth"]
    return "; ".join(cloths) or capital(words.said(_who(book, steps)))


def _numbers(steps: Sequence[Step]) -> tuple[int, ...]:
    return tuple(sorted({number for step in steps for number in themes_of(step)}))


def _who(book: DayBook, steps: Sequence[Step]) -> str:
    names = list(dict.fromkeys(name for step in steps for name in step.plants))
    if len(names) <= FEW_NAMES:
        return w.listed([w.one_line(name, NAME_MOST) for name in names])
    return w.counted(book.pots(names), "pot")


def job_view(book: DayBook, step: Step) -> Job:
    """A step with its texts."""
    key = how_key(step.kind)
    ways = tuple(Way(WAYS[step.kind], tuple(pots_label(each.plant) for each in carry.plans), carry.from_place,
                     carry.to_place, cloth_words(carry.cloth)) for carry in book.carries(step)) \
        if step.kind in WAYS else ()
    own = () if ways else book.own_lines(step)
    told = step.place in step.title or any(line.startswith(w.THEY_STAND) for line in own)
    return Job(step, step.title, "" if told else step.place, w.duration(step.minutes) if step.minutes else "", own,
               book.own_reasons(step),
               how_anchor(key) if book.common_lines(step) or book.common_reasons(step) else "", themes_of(step),
               step in book.plan.steps and step not in book.open_steps, ways, _tags(step))


def _tags(step: Step) -> str:
    said = [f"open since {w.day(step.open_since)}"] if step.open_since else []
    return ", ".join([*said, *(["if there is time"] if step.optional else [])])


def how_anchor(key: str) -> str:
    """The id of a kind's instructions on the page."""
    return f"h-{w.slug(key)}"


def amounts_line(plan: Plan, steps: Iterable[Step]) -> str:
    """What some steps take together: "344 L of water and 2 pots of 33 cm"."""
    total: dict[str, float] = {}
    for step in steps:
        for key, value in step.amounts:
            total[key] = total.get(key, 0.0) + value
    return w.listed([amount_text(key, value, plan.rules.units) for key, value in total.items()])


def day_words(plan: Plan, day: date) -> str:
    """A date, with its year where that is neither the planning year nor today's."""
    return w.day(day, year=day.year not in (plan.year, plan.today.year))


def in_days(today: date, day: date) -> str:
    """"today", "tomorrow", "in 5 days"."""
    ahead = (day - today).days
    return {0: "today", 1: "tomorrow"}.get(ahead, f"in {ahead} days")


def now_days(book: DayBook) -> tuple[NowDay, ...]:
    """Today, and the next days with work, in as few words as a phone's first screen bears."""
    today = book.plan.today
    first = [day for day in book.ahead if day.date == today]
    later = [day for day in book.ahead if day.date > today][:NOW_DAYS]
    most = NOW_ROWS[min(len(book.plan.alerts_ahead), 1)]
    shown = tuple(_now_day(book, day, most) for day in [*first, *later])
    return shown if first else (NowDay(f"Today, {w.day(today)}", "", (), 0, ""), *shown)


def _now_day(book: DayBook, day: WorkDay, most: int) -> NowDay:
    rows = [row for step in day.moves for row in _way_rows(book, step)]
    alike: dict[tuple[Words | str, str], list[Step]] = defaultdict(list)
    for step in day.jobs:
        alike[step.uid if step.kind == "cloth" else words_of(step.kind), step.place].append(step)
    rows += [_job_row(book, steps) for steps in
             sorted(alike.values(), key=lambda steps: -sum(step.minutes for step in steps))]
    rows = rows or [NowRow(f"From then on: {phrase}", "") for phrase in book.phrases(day.habits)]
    when = in_days(book.plan.today, day.date)
    title = f"Today, {w.day(day.date)}" if when == "today" else f"{day_words(book.plan, day.date)}, {when}"
    return NowDay(title, w.duration(day.minutes) if day.minutes else "", tuple(rows[:most]), max(len(rows) - most, 0),
                  f"d-{day.date}")


def _way_rows(book: DayBook, step: Step) -> list[NowRow]:
    return [NowRow(f"{WAYS[step.kind]} to {carry.to_place}"
                   + (f", {carry.cloth.percent} % cloth" if carry.cloth else ""),
                   f"{_names([each.plant.name for each in carry.plans])}, from {carry.from_place}")
            for carry in book.carries(step)]


def _job_row(book: DayBook, steps: Sequence[Step]) -> NowRow:
    """Steps of the same words at one place."""
    amount, place = amounts_line(book.plan, steps), steps[0].place
    what = capital(book.phrases(steps)[0])
    plants = list(dict.fromkeys(name for step in steps for name in step.plants))
    return NowRow(f"{what}: {amount}" if amount else what,
                  place if len(plants) == 1 else f"{place}: {_names(plants)}")


def _names(names: Sequence[str]) -> str:
    """As many names as a short row bears, and how many more there are."""
    for shown in range(min(len(names), NAMES_NOW), 1, -1):
        more = f" and {len(names) - shown} more" if shown < len(names) else ""
        text = ", ".join(names[:shown]) + more
        if len(text) <= NAMES_NOW:
            return text
    return w.one_line(names[0], NAMES_NOW) + (f" and {len(names) - 1} more" if len(names) > 1 else "")


def near_and_far(plan: Plan, days: Sequence[Day]) -> tuple[tuple[Day, ...], tuple[Day, ...], tuple[Month, ...]]:
    """(days that are past, the days of the next four weeks, the months after them)."""
    end = plan.today + timedelta(days=OPEN_DAYS)
    past = tuple(day for day in days if day.date < plan.today)
    near = tuple(day for day in days if plan.today <= day.date < end)
    months: dict[tuple[int, int], list[Day]] = {}
    for day in days:
        if day.date >= end:
            months.setdefault((day.date.year, day.date.month), []).append(day)
    return past, near, tuple(_month(plan, *key, found) for key, found in months.items())


def _month(plan: Plan, year: int, month: int, days: Sequence[Day]) -> Month:
    minutes_by_day = {day.date: day.minutes for day in work_days(plan.steps)}
    minutes = sum(minutes_by_day.get(day.date, 0) for day in days)
    name = MONTH_NAMES[month - 1] + ("" if year == plan.year else f" {year}")
    return Month(name, f"{w.counted(len(days), 'day')}, {w.duration(minutes)}", tuple(days))


def alert_views(plan: Plan) -> tuple[AlertView, ...]:
    """The plan's alerts in night order, of a night what is to be carried first."""
    return tuple(_alert_view(alert, plan.rules.units)
                 for alert in sorted(plan.alerts_ahead, key=lambda a: (a.night, a.stays)))


def _alert_view(alert: Alert, units: str) -> AlertView:
    low = w.temperature(alert.low_c_at_place, units)
    forecast = "" if alert.forecast_low_c is None else \
        f", from a forecast of {w.temperature(alert.forecast_low_c, units)}"
    title = f"{LEVEL_WORDS[alert.level]}: night of {w.day(alert.night)}, {alert.place}" + \
        (", frost possible" if alert.frost else "")
    level = w.temperature(alert.threshold_c, units)
    numbers = (f"Low at the plants {low}{forecast}; allowing for error and for what is usual then, "
               f"chance of {level} or less: {w.percent(alert.chance)}. "
               f"Do it by {w.moment(alert.by)}.")
    return AlertView(alert, title, numbers)
