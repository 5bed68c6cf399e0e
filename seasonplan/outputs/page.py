"""The plan as one self-contained HTML page, and the index page over several sites.

Nothing is fetched, nothing runs: one file with its styles and charts inside, to read on a phone, print or hang up.
"""

from __future__ import annotations

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
from seasonplan.outputs.charts import our_style
from seasonplan.outputs.page_charts import chance_chart, glance_chart, light_chart
from seasonplan.outputs.page_groups import Group, pots, threshold_groups, waves
from seasonplan.outputs.page_routes import route_views
from seasonplan.outputs.page_steps import alert_views, in_days, step_views, weeks, what_next
from seasonplan.units import FULL_SUN_HOUR_MOL

MOST_NEXT_ROWS = 15
MOST_TITLES = 3
FEW_ROWS = 8
"""A table of up to this many rows stays on one sheet of paper."""
MOST_NAMES, MOST_IN_HEADING = 40, 12
"""Plants named at a step and in the heading of a route before the rest folds away."""


def render_page(plan: Plan) -> str:
    """The whole plan as an HTML document. Same plan, same text."""
    groups = threshold_groups(plan)
    with our_style():
        charts = {"glance": glance_chart(plan, groups), "chance": chance_chart(plan, groups),
                  "light": light_chart(plan)}
    return _environment().get_template("page.j2").render(
        charts | _top(plan) | _nights(plan, groups) | _work(plan) | _plants(plan) | _notes(plan), css=_css())


def _top(plan: Plan) -> dict[str, Any]:
    return {"title": f"{plan.site.name}: season {season_words(plan)}", "lead": _policy_words(plan),
            "facts": _facts(plan), "sections": _sections(bool(plan.skipped)), "today": w.day(plan.today, year=True),
            "alerts": alert_views(plan)}


def _nights(plan: Plan, groups: Sequence[Group]) -> dict[str, Any]:
    return {"wave_rows": rows.wave_rows(plan), "chance_lead": _chance_lead(plan), "trade_heads": rows.TRADE_HEADS,
            "trade_rows": rows.trade_rows(plan, [group for group in groups if group.moves])}


def _work(plan: Plan) -> dict[str, Any]:
    views = step_views(plan)
    past, ahead = weeks(plan, views)
    return {"next": what_next(plan, views), "past_weeks": past, "weeks": ahead,
            "budget": w.duration(plan.rules.minutes_per_day), "skipped_rows": rows.skipped_rows(plan),
            "shopping_rows": rows.shopping_rows(plan)}


def _plants(plan: Plan) -> dict[str, Any]:
    return {"routes": route_views(plan), "stay_rows": rows.stay_rows(plan), "full_sun": w.light(FULL_SUN_HOUR_MOL),
            "plants_caption": _plants_caption(plan), "plant_heads": rows.PLANT_HEADS,
            "plant_rows": rows.plant_rows(plan)}


def _notes(plan: Plan) -> dict[str, Any]:
    taxa = rows.taxon_rows(plan)
    return {"assumptions": plan.assumptions, "cautions": rows.cautions(plan), "taxon_rows": taxa,
            "sources": (rows.night_source(plan), *rows.METHOD_SOURCES), "citations": rows.citations(taxa)}


def render_index(plans: Sequence[tuple[str, Plan]]) -> str:
    """One page over several sites: what is next where, alerts, and a link to each site's page.

    plans: (address of the site's page relative to this one, its plan) in the order to show.
    """
    return _environment().get_template("page_index.j2").render(
        css=_css(), title="Season plans", lead=_index_lead(plans),
        today=w.day(max((plan.today for _, plan in plans), default=date.min), year=True) if plans else "",
        next_rows=_next_rows(plans), site_rows=[_site_row(href, plan) for href, plan in plans],
        alerts=[(plan.site.name, view) for _, plan in plans for view in alert_views(plan)])


@cache
def _environment() -> Environment:
    environment = Environment(autoescape=True, undefined=StrictUndefined, loader=FunctionLoader(_text),
                              trim_blocks=True, lstrip_blocks=True)
    environment.globals.update(few_rows=FEW_ROWS, most_names=MOST_NAMES, most_in_heading=MOST_IN_HEADING)
    return environment


def _text(name: str) -> str:
    return resources.files(__package__).joinpath(name).read_text(encoding="utf-8")


def _css() -> Markup:
    return Markup(_text("page.css"))


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


def _facts(plan: Plan) -> list[tuple[str, str]]:
    moving = [p for p in plan.plants if p.status == "moves"]
    facts = [("Pots", f"{pots(plan.plants)}, of which {pots(moving)} go out")]
    days = waves(plan)
    if days:
        facts += [("First out", w.day(min(day for way, day, _ in days if way == "out"))),
                  ("Last back in", w.day(max(day for _, day, _ in days)))]
    work = sum(step.minutes for step in plan.steps)
    return [*facts, ("Work", f"{w.counted(len(plan.steps), 'job')}, {w.duration(work)}"),
            ("Place", f"{abs(plan.site.latitude_deg):.2f}° {'S' if plan.site.latitude_deg < 0 else 'N'}")]


def _sections(skipped: bool) -> list[tuple[str, str]]:
    found = [("next", "Next"), ("alerts", "Alerts"), ("glance", "At a glance"), ("chance", "Chance"), ("jobs", "Jobs"),
             ("skipped", "Did not fit"), ("shopping", "Shopping"), ("routes", "Routes"), ("light", "Light"),
             ("plants", "Plants"), ("notes", "Notes and sources")]
    return [each for each in found if skipped or each[0] != "skipped"]


def _chance_lead(plan: Plan) -> str:
    return (f"Going out earlier and coming back later gains weeks and costs evenings. Careful leaves a chance of "
            f"{w.percent(plan.rules.harm_risk)} of any harmful night at each end; carry-in accepts about "
            f"{w.counted(plan.rules.carry_in_nights, 'such night')} there, on which the plants are carried in. The "
            f"planned dates also wait for usual nights to be mild enough and for a day on which you move plants.")


def _plants_caption(plan: Plan) -> str:
    return (f"{w.counted(len(plan.plants), 'plant')}, {w.counted(pots(plan.plants), 'pot')}. Harm: a night as cold as "
            "this marks the plant. Comfort: what nights should usually be")


def _index_lead(plans: Sequence[tuple[str, Plan]]) -> str:
    total = sum(pots(plan.plants) for _, plan in plans)
    return f"{w.counted(len(plans), 'site')}, {w.counted(total, 'pot')}."


def _link(href: str, text: str) -> Markup:
    return Markup(f'<a href="{escape(quote(href))}"><bdi>{escape(text)}</bdi></a>')


def _next_rows(plans: Sequence[tuple[str, Plan]]) -> list[list[str]]:
    """[day, site, jobs, minutes] of the next days with work, soonest first."""
    found = []
    for order, (href, plan) in enumerate(plans):
        for heading, views in what_next(plan, step_views(plan)).days:
            steps = [view.step for view in views]
            row = [heading, _link(href, plan.site.name), _titles([step.title for step in steps]),
                   w.duration(sum(s.minutes for s in steps))]
            found.append((steps[0].date, order, row))
    return [row for _, _, row in sorted(found, key=lambda each: each[:2])[:MOST_NEXT_ROWS]]


def _titles(titles: Sequence[str]) -> str:
    """The first titles, and how many more there are."""
    left = len(titles) - MOST_TITLES
    return "; ".join(titles[:MOST_TITLES]) + (f"; and {left} more" if left > 0 else "")


def _site_row(href: str, plan: Plan) -> list[str]:
    """[site, pots, first out, last in, next job, work left]."""
    days = waves(plan)
    ahead = [step for step in plan.steps if step.date >= plan.today]
    first, last = (w.day(min(d for _, d, _ in days)), w.day(max(d for _, d, _ in days))) if days else ("—", "—")
    soonest = min((step.date for step in ahead), default=None)
    when = "none left" if soonest is None else f"{w.day(soonest)} ({in_days(plan.today, soonest)})"
    return [_link(href, plan.site.name), str(pots(plan.plants)), first, last, when,
            w.duration(sum(step.minutes for step in ahead))]
