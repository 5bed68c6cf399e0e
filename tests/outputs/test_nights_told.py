"""Every output says in one line where its nights come from and how sure its dates are."""

import html
import json
import re
from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from icalendar import Calendar
from invented import make_plan

from seasonplan.climate.sureness import nights_line
from seasonplan.model import Estimate, NearStation
from seasonplan.outputs.calendar import TOLD, combine, render_calendar
from seasonplan.outputs.documents import plan_document
from seasonplan.outputs.page import render_page
from seasonplan.outputs.shed import render_shed
from seasonplan.outputs.terminal import check_text, plan_summary
from seasonplan.weather.alerts import watch_report

DOUBT = "The night lows given are far off. Are they in °F?"


def plan_of(**normals):
    plan = make_plan()
    return replace(plan, scenario=replace(plan.scenario, normals=replace(plan.scenario.normals, **normals)))


def estimated(km=20.8):
    plan = plan_of(estimate=Estimate(1.23, (NearStation("Farmoor", km, 80.0),)))
    return replace(plan, climate=replace(plan.climate, mean_source="estimated", sd_source="assumed"))


def plain(text):
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", text)).split())


def unescaped(text):
    """icalendar leaves text properties that it does not know as they are written."""
    return str(text).replace("\\,", ",")


OUTPUTS = {
    "summary": lambda plan: plain(plan_summary(plan, files=())),
    "page": lambda plan: plain(render_page(plan)),
    "sheet": lambda plan: plain(render_shed(plan)),
    "plan.json": lambda plan: plan_document(plan)["nights"]["told"],
    "calendar": lambda plan: str(Calendar.from_ical(render_calendar(plan, None))["DESCRIPTION"]),
    "calendars": lambda plan: unescaped(Calendar.from_ical(combine([plan], None))["X-WR-CALDESC"]),
    "watch": lambda plan: " ".join(watch_report(plan, None, date(2027, 6, 1)).notes)}


@pytest.mark.parametrize("output", OUTPUTS)
def test_estimated_nights_are_said_to_be(output):
    told = OUTPUTS[output](estimated())
    assert re.search(r"Nights estimated from Farmoor, 21 km, and others: lows ±1\.2 °C in nine months of ten, "
                     r"dates ±\d+ days two times in three\.", told)


@pytest.mark.parametrize("output", OUTPUTS)
def test_given_nights_come_with_the_doubt_about_them(output):
    told = OUTPUTS[output](plan_of(doubt=DOUBT))
    assert re.search(r"Nights from normals\.csv, their spread assumed: dates ±\d+ days two times in three\. "
                     + re.escape(DOUBT), told)
    assert DOUBT not in OUTPUTS[output](plan_of())


def test_check_says_it_too():
    assert DOUBT in plain(check_text(plan_of(doubt=DOUBT).scenario, "garden"))


def test_plan_json_has_the_twelve_numbers_and_whence():
    normals = json.loads(json.dumps(plan_document(estimated())["nights"]["normals"]))
    assert normals["source"] == "estimated" and len(normals["tmin_c"]) == 12 and normals["error_c"] == 1.2
    assert normals["from"] == [{"name": "Farmoor", "km": 20.8, "elevation_m": 80.0}]
    assert plan_document(plan_of())["nights"]["normals"]["source"] == "given"


def test_a_record_that_wins_over_an_estimate_is_named_instead():
    plan = estimated()
    climate = replace(plan.climate, mean_source="record", sd_source="record")
    told = nights_line(plan.scenario.normals, climate, "metric")
    assert told == "Nights from the record: dates ±4 days two times in three."


def test_a_doubt_about_normals_is_none_about_a_record():
    plan = plan_of(doubt=DOUBT)
    assert DOUBT not in nights_line(plan.scenario.normals, replace(plan.climate, mean_source="record"), "metric")


def test_flat_years_own_up():
    plan = estimated()
    climate = replace(plan.climate, mean_c=np.full(365, 24.0), sd_c=np.full(365, 1.5))
    assert "no date is sure where nights change so little" in nights_line(plan.scenario.normals, climate, "metric")


def test_our_description_is_renewed_and_somebody_elses_stays():
    first = render_calendar(estimated(), None)
    again = render_calendar(plan_of(), first)
    assert b"Farmoor" in first and b"Farmoor" not in again and again.count(b"X-WR-CALDESC") == 1
    own = first.replace(f"X-WR-CALDESC:{TOLD}".encode(), b"X-WR-CALDESC:My pots. ")
    kept = render_calendar(plan_of(), own)
    assert b"X-WR-CALDESC:My pots. " in kept and kept.count(b"X-WR-CALDESC") == 1
