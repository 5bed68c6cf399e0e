"""A person's round over several gardens: its summary on one screen, and round.json."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from seasonplan import wording as w
from seasonplan.model import Round, RoundDay, ShoppingItem, Step
from seasonplan.outputs.daybook import Words, words_of
from seasonplan.outputs.sheet import Cell, Column, Sheet, fitted

METRIC = "metric"
MOST_LINES = 40
DAYS_MOST, SHOPPING_MOST, GARDENS_SHOWN, NAME_MOST, ROW_MOST = 20, 12, 8, 24, 110


def round_document(found: Round) -> dict:
    """round.json: every day of the round by garden, and what to buy for all."""
    return {"gardens": list(found.gardens), "minutes_per_day": found.limit_min,
            "days": [{"date": day.date.isoformat(), "minutes": day.minutes, "travel_minutes": day.travel_min,
                      "gardens": [{"site": name, "minutes": sum(s.minutes for s in steps),
                                   "steps": [s.uid for s in steps]}
                                  for name, steps in day.gardens]} for day in found.days],
            "shopping": [{"item": item.item, "amount": round(item.amount, 2), "unit": item.unit,
                          "needed_by": item.needed_by.isoformat()} for item in found.shopping]}


def round_summary(found: Round, today: date, colour: bool = False, width: int = 80, files: Sequence[str] = (),
                  everything: bool = False) -> str:
    """The coming weeks by day and garden, what the months ask for, what to buy first; at most MOST_LINES lines on a
    terminal of 80 columns."""
    text = ""
    for days in range(DAYS_MOST, 0, -1):
        text = _laid_out(found, today, days, files, everything).text(colour, width)
        if text.count("\n") < MOST_LINES:
            break
    return text


def _laid_out(found: Round, today: date, days_most: int, files: Sequence[str], everything: bool) -> Sheet:
    sheet = Sheet()
    sheet.heading(f"A round of {w.counted(len(found.gardens), 'garden')}")
    sheet.line(w.one_line(w.listed(list(found.gardens), GARDENS_SHOWN), 150))
    several = sum(len(day.gardens) > 1 for day in found.days)
    sheet.line(f"{w.counted(len(found.days), 'day')} with work, {several} of them in more than one garden; a day has "
               f"{w.duration(found.limit_min)}, the way included.")
    ahead = [day for day in found.days if day.date >= today]
    _days(sheet, ahead[:days_most], len(ahead) - days_most)
    _months(sheet, found, today)
    _shopping(sheet, [item for item in found.shopping if item.needed_by >= today])
    if files:
        sheet.line("")
        sheet.line(w.one_line(f"Written to {', '.join(files)}.", 300))
    if not everything:
        sheet.line("Each garden by itself, with all moves, jobs and reasons: the same command with --all", "quiet")
    sheet.line(_next_line(ahead, today), "strong")
    return sheet


def _next_line(ahead: Sequence[RoundDay], today: date) -> str:
    """The last line: the next day with work, and what it asks for where."""
    if not ahead:
        return "Next: nothing before the next season."
    day, wait = ahead[0], (ahead[0].date - today).days
    when = {0: "today", 1: "tomorrow"}.get(wait, f"in {wait} days")
    what = "; ".join(f"{w.one_line(name, NAME_MOST)}: {_kinds(steps, ROW_MOST)}" for name, steps in day.gardens)
    return w.one_line(f"Next: {w.day(day.date)}, {when}, {w.duration(day.minutes)}: {what}", 230)


def _days(sheet: Sheet, days: Sequence[RoundDay], more: int) -> None:
    sheet.heading("Next days")
    rows = []
    for day in days:
        for n, (name, steps) in enumerate(day.gardens):
            rows.append((Cell(w.day(day.date) if n == 0 else "", "strong"), w.duration(day.minutes) if n == 0 else "",
                         f"{w.one_line(name, NAME_MOST)}: {_kinds(steps, ROW_MOST - len(name))}"))
    sheet.table((Column("", fixed=True), Column("", figures=True), Column("")), rows, heads=False)
    if more > 0:
        sheet.line(f"and {w.counted(more, 'more day')} after that.", "quiet")


def _kinds(steps: Sequence[Step], room: int) -> str:
    """What a garden asks for in few words, the longest work first: "treat 7 plants, leach Calathea"."""
    by_words: dict[Words, list[Step]] = {}
    for step in steps:
        by_words.setdefault(words_of(step.kind), []).append(step)
    said, counted = [], False
    for words, some in sorted(by_words.items(), key=lambda each: -sum(step.minutes for step in each[1])):
        names = list(dict.fromkeys(name for step in some for name in step.plants))
        if len(names) == 1:
            who = w.one_line(names[0], NAME_MOST)
        else:
            who = str(len(names)) if counted else w.counted(len(names), "plant")
            counted = counted or words.whose
        said.append(words.said(who))
    return fitted(said, room)


def _months(sheet: Sheet, found: Round, today: date) -> None:
    """What the months still to come ask for."""
    months: dict[date, list[RoundDay]] = {}
    for day in found.days:
        if day.date >= today.replace(day=1):
            months.setdefault(day.date.replace(day=1), []).append(day)
    if not months:
        return
    sheet.heading("By month")
    told = [f"{first:%b} {w.counted(sum(len(steps) for day in days for _, steps in day.gardens), 'thing')}, "
            f"{w.duration(sum(day.minutes for day in days))}" for first, days in sorted(months.items())]
    sheet.line("; ".join(told) + ".")


def _shopping(sheet: Sheet, items: Sequence[ShoppingItem]) -> None:
    if not items:
        return
    sheet.heading("To buy for all gardens, the first needed first")
    sheet.line("; ".join(f"{w.short_day(item.needed_by)} {item.item}: {w.amount(item.amount, item.unit, METRIC)}"
                         for item in items[:SHOPPING_MOST]) + ("; ..." if len(items) > SHOPPING_MOST else "."))
