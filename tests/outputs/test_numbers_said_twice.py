"""One number for one thing: what reason, page, calendar and JSON say of a plant comes from one record."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from seasonplan import build_plan, load_scenario
from seasonplan import wording as w
from seasonplan.outputs.calendar import render_calendar
from seasonplan.outputs.daybook import DayBook
from seasonplan.outputs.documents import plan_document
from seasonplan.outputs.page import render_page
from seasonplan.outputs.page_groups import groups_that_go
from seasonplan.outputs.page_plants import plant_views
from seasonplan.outputs.pictures_season import group_rows
from seasonplan.outputs.trade import days_gained

pytestmark = pytest.mark.usefixtures("remembered_plans")

SCENARIOS = Path(__file__).parents[2] / "scenarios"
ODDS = re.compile(r"Expected [^:]*: ((?:fewer than )?[\d.]+) nights? that mark it, "
                  r"chance of any ((?:under |over )?\d+ %)")


@pytest.fixture(scope="module", params=["fallowmere", "wattle-bend"])
def plan(request):
    return build_plan(load_scenario(SCENARIOS / request.param), date(2027, 3, 1))


def test_the_reason_gives_the_records_own_numbers(plan):
    checked = 0
    for each in plan.plants:
        if each.status != "moves":
            continue
        said = ODDS.findall(each.reason)
        ends = [end for end in (each.out, each.back) if end.chance_of_harm is not None]
        assert [odds[1] for odds in said] == [w.percent(end.chance_of_harm) for end in ends]
        assert [odds[0] for odds in said] == [w.few_nights(end.expected_cold_nights) for end in ends]
        gained = days_gained(each)
        weeks = re.search(r"([\d.]+) weeks? (more|fewer) outdoors", each.reason)
        if gained and sum(gained) and weeks:
            assert float(weeks[1]) == pytest.approx(abs(sum(gained)) / 7, abs=0.051)
        checked += 1
    assert checked > 10


def test_a_move_gives_its_plants_numbers(plan):
    book = DayBook(plan)
    for step in plan.steps:
        if step.kind in ("move-out", "move-in"):
            said = {odds[1] for odds in ODDS.findall(step.why)}
            ends = [book.plans[name].out if step.kind == "move-out" else book.plans[name].back for name in step.plants]
            assert said == {w.percent(end.chance_of_harm) for end in ends if end.chance_of_harm is not None
                            and book.plans[end_name(book, end, step)].status == "moves"}
            assert all(end.date == step.date for end in ends if end.date)


def end_name(book, end, step) -> str:
    return next(name for name in step.plants if end in (book.plans[name].out, book.plans[name].back))


def test_the_page_says_of_each_plant_what_the_json_says(plan):
    found = {each["name"]: each for each in plan_document(plan)["plants"]}
    page = render_page(plan)
    for view in plant_views(DayBook(plan)):
        for label in view.names:
            each = found[re.sub(r" \(\d+ pots\)$", "", label)]
            if not view.odds:
                assert each["out"]["date"] is None or each["in"]["date"] is None
                continue
            for end in ("out", "in"):
                day = w.day(date.fromisoformat(each[end]["date"]))
                assert f"{end.capitalize() if end == 'out' else end} {day}" in view.summary
                shown = re.findall(r"chance ((?:under |over )?)(\d+) %", view.odds)[end == "in"]
                near = 0.0105 if shown[0] else 0.0055
                assert int(shown[1]) / 100 == pytest.approx(each[end]["chance_of_harm"], abs=near)
            assert [stop.place for stop in view.stops] == [stop["place"] for stop in each["route"]]
        assert view.odds.replace("'", "&#39;") in page


def test_the_page_says_the_chances_of_a_plant_once_and_the_light_of_a_stay_once(plan):
    """The plan's texts say them in words; the page says them from the record beside, and not again."""
    told = 0
    for view in plant_views(DayBook(plan)):
        assert not ODDS.search(view.reason) and "  " not in view.reason, view.reason
        each = next(p for p in plan.plants if p.plant.name == re.sub(r" \(\d+ pots\)$", "", view.names[0]))
        assert not each.reason or view.reason
        for stop, given in zip(view.stops, each.route, strict=True):
            assert " -> " not in stop.why and "shade cloth until" not in stop.why
            assert ODDS.search(each.reason) is None or view.odds
            assert w.light(given.mean_dli) in stop.light and w.light(given.acclimated_dli) in stop.light
            told += " -> " in given.why
    assert told > 10


def test_groups_and_pictures_hold_for_every_plant_in_them(plan):
    groups = groups_that_go(plan)
    going = {each.plant.name for each in plan.plants if each.out.date}
    assert {name for group in groups for name in group.names} == going
    for group, row in zip(groups, group_rows(plan, groups), strict=True):
        for each in group.plans:
            assert row.stay == w.date_span(each.out.date, each.back.date)
            assert w.percent(each.out.chance_of_harm) in row.picture.alternative


def test_the_calendar_says_of_a_move_what_the_plan_says(plan):
    text = render_calendar(plan, None).replace(b"\r\n ", b"").decode()
    for step in plan.steps:
        if step.kind == "move-out":
            event = next(part for part in text.split("BEGIN:VEVENT") if f"UID:{step.uid}" in part)
            assert all(odds[1] in event for odds in ODDS.findall(step.why))
            assert f"DTSTART;VALUE=DATE:{step.date:%Y%m%d}" in event
