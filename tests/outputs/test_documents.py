"""The JSON documents: names, shapes, rounding, and that nothing in them is not a number."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from invented import (
    make_daylight,
    make_night_climate,
    make_normals,
    make_places,
    make_plan,
    make_site,
    make_tables,
    make_taxon,
)

from seasonplan.model import Edge, MoveDate, OutlookNight, PlaceWindow, WatchReport
from seasonplan.outputs.documents import (
    catalogue_document,
    light_document,
    nights_document,
    plan_document,
    plan_json,
    to_json,
    watch_document,
)

MOVE_KEYS = {"date", "careful", "carry_in", "chance_of_harm", "expected_cold_nights"}
STOP_KEYS = {"date", "until", "place", "clear_dli", "mean_dli", "direct_sun_h", "full_sun_h", "acclimated_dli",
             "allowed_dli", "allowed_full_sun_h"}
STEP_KEYS = {"uid", "date", "start", "minutes", "kind", "title", "plants", "place", "detail", "why", "cautions"}
ALERT_KEYS = {"night", "place", "forecast_low_c", "low_c_at_place", "chance", "threshold_c", "plants", "action", "by"}
CLIMATE = make_night_climate()
TABLES = make_tables(CLIMATE, (-40.0, 0.0, 10.0, 40.0))


def read(document) -> dict:
    """The document as a reader of JSON gets it, who takes NaN and Infinity for an error."""
    def refuse(text: str):
        raise AssertionError(f"{text} is no JSON")
    return json.loads(to_json(document), parse_constant=refuse)


def test_plan_json_has_the_agreed_names():
    plan = make_plan()
    found = read(plan_document(plan))
    assert list(found)[:3] == ["schema", "site", "year"] and found["schema"] == 1
    assert (found["site"], found["year"]) == ("Invented town", 2027)
    assert {"plants", "steps", "shopping", "alerts", "assumptions"} <= set(found)
    for plant in found["plants"]:
        assert {"name", "taxon", "count", "status", "reason", "harm_c", "comfort_c", "out", "in", "route"} <= set(plant)
        assert plant["status"] in {"moves", "stays-in", "stays-out", "day-trips"}
        assert set(plant["out"]) >= MOVE_KEYS and set(plant["in"]) >= MOVE_KEYS
        assert all(set(stop) >= STOP_KEYS for stop in plant["route"])
    assert all(set(step) >= STEP_KEYS for step in found["steps"])
    assert all(set(alert) >= ALERT_KEYS for alert in found["alerts"])


def test_plan_json_says_what_the_plan_says():
    plan = make_plan()
    found = read(plan_document(plan))
    lemon = found["plants"][0]
    assert lemon["name"] == "Lemon" and lemon["taxon"] == "inventia-dura" and lemon["harm_c"] == 2.0
    assert lemon["out"] == {"date": "2027-05-01", "careful": "2027-05-22", "carry_in": "2027-04-29",
                            "chance_of_harm": 0.42, "expected_cold_nights": 1.6, "decided_by": "harm",
                            "guess": None, "earliest": None, "latest": None}
    assert lemon["in"]["date"] == "2027-10-10"
    assert lemon["carry_in_gains_days"] == {"spring": 23, "autumn": 15}
    stops = lemon["route"]
    assert stops[0]["date"] == lemon["out"]["date"] and stops[-1]["until"] == lemon["in"]["date"]
    assert all(a["until"] == b["date"] for a, b in zip(stops, stops[1:], strict=False)), "until is the day it leaves"
    assert [step["uid"] for step in found["steps"]] == [step.uid for step in plan.steps]
    assert found["steps"][6]["start"] == "10:00" and found["steps"][6]["amounts"] == {"mix_l": 18.0}
    assert found["shopping"][0] == {"item": "potting mix", "amount": 18.0, "unit": "L", "needed_by": "2027-05-22",
                                    "for_steps": [plan.steps[6].uid], "note": "peat-free works"}
    assert found["alerts"][0]["frost"] is True and found["alerts"][0]["by"] == "2027-05-11T19:00"


def test_plants_that_do_not_move_have_null_dates():
    stays = read(plan_document(make_plan()))["plants"][-1]
    assert stays["status"] == "stays-out" and stays["out"]["date"] is None and stays["in"]["careful"] is None
    assert stays["carry_in_gains_days"] is None and stays["route"] == []


def test_numbers_are_rounded_and_what_is_no_number_is_null():
    plan = make_plan()
    first = plan.plants[0]
    stop = replace(first.route[0], clear_dli=12.3456, allowed_dli=math.inf, allowed_full_sun_h=math.inf,
                   mean_dli=math.nan, direct_sun_h=np.float64(-0.001))
    odd = replace(first, route=(stop,), out=replace(first.out, chance_of_harm=1 / 3, expected_cold_nights=2 / 3))
    text = to_json(plan_document(replace(plan, plants=(odd,))))
    [plant] = json.loads(text)["plants"]
    assert plant["route"][0]["clear_dli"] == 12.35 and plant["route"][0]["mean_dli"] is None
    assert plant["route"][0]["allowed_dli"] is None and plant["route"][0]["allowed_full_sun_h"] is None
    assert plant["out"]["chance_of_harm"] == 0.333 and plant["out"]["expected_cold_nights"] == 0.667
    assert "NaN" not in text and "Infinity" not in text and "-0.0" not in text


def test_windows_say_dates_never_or_all_year():
    plan = make_plan()
    none = MoveDate(None, None, None, None, None)
    windows = [PlaceWindow("lawn", edge, none, none, "Because.") for edge in (Edge.NEVER, Edge.ALL_YEAR)]
    odd = replace(plan.plants[0], windows=(*plan.plants[0].windows, *windows))
    found = read(plan_document(replace(plan, plants=(odd,))))["plants"][0]["windows"]
    assert [window["when"] for window in found] == ["dates", "never", "all-year"]
    assert found[0]["date"] == "2027-04-26" and found[1]["date"] is None and found[2]["until"] is None


def test_today_is_not_in_the_document():
    plan = make_plan()
    assert to_json(plan_document(plan)) == to_json(plan_document(replace(plan, today=date(2027, 12, 24))))


def test_nights_json():
    found = read(nights_document(make_site(), make_normals(), TABLES))
    assert found["site"] == "Invented town"
    coldest, frost, chill, warm = found["nights"]
    assert [n["threshold_c"] for n in found["nights"]] == [-40.0, 0.0, 10.0, 40.0]
    for night in found["nights"]:
        assert set(night) == {"threshold_c", "source", "spring_last", "autumn_first", "expected_after",
                              "expected_before"}
        assert list(night["spring_last"]) == list(night["autumn_first"]) == ["5", "10", "20", "50", "80", "90"]
        assert night["source"] == "normals"
    dates = list(frost["spring_last"].values())
    assert dates == sorted(dates, reverse=True), "a date that fewer years pass is later"
    assert list(frost["autumn_first"].values()) == sorted(frost["autumn_first"].values())
    assert frost["spring_last"]["10"] > "04-15" and frost["autumn_first"]["10"] > "08-01"
    assert set(coldest["spring_last"].values()) == set(coldest["autumn_first"].values()) == {None}
    assert warm["spring_last"]["5"] is None and warm["autumn_first"]["5"] is None, "one at midsummer too"
    assert chill["expected_after"]["05-01"] > frost["expected_after"]["05-01"]


def test_nights_json_gives_the_expected_number_on_every_day_and_zero_outside_its_half():
    frost = read(nights_document(make_site(), make_normals(), TABLES))["nights"][1]
    for name, half in (("expected_after", "spring"), ("expected_before", "autumn")):
        labels = list(frost[name])
        assert len(labels) == 365 and labels[0] == "01-01" and labels[-1] == "12-31" and "02-29" not in labels
        outside = ("08-15", "10-15", "12-15") if half == "spring" else ("02-01", "04-15", "06-15")
        assert [frost[name][label] for label in outside] == [0.0] * 3
    index = sum([31, 28, 31, 30]) + 9
    assert frost["expected_after"]["05-10"] == pytest.approx(TABLES.expected_after[1, index], abs=0.0006)


def test_nights_json_puts_the_record_beside_the_normals():
    recorded = replace(make_tables(CLIMATE, (-40.0, 0.0, 10.0, 40.0)), source="record")
    found = read(nights_document(make_site(), make_normals(), TABLES, recorded, CLIMATE))
    assert [(n["source"], n["threshold_c"]) for n in found["nights"]] == [
        (source, level) for source in ("normals", "record") for level in (-40.0, 0.0, 10.0, 40.0)]
    assert found["sd_source"] == CLIMATE.sd_source and found["notes"] == list(CLIMATE.notes)


def test_a_threshold_in_fahrenheit_keeps_its_hundredths():
    [night] = read(nights_document(make_site(), make_normals(), make_tables(CLIMATE, (7.2222,))))["nights"]
    assert night["threshold_c"] == 7.22


def test_light_json():
    light = make_daylight()
    found = read(light_document(light, make_places()))["places"]
    assert [(place["name"], place["kind"]) for place in found] == [
        ("south window", "indoor"), ("porch", "outdoor"), ("under the tree", "outdoor"), ("lawn", "outdoor")]
    for place in found:
        assert len(place["days"]) == 365
        assert list(place["days"][0]) == ["date", "clear_dli", "mean_dli", "direct_sun_h", "full_sun_h", "peak_ppfd"]
    june = found[3]["days"][151]
    assert june["date"] == "2027-06-01" and june["clear_dli"] == pytest.approx(light.clear_dli[3, 151], abs=0.006)
    assert june["direct_sun_h"] == 9.0 and june["peak_ppfd"] == 2000.0


def test_watch_json():
    alert = make_plan().alerts[0]
    outlook = (OutlookNight(date(2027, 5, 11), "lawn", 2.0, 1.23, 2.5, 0.61849, 0.3, True),)
    found = read(watch_document(WatchReport("Invented town", "2027-05-11T06:00:00Z", "a file", (alert,),
                                            lambda: outlook, ("Go a week later.",), ("A note.",))))
    assert (found["issued"], found["source"]) == ("2027-05-11T06:00:00Z", "a file")
    assert set(found["alerts"][0]) >= ALERT_KEYS and found["alerts"][0]["night"] == "2027-05-11"
    assert found["outlook"] == [{"night": "2027-05-11", "place": "lawn", "threshold_c": 2.0, "low_c": 1.2, "sd_c": 2.5,
                                 "chance_harm": 0.618, "chance_frost": 0.3, "from_forecast": True}]
    assert found["advice"] == ["Go a week later."] and found["notes"] == ["A note."]
    assert read(watch_document(WatchReport("x", "", "", (replace(alert, forecast_low_c=None),))))[
        "alerts"][0]["forecast_low_c"] is None


def test_catalogue_json():
    evidence = {"inventia-tropica": [{"grade": "listed"}]}
    found = read(catalogue_document([make_taxon(synonyms=("old name",))], evidence))["taxa"]
    assert found[0]["key"] == "inventia-tropica" and found[0]["synonyms"] == ["old name"]
    assert found[0]["harm_c"] == 10.0 and found[0]["freeze_kill"] is True
    assert found[0]["harm"] == {"low_c": 10.0, "high_c": 10.0, "grade": "listed"}
    assert found[0]["evidence"] == [{"grade": "listed"}]


def test_text_is_one_entry_to_a_line_and_keeps_every_letter():
    text = to_json({"a": [{"x": 1}, {"y": "é 👩🏽‍🌾 \u2028 \" \\ \x00"}], "b": [], "c": {}})
    assert text.startswith('{\n "a": [\n  {"x": 1},\n  {"y": "é 👩🏽‍🌾') and text.endswith('\n "b": [],\n "c": {}\n}\n')
    assert json.loads(text)["a"][1]["y"] == "é 👩🏽‍🌾 \u2028 \" \\ \x00"
    assert json.loads(to_json([{"a": [1]}, {"a": []}])) == [{"a": [1]}, {"a": []}]


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_never_gets_out(value):
    with pytest.raises(ValueError, match="JSON"):
        to_json({"a": [{"x": value}]})


@pytest.mark.parametrize("plants", [0, 1, None])
def test_plan_json_is_the_document_to_the_byte(plants):
    plan = make_plan()
    odd = replace(plan.site, name='\n "plants": [] "\u00e9\U0001fab4')
    plan = replace(plan, plants=plan.plants[:plants], scenario=replace(plan.scenario, site=odd))
    assert plan_json(plan) == to_json(plan_document(plan)).encode()
    assert len(json.loads(plan_json(plan))["plants"]) == len(plan.plants)
