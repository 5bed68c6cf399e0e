"""What an event says: its title, and a description that reads well on a phone."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from seasonplan import wording as w
from seasonplan.model import Alert, Plant, ShadeAdvice, Step
from seasonplan.outputs.daybook import DayBook, WorkDay, capital

TITLE_MOST = 110
"""Longest title [characters]; a phone's month view shows a third of it. Our setting."""
PLACE_MOST = 110
NAME_MOST = 60
PARAGRAPH_MOST = 4000
NAMES_MOST = 60
NAMES_IN_TITLE = 2
JOBS_IN_TITLE, DAY_TITLE_MOST = 4, 90
WAY_OF_KIND = {"move-out": "Out", "move": "Move", "move-in": "In"}
OVER_TITLE = "Over: "
CANCELLED_TITLE = "Cancelled: "
CANCELLED_NOTE = "This is no longer part of the plan."
CATEGORY_OF_KIND = {"move-out": "Move out", "move": "Move", "move-in": "Move in", "day-trips": "Day trips"}
AMOUNT_NAMES = {"mix": "potting mix"}


def title_line(text: str, site: str = "") -> str:
    """A title for SUMMARY: one line without blanks at its ends, led by the site's name where several share a calendar.

    Backslashes become slashes: readers disagree about what a backslash before an n is.
    """
    whole = f"{site}: {text}" if site else text
    return w.one_line(whole.replace("\\", "/"), TITLE_MOST) or "Plants"


def place_line(place: str, site: str = "") -> str:
    """A place for LOCATION, with the site's name where several share a calendar."""
    return w.one_line(", ".join(part for part in (place, site) if part).replace("\\", "/"), PLACE_MOST)


def paragraph(text: str) -> str:
    """Somebody's text with its line breaks kept, every line safe, and the whole of a length that a reader bears."""
    lines = (w.one_line(line.replace("\\", "/")) for line in text.split("\n"))
    whole = "\n".join(line for line in lines if line)
    return whole if len(whole) <= PARAGRAPH_MOST else f"{w.one_line(whole[:PARAGRAPH_MOST])}… (the rest: see plan.html)"


def move_title(book: DayBook, step: Step) -> str:
    """"Out: Big fig, Jade and 7 more pots to porch": plants by name, since a lock screen shows little else."""
    names = [w.one_line(name, NAME_MOST) for name in step.plants[:NAMES_IN_TITLE]]
    left = book.pots(step.plants[NAMES_IN_TITLE:])
    who = f"{', '.join(names)} and {w.counted(left, 'more pot')}" if left else w.listed(names)
    places = dict.fromkeys(carry.to_place for carry in book.carries(step)) or {step.place: None}
    return f"{WAY_OF_KIND[step.kind]}: {who} to {w.listed(list(places), NAMES_IN_TITLE)}"


def move_detail(book: DayBook, step: Step) -> str:
    """Who goes from where to where, a line for each way, and the cloth to hang there."""
    lines = []
    for carry in book.carries(step):
        names = w.listed([pots_label(plan.plant) for plan in carry.plans], NAMES_MOST)
        lines.append(f"From {carry.from_place} to {carry.to_place}: {names}.{cloth_words(carry.cloth)}")
    return "\n".join(lines) or step.detail


def pots_label(plant: Plant) -> str:
    """"Big fig", "Pothos (3 pots)"."""
    name = w.one_line(plant.name, NAME_MOST)
    return name if plant.count == 1 else f"{name} ({plant.count} pots)"


def cloth_words(cloth: ShadeAdvice | None) -> str:
    if cloth is None:
        return ""
    return f" Under {cloth.percent} % shade cloth until {w.day(cloth.until)}."


def day_title(book: DayBook, day: WorkDay) -> str:
    """"Leach 18 pots, repot Big fig, treat 2: 2 h 10 min": the longest work first."""
    phrases, minutes = book.phrases(day.jobs or day.habits), sum(step.minutes for step in day.jobs)
    takes = f": {w.duration(minutes)}" if minutes else ""
    for shown in range(min(len(phrases), JOBS_IN_TITLE), 0, -1):
        more = f" and {len(phrases) - shown} more" if len(phrases) > shown else ""
        title = capital(", ".join(phrases[:shown])) + more + takes
        if len(title) <= DAY_TITLE_MOST:
            break
    return title


def day_text(book: DayBook, day: WorkDay) -> str:
    """A day's jobs as a list with their amounts, then why and what to beware of, each said once."""
    units, jobs = book.plan.rules.units, day.jobs
    minutes, start = sum(step.minutes for step in jobs), min((step.start for step in jobs if step.start), default="")
    head = [w.counted(len(jobs), "job"), f"{w.duration(minutes)} in all" if minutes else "",
            f"start about {_about(start)}" if start else ""]
    why: dict[str, list[str]] = {}
    for n, step in enumerate(jobs, 1):
        if step.why:
            why.setdefault(step.why, []).append(str(n))
    reasons = "".join(f"\n{w.listed(numbers)}: {reason}" for reason, numbers in why.items())
    return _joined([", ".join(filter(None, head)) + "." if jobs else "",
                    *(_job_paragraph(n, step, units) for n, step in enumerate(jobs, 1)),
                    _labelled("Why this day", reasons if len(jobs) > 1 else jobs[0].why if jobs else ""),
                    *map(_habit, day.habits),
                    _cautions(tuple(dict.fromkeys(c for step in jobs + day.habits for c in step.cautions)))])


def _job_paragraph(number: int, step: Step, units: str) -> str:
    """One job of a day: what, how long, where, who, how and with how much."""
    minutes = f", {w.duration(step.minutes)}" if step.minutes else ""
    minutes += ", if there is time" if step.optional else ""
    where = f", {step.place}" if step.place and step.place not in step.title else ""
    title = f"{number}. {step.title}{minutes}{where}"
    return "\n".join(filter(None, [
        title, _plants_line(step.plants, f"{title}\n{step.detail}"), step.detail,
        _labelled("Needed", w.listed([amount_text(key, value, units) for key, value in step.amounts]))]))


def step_text(step: Step, detail: str, units: str, habits: Sequence[Step] = ()) -> str:
    """What, where, which plants, why that day and how sure, how long, what is needed, what to beware of."""
    return _joined([
        detail,
        _labelled("Where", step.place),
        _plants_line(step.plants, detail),
        _labelled("Why this day", step.why),
        _time_line(step),
        _labelled("Needed", w.listed([amount_text(key, value, units) for key, value in step.amounts])),
        *map(_habit, habits),
        _cautions(tuple(dict.fromkeys(caution for each in (step, *habits) for caution in each.cautions))),
    ])


def _habit(habit: Step) -> str:
    """What begins that day and takes no time of its own."""
    return f"From now on: {habit.title}\n{habit.detail}".strip()


def _plants_line(plants: Sequence[str], detail: str) -> str:
    """The plants by name, unless the detail has already named each of them."""
    if all(name in detail for name in plants):
        return ""
    names = w.listed([w.one_line(name, NAME_MOST) for name in plants], NAMES_MOST)
    return f"{'Plant' if len(plants) == 1 else f'{len(plants)} plants'}: {names}"


def _about(start: str) -> str:
    """A clock time to the nearest five minutes: "09:28" is about 09:30."""
    return w.clock(5 * round(w.minute_of(start) / 5))


def _time_line(step: Step) -> str:
    parts = [f"start about {_about(step.start)}"] if step.start else []
    if step.minutes:
        parts.append(f"takes about {w.counted(step.minutes, 'minute')}")
    if step.due is not None and step.due[0] < step.due[1]:
        parts.append(f"any day from {w.day(step.due[0])} to {w.day(step.due[1])} would do")
    return _labelled("Time", "; ".join(parts))


def _cautions(cautions: Sequence[str]) -> str:
    return _labelled("Take care", "".join(f"\n- {caution}" for caution in cautions))


def amount_text(key: str, value: float, units: str) -> str:
    """An entry of Step.amounts for a reader: ("mix_l", 3.0) is "3 L of potting mix", ("pot_33_cm", 2.0) is "2 pots of
    33 cm", ("cloth_50_m2", 2.5) is "2.5 m² of 50 % cloth"."""
    pot = re.fullmatch(r"pot_(\d+(?:\.\d+)?)_cm", key)
    if pot:
        return f"{w.counted(value, 'pot')} of {w.length(float(pot[1]), units)}"
    cloth = re.fullmatch(r"cloth_(\d+)_m2", key)
    if cloth:
        return f"{w.trimmed(value)} m² of {cloth[1]} % cloth"
    name, _, unit = key.rpartition("_")
    amount = {"l": lambda: w.volume(value, units), "ml": lambda: w.volume(value / 1000, units),
              "kg": lambda: w.weight(value, units)}.get(unit, lambda: f"{value:g} {unit}")()
    return f"{amount} of {AMOUNT_NAMES.get(name, name.replace('_', ' '))}" if name else amount


def spell_title(alerts: Sequence[Alert], pots: Mapping[str, int]) -> str:
    """What a cold spell asks for, in few words: what must be carried comes before what stays in, that before what may
    come."""
    new, stay = ([alert for alert in alerts if alert.act and alert.stays is stays] for stays in (False, True))
    danger = "Frost" if any(alert.frost for alert in alerts) else "Cold"
    if new:
        by = min(alert.by for alert in new)
        now = "" if any(alert.alarm for alert in new) else "Now: "
        return f"{now}{danger}: {_pots(new, pots)} to safety by {w.moment(by)}"
    if stay:
        until = [alert.out_again for alert in stay if alert.out_again is not None]
        return f"{danger}: {_pots(stay, pots)} stay in" + (f" until {w.day(max(until))}" if until else "")
    return f"{danger} likely on {w.day(min(alert.night for alert in alerts))}: be ready"


def _pots(alerts: Sequence[Alert], pots: Mapping[str, int]) -> str:
    return w.counted(sum(pots.get(name, 1) for alert in alerts for name in alert.plants), "pot")


def spell_text(alerts: Sequence[Alert], units: str) -> str:
    """What to do and by when, place by place and night by night, with the figures behind it."""
    parts = []
    for alert in alerts:
        low = f"{alert.place}, night of {w.day(alert.night)}: about {w.temperature(alert.low_c_at_place, units)}"
        if alert.forecast_low_c is not None:
            low += f" (forecast for the station: {w.temperature(alert.forecast_low_c, units)})"
        chance = f"chance of {w.temperature(alert.threshold_c, units)} or colder {w.percent(alert.chance)}"
        by = f" By {w.moment(alert.by)}." if alert.act and not alert.stays else ""
        parts.append(f"{alert.action}{by} {low}, {chance}.")
    return _joined(parts)


def _labelled(label: str, text: str) -> str:
    return f"{label}: {text}" if text else ""


def _joined(parts: Iterable[str]) -> str:
    return "\n\n".join(filter(None, map(paragraph, parts)))
