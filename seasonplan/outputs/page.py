"""The plan as one self-contained HTML page, and the index page over several gardens.

Nothing is fetched, nothing runs: one file with its styles and pictures inside, to read on a phone or to print.
"""

from __future__ import annotations

import unicodedata
from collections import defaultdict
from collections.abc import Sequence
from datetime import date
from functools import cache
from importlib import resources
from typing import Any
from urllib.parse import quote

from jinja2 import Environment, FunctionLoader, StrictUndefined
from markupsafe import Markup, escape

from seasonplan import wording as w
from seasonplan.model import Plan
from seasonplan.outputs import page_tables as rows
from seasonplan.outputs.cautions import themes
from seasonplan.outputs.daybook import DayBook, alerts_age, capital, due_day
from seasonplan.outputs.page_days import (
    FEW_NAMES,
    AlertView,
    alert_views,
    day_views,
    how_anchor,
    in_days,
    near_and_far,
    now_days,
)
from seasonplan.outputs.page_groups import groups_that_go, pots
from seasonplan.outputs.page_plants import plant_views
from seasonplan.outputs.pictures_light import light_rows
from seasonplan.outputs.pictures_season import group_rows, nights_picture, place_rows, work_picture
from seasonplan.units import FULL_SUN_HOUR_MOL

FEW_ROWS = 8
"""A table of up to this many rows stays on one sheet of paper."""
MOST_NAMES, MOST_IN_HEADING = 40, 12
"""Plants named at a step and in a heading before the rest folds away."""
NOT_LOOKED = "Nobody has looked at its nights lately: seasonplan watch."
INDEX_DAYS = 7
"""Days with work that the index begins with."""


def render_page(plan: Plan) -> str:
    """The whole plan as an HTML document. Same plan, same text."""
    book = DayBook(plan)
    return environment().get_template("page.j2").render(
        _now(book) | _work(book) | _pictures(book) | _notes(plan), title=title_of(plan), css=css("page.css"),
        sections=_sections(book), plants=plant_views(book), plants_lead=_plants_lead(book))


def title_of(plan: Plan) -> str:
    """The garden and its season."""
    return f"{plan.site.name}: season {season_words(plan)}"


def _now(book: DayBook) -> dict[str, Any]:
    return {"today": w.day(book.plan.today, year=True), "alerts": alert_views(book.plan),
            "alerts_age": alerts_age(book.plan), "now_days": now_days(book),
            "overdue": overdue_words(book), "on_paper": book.on_paper}


def overdue_words(book: DayBook) -> str:
    """What is overdue in one sentence; empty where nothing is."""
    if not book.overdue:
        return ""
    minutes = sum(step.minutes for step in book.overdue)
    phrases = book.phrases(book.overdue)
    more = f" and {len(phrases) - 3} more" if len(phrases) > 3 else ""
    return (f"{', '.join(phrases[:3])}{more}, since {w.day(due_day(book.overdue[0]))}"
            + (f"; {w.duration(minutes)} in all." if minutes else "."))


def _work(book: DayBook) -> dict[str, Any]:
    plan = book.plan
    past, near, months = near_and_far(plan, day_views(book))
    how = [(how_anchor(key), capital(key), book.how.get(key, ()), book.why.get(key, ()))
           for key in sorted({*book.how, *book.why})]
    return {"past": past, "near": near, "months": months, "how": how, "themes": themes(plan.steps),
            "skipped_rows": rows.skipped_rows(plan), "shopping_rows": rows.shopping_rows(plan),
            "lead": _work_lead(plan), "away": plan.helper, "date_span": w.date_span, "day_of": w.day}


def _work_lead(plan: Plan) -> str:
    minutes = sum(step.minutes for step in plan.steps)
    days = len({step.date for step in plan.steps})
    return (f"{w.counted(days, 'day')} with work, {w.duration(minutes)} in all; a day has "
            f"{w.duration(plan.rules.minutes_per_day)}. {_policy_words(plan)}")


def _pictures(book: DayBook) -> dict[str, Any]:
    plan, groups = book.plan, groups_that_go(book.plan)
    return {"nights": nights_picture(plan, groups), "group_rows": group_rows(plan, groups),
            "degrees": "°F" if plan.rules.units == w.IMPERIAL else "°C", "work": work_picture(book),
            "place_rows": place_rows(book), "light": light_rows(plan), "full_sun": w.light(FULL_SUN_HOUR_MOL)}


def _notes(plan: Plan) -> dict[str, Any]:
    taxa = rows.taxon_rows(plan)
    return {"assumptions": plan.assumptions, "notices": plan.notices, "taxon_rows": taxa,
            "sources": (rows.night_source(plan), *rows.METHOD_SOURCES), "citations": rows.citations(taxa)}


def render_index(plans: Sequence[tuple[str, Plan]]) -> str:
    """One page over several gardens: their next days together, alerts, and a link to each garden's page.

    plans: (address of the garden's page relative to this one, its plan) in the order to show.
    """
    books = [(href, DayBook(plan)) for href, plan in plans]
    return environment().get_template("page_index.j2").render(
        css=css("page.css"), title="Gardens by day", lead=_index_lead(plans),
        today=w.day(max(plan.today for _, plan in plans), year=True) if plans else "", days=_next_days(books),
        site_rows=[_site_row(href, book) for href, book in books], alerts=_alerts_by_garden(plans))


def _alerts_by_garden(plans: Sequence[tuple[str, Plan]]) -> list[tuple[str, tuple[AlertView, ...], str]]:
    """(garden, its alerts, when `watch` last looked at its nights); none where it looked at no garden."""
    found = [(plan.site.name, alert_views(plan), alerts_age(plan)) for _, plan in plans]
    return [(name, views, age or NOT_LOOKED) for name, views, age in found] if any(v or age for _, v, age in found) \
        else []


@cache
def environment() -> Environment:
    """The templates of this room. Everything that they are given is escaped."""
    made = Environment(autoescape=True, undefined=StrictUndefined, loader=FunctionLoader(_text), trim_blocks=True,
                       lstrip_blocks=True)
    made.filters["own_way"] = own_way
    made.globals.update(few_rows=FEW_ROWS, most_names=MOST_NAMES, few_names=FEW_NAMES, most_in_heading=MOST_IN_HEADING)
    return made


def own_way(name: str) -> Markup:
    """Somebody's words, kept apart where they run from right to left."""
    apart = any(unicodedata.bidirectional(char) in ("R", "AL", "AN") for char in name)
    return Markup(f"<bdi>{escape(name)}</bdi>") if apart else escape(name)


def _text(name: str) -> str:
    return resources.files(__package__).joinpath(name).read_text(encoding="utf-8")


def css(name: str) -> Markup:
    """A style sheet of this room, to stand inside a page."""
    return Markup(_text(name))


def season_words(plan: Plan) -> str:
    """"2027", or "2027/28" where the planning year runs over New Year."""
    last = plan.daylight.dates[-1]
    return str(plan.year) if last.year == plan.year else f"{plan.year}/{last.year % 100:02d}"


def _policy_words(plan: Plan) -> str:
    rules = plan.rules
    if rules.policy == "careful":
        return (f"Careful: plants go out once the chance of any harmful night before midsummer is down to "
                f"{w.percent(rules.harm_risk)}, and come back before it is higher again.")
    return (f"Carry-in: plants go out while up to {w.counted(rules.carry_in_nights, 'harmful night')} may still come "
            f"at each end of the season, on which they are carried in, and the chance of a freeze is at most "
            f"{w.percent(rules.freeze_risk)}.")


def _sections(book: DayBook) -> list[tuple[str, str]]:
    found = [("days", "Days"), ("how", "How"), ("cautions", "Mind"), ("nights", "Nights"), ("garden", "Garden"),
             ("away", "Away"), ("plants", "Plants"), ("skipped", "Did not fit"), ("shopping", "Shopping"),
             ("light", "Light"), ("notes", "Sources")]
    missing = {"skipped": not book.plan.skipped, "away": not book.plan.helper, "light": not book.plan.plants,
               "how": not book.how and not book.why}
    return [each for each in found if not missing.get(each[0], False)]


def _plants_lead(book: DayBook) -> str:
    plan = book.plan
    moving = [each for each in plan.plants if each.status == "moves"]
    return (f"{w.counted(len(plan.plants), 'plant')} in {w.counted(pots(plan.plants), 'pot')}, of which "
            f"{pots(moving)} go out. Plants that go the same way stand together."
            + "".join(f" {line}" for line in (plan.other_summer, book.half_shade) if line))


def _index_lead(plans: Sequence[tuple[str, Plan]]) -> str:
    total = sum(pots(plan.plants) for _, plan in plans)
    return f"{w.counted(len(plans), 'garden')}, {w.counted(total, 'pot')}."


def _link(href: str, text: str) -> Markup:
    return Markup(f'<a href="{escape(quote(href))}"><bdi>{escape(text)}</bdi></a>')


def _next_days(books: Sequence[tuple[str, DayBook]]) -> list[tuple[str, str, list[tuple[Markup, str]]]]:
    """(day, minutes of all gardens, what each garden asks for) of the next days with work, soonest first."""
    found: dict[date, list[tuple[str, DayBook, Any]]] = defaultdict(list)
    for href, book in books:
        for day in book.ahead:
            found[day.date].append((href, book, day))
    days = []
    for when in sorted(found)[:INDEX_DAYS]:
        each = found[when]
        minutes = sum(day.minutes for _, _, day in each)
        days.append((f"{w.day(when)}, {in_days(each[0][1].plan.today, when)}", w.duration(minutes) if minutes else "",
                     [(_link(href, book.plan.site.name), capital(", ".join(book.phrases(day.steps or day.habits))))
                      for href, book, day in each]))
    return days


def _site_row(href: str, book: DayBook) -> list[str]:
    """[garden, pots, first out, last in, next work, work left]."""
    plan, groups = book.plan, groups_that_go(book.plan)
    first = w.day(min(group.stay[0] for group in groups)) if groups else "—"
    last = w.day(max(group.stay[1] for group in groups)) if groups else "—"
    soonest = book.ahead[0].date if book.ahead else None
    when = "none left" if soonest is None else f"{w.day(soonest)} ({in_days(plan.today, soonest)})"
    return [_link(href, plan.site.name), str(pots(plan.plants)), first, last, when,
            w.duration(sum(day.minutes for day in book.ahead))]
