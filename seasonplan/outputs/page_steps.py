"""Steps and alerts as the page shows them: what is next, and the jobs week by week."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from seasonplan import wording as w
from seasonplan.model import Alert, Plan, Step
from seasonplan.outputs.daybook import is_noted
from seasonplan.outputs.page_groups import by_week

OPEN_DAYS = 28
"""How far back a step that the log does not mention is still called open. Our setting."""
MOST_OPEN = 6
NEXT_DAYS = 3
"""Days with work that "what to do next" shows."""
LEVEL_WORDS = {"act": "Act", "keep-watch": "Keep watch"}
FEWEST_MINUTES = 1
FEW_CAUTIONS = 1
"""Cautions of up to this many sentences stand at every step; longer ones once for all alike of the same week."""


@dataclass(frozen=True)
class StepView:
    """A step with its texts. noted: the log says it was done. anchor: its id on the page. as_for: title of a step
    above it in the same list that shows the very same cautions in full, where there is one."""

    step: Step
    when: str
    minutes: str
    noted: bool
    anchor: str
    as_for: str = ""


@dataclass(frozen=True)
class Week:
    """The steps of one week. percent: how much of the week's time they take, up to 100; over: more than there is."""

    title: str
    minutes: str
    percent: int
    over: bool
    steps: tuple[StepView, ...]


@dataclass(frozen=True)
class Next:
    """open: recent steps not noted as done; days: (heading, steps) of the next days with work."""

    open: tuple[StepView, ...]
    open_left: int
    days: tuple[tuple[str, tuple[StepView, ...]], ...]
    open_days: int = OPEN_DAYS


@dataclass(frozen=True)
class AlertView:
    alert: Alert
    title: str
    numbers: str


def step_views(plan: Plan) -> tuple[StepView, ...]:
    """Every step of the plan, in date order."""
    steps = sorted(plan.steps, key=lambda step: step.date)
    return tuple(StepView(step, w.day(step.date) + (f", {step.start}" if step.start else ""),
                          w.duration(step.minutes) if step.minutes else "", is_noted(step, plan.scenario.log),
                          f"step-{n}") for n, step in enumerate(steps, 1))


def _without_repeats(views: Sequence[StepView]) -> tuple[StepView, ...]:
    """The views of one list; cautions of more than FEW_CAUTIONS sentences are shown once in it."""
    first: dict[tuple[str, ...], str] = {}
    shown = []
    for view in views:
        cautions = view.step.cautions
        shown.append(replace(view, as_for=first.get(cautions, "")))
        if len(cautions) > FEW_CAUTIONS:
            first.setdefault(cautions, view.step.title)
    return tuple(shown)


def what_next(plan: Plan, views: Sequence[StepView]) -> Next:
    """What is open and what comes on the next days with work, seen from plan.today."""
    open_views = [view for view in views if not view.noted]
    late = [v for v in open_views if plan.today - timedelta(days=OPEN_DAYS) <= v.step.date < plan.today]
    coming = [v for v in open_views if v.step.date >= plan.today]
    days = list(dict.fromkeys(v.step.date for v in coming))[:NEXT_DAYS]
    blocks = tuple((f"{w.day(day)} ({in_days(plan.today, day)})",
                    _without_repeats([v for v in coming if v.step.date == day])) for day in days)
    return Next(_without_repeats(late[-MOST_OPEN:]), max(len(late) - MOST_OPEN, 0), blocks)


def in_days(today: date, day: date) -> str:
    """"today", "tomorrow", "in 5 days"."""
    ahead = (day - today).days
    return {0: "today", 1: "tomorrow"}.get(ahead, f"in {ahead} days")


def weeks(plan: Plan, views: Sequence[StepView]) -> tuple[list[Week], list[Week]]:
    """(weeks that are wholly past, the others), each in date order."""
    by_uid = {view.step.uid: view for view in views}
    budget = max(plan.rules.minutes_per_day * (len(plan.rules.move_days) or 7), FEWEST_MINUTES)
    past: list[Week] = []
    ahead: list[Week] = []
    for monday, steps in by_week(plan.steps):
        total = sum(step.minutes for step in steps)
        week = Week(_week_title(monday, [step.date for step in steps]), f"{w.duration(total)} of work",
                    min(round(100 * total / budget), 100), total > budget,
                    _without_repeats([by_uid[step.uid] for step in steps]))
        (past if monday + timedelta(days=7) <= plan.today else ahead).append(week)
    return past, ahead


def _week_title(monday: date, days: Sequence[date]) -> str:
    if len(set(days)) == 1:
        return w.day(days[0])
    saturday = monday + timedelta(days=5)
    if min(days) >= saturday:
        return f"Weekend of {w.day(saturday)} and {w.day(saturday + timedelta(days=1))}"
    return f"Week of {w.day(monday)}"


def alert_views(plan: Plan) -> tuple[AlertView, ...]:
    """The plan's alerts in night order."""
    return tuple(_alert_view(alert, plan.rules.units) for alert in sorted(plan.alerts, key=lambda a: a.night))


def _alert_view(alert: Alert, units: str) -> AlertView:
    low = w.temperature(alert.low_c_at_place, units)
    forecast = "" if alert.forecast_low_c is None else \
        f", from a forecast of {w.temperature(alert.forecast_low_c, units)}"
    title = f"{LEVEL_WORDS[alert.level]}: night of {w.day(alert.night)}, {alert.place}" + \
        (", frost possible" if alert.frost else "")
    level = w.temperature(alert.threshold_c, units)
    numbers = (f"Expected low at the plants {low}{forecast}; allowing for error, chance of {level} or less: "
               f"{w.percent(alert.chance)}. "
               f"Do it by {w.moment(alert.by)}.")
    return AlertView(alert, title, numbers)
