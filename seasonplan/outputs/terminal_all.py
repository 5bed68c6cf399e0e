"""The rest of a plan for the terminal (`plan --all`): every move and job, who stays, shopping, the trade, what was
assumed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date

from seasonplan import wording as w
from seasonplan.model import Plan, PlantPlan, ShoppingItem, SkippedJob, Step
from seasonplan.outputs.daybook import NAME_MOST, DayBook, WorkDay, capital, words_of
from seasonplan.outputs.page_groups import groups_that_go
from seasonplan.outputs.sheet import Cell, Column, Sheet
from seasonplan.outputs.trade import days_gained, extra_nights

NAMES_SHOWN = 12
NAMES_IN_SHORT = 2
STATUS_WORDS = {"moves": "moves out and back", "stays-in": "stays in", "stays-out": "stays out all year",
                "day-trips": "goes out for the day"}
STATUS_WORDS_MANY = {"moves": "move out and back", "stays-in": "stay in", "stays-out": "stay out all year",
                     "day-trips": "go out for the day"}
WAYS = {"move-out": "Out", "move": "Move", "move-in": "In"}
DAY, TEXT = Column("", fixed=True), Column("")


def add_all(sheet: Sheet, book: DayBook) -> None:
    """Everything that the short summary leaves out."""
    plan = book.plan
    _moves(sheet, book)
    _jobs(sheet, plan, book.ahead)
    _stayers(sheet, plan.plants)
    _shopping(sheet, plan.shopping, plan.rules.units)
    _trade(sheet, plan)
    for away in plan.helper:
        bullets(sheet, f"Away {w.date_span(away.first, away.until)}{', with a helper' if away.helper else ''}",
                [*away.before, *(f"{w.day(day)}: {line}" for day, lines in away.days for line in lines),
                 *([away.risk] if away.risk else [])])
    bullets(sheet, "Did not fit, or makes a day run over",
            [skipped_line(job, NAMES_SHOWN) for job in plan.skipped if not job.optional])
    bullets(sheet, "Left out, without harm this year",
            [f"{_kind(job.kind)}: {names_of(job.plants)}." for job in plan.skipped if job.optional])
    bullets(sheet, "Assumed", plan.assumptions)


def count_sentence(plan: Plan, pots: int) -> str:
    """How many plants do what."""
    by_status: dict[str, int] = defaultdict(int)
    for each in plan.plants:
        by_status[each.status] += 1
    parts = [f"{n} {(STATUS_WORDS if n == 1 else STATUS_WORDS_MANY)[status]}" for status, n in by_status.items()]
    return (f"{w.counted(len(plan.plants), 'plant')} in {w.counted(pots, 'pot')}: {w.listed(parts)}. "
            f"Policy: {plan.rules.policy}.")


def _moves(sheet: Sheet, book: DayBook) -> None:
    """Who goes from where to where, and why a plant leaves or comes back that day."""
    rows = []
    for day in book.ahead:
        for step in day.moves:
            ways = [f"{WAYS[step.kind]}: {_names_with_pots(carry.plans)}, from {carry.from_place} to {carry.to_place}"
                    f"{f', under {carry.cloth.percent} % shade cloth' if carry.cloth else ''}."
                    for carry in book.carries(step)]
            why = [] if step.kind == "move" else [w.one_line(step.why.partition("\n")[0])]
            rows.append((Cell(day_words(step.date, book.plan), "strong"), "\n".join([*ways, *why, _id(step)])))
    if rows:
        sheet.heading("Moves to come")
    sheet.table((DAY, TEXT), rows, heads=False)


def _names_with_pots(plans: Iterable[PlantPlan]) -> str:
    return w.listed([name if each.plant.count == 1 else f"{name} ({each.plant.count} pots)"
                     for each in plans for name in [w.one_line(each.plant.name, 40)]])


def _id(step: Step) -> str:
    """How the log may call a step."""
    return f"STEP {step.uid.partition('@')[0]}"


def _tags(step: Step) -> str:
    """What else is to be known of a step at a glance."""
    late = f" (open since {w.day(step.open_since)})" if step.open_since else ""
    return late + (" (if there is time)" if step.optional else "")


def _jobs(sheet: Sheet, plan: Plan, days: Sequence[WorkDay]) -> None:
    rows = [(day_words(day.date, plan) if step is (day.jobs + day.habits)[0] else "",
             w.duration(step.minutes) if step.minutes else "",
             f"{w.one_line(step.title)}{_tags(step)}" + (f"\n{_id(step)}" if step in day.jobs else ""))
            for day in days for step in day.jobs + day.habits]
    if rows:
        sheet.heading("Jobs to come")
    sheet.table((Column("Day", fixed=True), Column("Time", figures=True), Column("What")), rows)


def _stayers(sheet: Sheet, plants: Iterable[PlantPlan]) -> None:
    groups: dict[tuple[str, str], list[str]] = defaultdict(list)
    for each in plants:
        if each.status != "moves":
            groups[each.status, each.reason].append(each.plant.name)
    bullets(sheet, "Not moving", [
        f"{names_of(names)}: {(STATUS_WORDS if len(names) == 1 else STATUS_WORDS_MANY)[status]}. "
        f"{w.one_line(reason)}" for (status, reason), names in groups.items()])


def _shopping(sheet: Sheet, items: Sequence[ShoppingItem], units: str) -> None:
    if not items:
        return
    sheet.heading("To buy or have at hand")
    sheet.table((Column("Amount", figures=True), Column("What"), Column("By", fixed=True), Column("Note")),
                [(w.amount(item.amount, item.unit, units), item.item, w.day(item.needed_by), item.note)
                 for item in items])


def _trade(sheet: Sheet, plan: Plan) -> None:
    """Careful against carry-in for each group of plants that go and come on the same terms."""
    lines = []
    for group in groups_that_go(plan):
        gained = days_gained(group.plans[0])
        if gained is not None:
            lines.append(f"{names_of(group.names)}: careful {_span(group.out.careful, group.back.careful)}; carry-in "
                         f"{_span(group.out.carry_in, group.back.carry_in)}: "
                         f"{_gain_words(sum(gained), extra_nights(group))}.")
    bullets(sheet, "Careful or carry-in", lines)


def _span(start: date | None, end: date | None) -> str:
    return f"{w.day(start)} to {w.day(end)}" if start and end else ""


def _gain_words(days: int, nights: float | None) -> str:
    if days == 0:
        return "no difference"
    more = f"{w.counted(abs(days), 'day')} {'more' if days > 0 else 'fewer'} outdoors"
    if days < 0 or nights is None:
        return more
    return f"{more} for about {w.counted(round(nights, 1), 'night')} carried in"


def bullets(sheet: Sheet, heading: str, lines: Iterable[str]) -> None:
    """Sentences under a heading; nothing where there are none."""
    lines = list(lines)
    if lines:
        sheet.heading(heading)
    sheet.table((Column("", fixed=True), TEXT), [("-", line) for line in lines], heads=False)


def skipped_line(job: SkippedJob, most: int = NAMES_IN_SHORT) -> str:
    """A job that found no day, or makes one run over, in two sentences."""
    said = words_of(job.kind).said(w.listed([w.one_line(name, NAME_MOST) for name in job.plants], most))
    said += " before coming in" if job.kind.endswith("before-in") else ""
    lead = f"{capital(said)}: " if job.kept else f"No day to {said}: "
    return f"{lead}{job.reason.rstrip('.')}. {capital(job.remedy.rstrip('.'))}."


def names_of(names: Sequence[str]) -> str:
    """Names of plants, each on one line and not too long, and how many more there are."""
    return w.listed([w.one_line(name, 40) for name in names], NAMES_SHOWN)


def _kind(kind: str) -> str:
    return kind.replace("-", " ").capitalize()


def day_words(day: date, plan: Plan) -> str:
    """A date, with its year where that is neither the planning year nor today's."""
    return w.day(day, year=day.year not in (plan.year, plan.today.year))
