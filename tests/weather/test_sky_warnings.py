"""Gusts, heat, heavy rain and hail: from which limit on, for whom, in which words."""

from dataclasses import replace
from datetime import date

import pytest
from invented import make_taxon
from weather.garden import garden_plant, make_forecast, make_garden, standing_at

from seasonplan import watch_report
from seasonplan.data import table
from seasonplan.model import Rules

TODAY = date(2027, 6, 1)


def warnings(units="metric", place="lawn", ahead=0, **told):
    plants = [standing_at(garden_plant(name, 5.0, **more), place) for name, more in (
        ("Palm", {"tall_cm": 150.0}), ("Fern", {}), ("Aloe", {"taxon": make_taxon(moisture="dry")}))]
    forecast = make_forecast(TODAY, [17.0] * 7)
    nights = tuple(replace(night, **told) if n == ahead else night for n, night in enumerate(forecast.nights))
    return watch_report(make_garden(plants, rules=Rules(year=2027, units=units)), replace(forecast, nights=nights),
                        TODAY).sky


@pytest.mark.parametrize("told, kind, below", [
    ({"gust_m_s": 14.0}, "gusts", {"gust_m_s": 13.9}), ({"high_c": 35.0}, "heat", {"high_c": 34.9}),
    ({"rain_mm": 20.0}, "rain", {"rain_mm": 19.9}), ({"hail": True}, "hail", {"hail": False})])
def test_each_is_told_from_its_limit_on(told, kind, below):
    [warning] = warnings(**told)
    assert warning.kind == kind and warning.day == TODAY and warning.source
    assert warnings(**below) == warnings() == ()


def test_the_sentences_name_whom_it_is_about():
    [gusts] = warnings(gust_m_s=18.0)
    assert gusts.plants == ("Palm",) and gusts.text.startswith("Gusts of 65 km/h on Tue 1 Jun: lay tall")
    assert gusts.text.endswith("; above all Palm.")
    [rain] = warnings(rain_mm=45.0)
    assert rain.plants == ("Aloe",) and "45 mm of rain" in rain.text and "saucers" in rain.text
    assert warnings(hail=True)[0].plants == ("Palm", "Fern", "Aloe")


def test_a_roof_keeps_rain_and_hail_off():
    assert warnings(place="porch", rain_mm=45.0)[0].plants == () and warnings(place="porch", hail=True)[0].plants == ()


def test_sentences_are_in_the_persons_units():
    texts = [warnings("imperial", **told)[0].text for told in ({"gust_m_s": 18.0}, {"high_c": 36.0}, {"rain_mm": 50.8})]
    assert ["40 mph" in texts[0], "97 °F" in texts[1], "2.0 in of rain" in texts[2]] == [True] * 3


def test_what_is_days_ahead_or_hits_nobody_is_not_told():
    assert warnings(ahead=2, gust_m_s=30.0) and not warnings(ahead=3, gust_m_s=30.0)
    assert warnings(place="", gust_m_s=30.0) == ()


def test_it_is_part_of_the_evenings_message():
    plan = make_garden([standing_at(garden_plant("Fern", 5.0), "lawn")])
    forecast = make_forecast(TODAY, [17.0] * 3)
    stormy = replace(forecast, nights=(replace(forecast.nights[0], gust_m_s=20.0), *forecast.nights[1:]))
    evening = watch_report(plan, stormy, TODAY).evening
    assert evening.title == "Gusts of 72 km/h on Tue 1 Jun" and evening.by is None
    assert evening.pieces == ("2027-06-01 gusts",)


def test_every_limit_says_where_it_is_from():
    assert all(row["source"] and row["words"] for row in table("sky_limits"))


def test_the_gusts_begin_with_force_seven_of_the_beaufort_scale():
    """Source: WMO, Manual on Codes, section E: force 7, near gale, 13.9 to 17.1 m/s."""
    limit = next(float(row["limit"]) for row in table("sky_limits") if row["kind"] == "gusts")
    assert 13.9 <= limit < 17.2
