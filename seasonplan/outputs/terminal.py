"""What a person reads in the terminal: what to do next, then why. Returns text; the command line prints it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date

from seasonplan import wording as w
from seasonplan.dates import is_south
from seasonplan.model import Alert, OutlookNight, Plan, PlantPlan, Scenario, ShoppingItem, Step, WatchReport
from seasonplan.outputs.page_groups import is_noted, pots, threshold_groups
from seasonplan.outputs.sheet import Cell, Column, Sheet
from seasonplan.outputs.terminal_tables import catalogue_table, light_table, nights_table
from seasonplan.outputs.trade import days_gained, extra_nights

__all__ = ["catalogue_table", "check_text", "light_table", "nights_table", "plan_summary", "watch_text"]

WIDTH = 80
NEXT_STEPS = 5
DAYS_SHOWN = 10
NAMES_SHOWN = 12
NAME_MOST = 40
REASON_MOST = 200
DETAIL_MOST = 600
"""How much the summary shows before it points to the calendar and the page. Our settings."""
SEVERAL_PLACES = " + "
"""Between the places of a step that has several."""
MOVES = {"move-out": "Out", "move": "Move", "move-in": "In"}
STATUS_WORDS = {"moves": "moves out and back", "stays-in": "stays in", "stays-out": "stays out all year",
                "day-trips": "goes out for the day"}
STATUS_WORDS_MANY = {"moves": "move out and back", "stays-in": "stay in", "stays-out": "stay out all year",
                     "day-trips": "go out for the day"}
WORTH_SHOWING = 0.005
"""Chances below this on every night are not listed."""
DAY, TEXT = Column("", fixed=True), Column("")


def plan_summary(plan: Plan, colour: bool = False, width: int = WIDTH) -> str:
    """A plan on one sheet: alerts, what to do next, moves, who stays, days of work, shopping, the trade between the
    policies, what did not fit, and what was assumed."""
    sheet = Sheet()
    across = f"/{(plan.year + 1) % 100:02d}" if is_south(plan.site.latitude_deg) else ""
    sheet.heading(f"{plan.site.name}, season of {plan.year}{across}")
    sheet.line(_count_sentence(plan))
    _alerts(sheet, plan.alerts, plan.rules.units)
    _next(sheet, plan)
    _moves(sheet, plan)
    _stayers(sheet, plan.plants)
    _days(sheet, plan)
    _shopping(sheet, plan.shopping, plan.rules.units)
    _trade(sheet, plan)
    _bullets(sheet, "Did not fit, or makes a day run over",
             [f"{_kind(job.kind)} of {_names(job.plants)}: {job.reason} {job.remedy}" for job in plan.skipped])
    _bullets(sheet, "Assumed", plan.assumptions)
    return sheet.text(colour, width)


def check_text(scenario: Scenario, folder: str, colour: bool = False, width: int = WIDTH) -> str:
    """What was read, for a scenario without faults."""
    plants, site = scenario.plants, scenario.site
    outdoors = sum(place.outdoors for place in scenario.places)
    count = sum(plant.count for plant in plants)
    sheet = Sheet()
    sheet.heading(f"{folder}: {site.name}, all in order")
    record = f", a record of {len(scenario.record.dates)} nights" if scenario.record is not None else ""
    spread = "with" if scenario.normals.tmin_sd_c is not None else "without"
    sheet.line(f"{w.counted(len(plants), 'plant')} in {w.counted(count, 'pot')}; "
               f"{w.counted(len(scenario.places) - outdoors, 'place')} indoors and {outdoors} outdoors; normals from "
               f"{scenario.normals.source} {spread} standard deviations{record}; "
               f"{w.counted(len(scenario.log), 'log entry', 'log entries')}.")
    _bullets(sheet, "Assumed", [*scenario.assumptions, *(note for place in scenario.places for note in place.assumed)])
    return sheet.text(colour, width)


def watch_text(report: WatchReport, units: str, colour: bool = False, width: int = WIDTH) -> str:
    """What `watch` found: what needs doing, advice on planned days, and the outlook in three spans."""
    sheet = Sheet()
    issued = f", issued {report.issued}" if report.issued else ""
    sheet.heading(f"{report.site}: nights ahead")
    sheet.line(f"From {report.source or 'the night normals alone'}{issued}.", "quiet")
    for note in report.notes:
        sheet.line(note, "warning")
    if not any(alert.level == "act" for alert in report.alerts):
        sheet.line("Nothing needs doing tonight or on the nights ahead, as far as can be told.")
    _alerts(sheet, report.alerts, units)
    _bullets(sheet, "Planned days", report.advice)
    _outlook(sheet, report.outlook, units)
    return sheet.text(colour, width)


def _count_sentence(plan: Plan) -> str:
    by_status: dict[str, list[PlantPlan]] = defaultdict(list)
    for each in plan.plants:
        by_status[each.status].append(each)
    parts = [f"{len(group)} {(STATUS_WORDS if len(group) == 1 else STATUS_WORDS_MANY)[status]}"
             for status, group in by_status.items()]
    return (f"{w.counted(len(plan.plants), 'plant')} in {w.counted(pots(plan.plants), 'pot')}: {w.listed(parts)}. "
            f"Policy: {plan.rules.policy}.")


def _alerts(sheet: Sheet, alerts: Sequence[Alert], units: str) -> None:
    if not alerts:
        return
    sheet.heading("Alerts")
    rows = []
    for alert in sorted(alerts, key=lambda a: (a.night, a.level, a.place)):
        lead = ("Frost" if alert.frost else "Cold") + (": act" if alert.level == "act" else ": keep watch")
        figures = (f"about {w.temperature(alert.low_c_at_place, units)} at the plants; allowing for error, a chance "
                   f"of {w.percent(alert.chance)} of {w.temperature(alert.threshold_c, units)} or colder")
        plants = "" if all(name in alert.action for name in alert.plants) else f": {_names(alert.plants)}"
        rows.append((Cell(f"{w.day(alert.night)}\n{lead}", "warning" if alert.level == "act" else "plain"),
                     f"{alert.action}\n{alert.place}, {figures}{plants}. By {w.moment(alert.by)}."))
    sheet.table((DAY, TEXT), rows, heads=False)


def _next(sheet: Sheet, plan: Plan) -> None:
    log = plan.scenario.log
    open_steps = [step for step in plan.steps if not is_noted(step, log)]
    past = [step for step in open_steps if step.date < plan.today]
    ahead = [step for step in open_steps if step.date >= plan.today]
    sheet.heading("Next")
    if not ahead:
        sheet.line("Nothing is left to do this season.")
    sheet.table((DAY, TEXT), [(Cell(_day(step.date, plan), "strong"), _next_text(step))
                              for step in ahead[:NEXT_STEPS]], heads=False)
    if past:
        sheet.line(f"Not in log.csv: {w.counted(len(past), 'step')} from before {_day(plan.today, plan)}. Note what "
                   "was done with: seasonplan done DIR STEP", "quiet")


def _next_text(step: Step) -> str:
    minutes = f", {w.duration(step.minutes)}" if step.minutes else ""
    return f"{w.one_line(step.title, REASON_MOST)}{minutes}\nSTEP {step.uid.partition('@')[0]}"


def _moves(sheet: Sheet, plan: Plan) -> None:
    steps = [step for step in plan.steps if step.kind in MOVES and step.date >= plan.today]
    if not steps:
        return
    sheet.heading("Moves to come")
    rows = []
    for step in steps:
        why = "" if step.kind == "move" else "\n" + w.one_line(step.why.partition("\n")[0], REASON_MOST)
        rows.append((Cell(_day(step.date, plan), "strong"), _move_text(step) + why))
    sheet.table((DAY, TEXT), rows, heads=False)


def _move_text(step: Step) -> str:
    """Who goes where; where they part ways, as the step's own detail says it."""
    if SEVERAL_PLACES in step.place:
        return f"{MOVES[step.kind]}: {w.one_line(step.detail, DETAIL_MOST)}"
    return f"{MOVES[step.kind]} to {w.one_line(step.place, NAME_MOST)}: {_names(step.plants)}"


def _stayers(sheet: Sheet, plants: Iterable[PlantPlan]) -> None:
    groups: dict[tuple[str, str], list[str]] = defaultdict(list)
    for each in plants:
        if each.status != "moves":
            groups[each.status, each.reason].append(each.plant.name)
    _bullets(sheet, "Not moving", [
        f"{_names(names)}: {(STATUS_WORDS if len(names) == 1 else STATUS_WORDS_MANY)[status]}. "
        f"{w.one_line(reason, REASON_MOST)}" for (status, reason), names in groups.items()])


def _days(sheet: Sheet, plan: Plan) -> None:
    days: dict[date, list[Step]] = defaultdict(list)
    for step in plan.steps:
        if step.date >= plan.today:
            days[step.date].append(step)
    if not days:
        return
    sheet.heading("Days of work")
    rows = [(_day(day, plan), _minutes(steps), "\n".join(w.one_line(step.title, REASON_MOST) for step in steps))
            for day, steps in sorted(days.items())[:DAYS_SHOWN]]
    sheet.table((Column("Day", fixed=True), Column("Time", figures=True), Column("What")), rows)
    if len(days) > DAYS_SHOWN:
        more = len(days) - DAYS_SHOWN
        sheet.line(f"and {w.counted(more, 'more day', 'more days')}, the last on {_day(max(days), plan)}: see the "
                   "calendar or plan.html.", "quiet")


def _minutes(steps: Iterable[Step]) -> str:
    minutes = sum(step.minutes for step in steps)
    return w.duration(minutes) if minutes else ""


def _shopping(sheet: Sheet, items: Sequence[ShoppingItem], units: str) -> None:
    if not items:
        return
    sheet.heading("To buy or have at hand")
    sheet.table((Column("Amount", figures=True), Column("What"), Column("By", fixed=True), Column("Note")),
                [(w.amount(item.amount, item.unit, units), item.item, w.day(item.needed_by), item.note)
                 for item in items])


def _trade(sheet: Sheet, plan: Plan) -> None:
    """Careful against carry-in for each group of plants with the same thresholds, by the first of it that moves."""
    lines = []
    for group in threshold_groups(plan):
        gained = days_gained(group.leader)
        if gained is None:
            continue
        out, back = group.leader.out, group.leader.back
        names = _names([each.plant.name for each in group.plans if days_gained(each) is not None])
        lines.append(f"{names}: careful {_span(out.careful, back.careful)}; carry-in "
                     f"{_span(out.carry_in, back.carry_in)}: {_gain_words(sum(gained), extra_nights(plan, group))}.")
    _bullets(sheet, "Careful or carry-in", lines)


def _span(start: date | None, end: date | None) -> str:
    return f"{w.day(start)} to {w.day(end)}" if start and end else ""


def _gain_words(days: int, nights: float | None) -> str:
    if days == 0:
        return "no difference"
    more = f"{w.counted(abs(days), 'day')} {'more' if days > 0 else 'fewer'} outdoors"
    if days < 0 or nights is None:
        return more
    return f"{more} for about {w.counted(round(nights, 1), 'night')} carried in"


def _outlook(sheet: Sheet, nights: Sequence[OutlookNight], units: str) -> None:
    """For each threshold the highest chance of a single night in three spans, at the place where it is highest."""
    if not nights:
        return
    first = min(night.night for night in nights)
    worst: dict[float, dict[str, list[float]]] = defaultdict(lambda: defaultdict(lambda: [0.0, 0.0, 0.0]))
    for night in nights:
        days = (night.night - first).days
        span = 0 if days < 3 else 1 if days < 10 else 2
        chances = worst[night.threshold_c][night.place]
        chances[span] = max(chances[span], night.chance_harm)
    rows = []
    for threshold_c, places in sorted(worst.items()):
        place = max(places, key=lambda name: max(places[name]))
        if max(places[place]) >= WORTH_SHOWING:
            rows.append((w.temperature(threshold_c, units), *map(w.percent, places[place]),
                         w.one_line(place, NAME_MOST)))
    sheet.heading("Outlook: highest chance of a night this cold at the plants")
    if not rows:
        sheet.line("Under 1 % on any night for every plant outdoors.")
    sheet.table((Column("At or below", figures=True), Column("nights 1 to 3", figures=True),
                 Column("4 to 10", figures=True), Column("after", figures=True), Column("at the coldest place")), rows)


def _bullets(sheet: Sheet, heading: str, lines: Iterable[str]) -> None:
    lines = list(lines)
    if lines:
        sheet.heading(heading)
    sheet.table((Column("", fixed=True), TEXT), [("-", line) for line in lines], heads=False)


def _names(names: Sequence[str]) -> str:
    return w.listed([w.one_line(name, NAME_MOST) for name in names], NAMES_SHOWN)


def _kind(kind: str) -> str:
    return kind.replace("-", " ").capitalize()


def _day(day: date, plan: Plan) -> str:
    """A date, with its year where that is neither the planning year nor today's."""
    return w.day(day, year=day.year not in (plan.year, plan.today.year))
