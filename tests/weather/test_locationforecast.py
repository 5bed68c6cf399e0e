"""MET Norway's document: nights out of hours and six-hour minima, and what is missing in it."""

from datetime import date

import pytest
from invented import make_site
from weather.shapes import as_bytes, daily_wave, met_document, met_times, utc

from seasonplan.weather.sources import read_forecast

SITE = make_site()
START = utc("2027-06-01T15:00")
WAVE = daily_wave(12.0, 6.0, 11.0)


def test_nights_that_met_norway_leaves_out_are_told():
    document = met_document(START, WAVE)
    series = document["properties"]["timeseries"]
    gone = ("2027-06-03T", "2027-06-04T0")
    document["properties"]["timeseries"] = [entry for entry in series if not entry["time"].startswith(gone)]
    forecast = read_forecast(as_bytes(document), SITE, "saved.json")
    nights = [night.night for night in forecast.nights]
    assert date(2027, 6, 2) not in nights and date(2027, 6, 3) not in nights and date(2027, 6, 4) in nights
    assert any("no usable low for the night of Wed 2 Jun and Thu 3 Jun" in note for note in forecast.notes)


def test_nonsense_and_null_in_met_norway_are_left_out_and_told():
    document = met_document(START, WAVE)
    for entry in document["properties"]["timeseries"]:
        if entry["time"].startswith("2027-06-02T07"):
            entry["data"]["instant"]["details"]["air_temperature"] = -999.0
        if entry["time"].startswith("2027-06-02T08"):
            entry["data"]["instant"]["details"]["air_temperature"] = "cold"
        if entry["time"].startswith("2027-06-02T09"):
            entry["data"]["instant"]["details"]["air_temperature"] = None
    forecast = read_forecast(as_bytes(document), SITE, "saved.json")
    assert forecast.nights[0].low_c == pytest.approx(6.0, abs=0.1)
    assert any("-999.0 at 2027-06-02 07:00 UTC and 'cold' at 2027-06-02 08:00 UTC" in note for note in forecast.notes)


def test_hours_without_a_minimum_or_temperature_make_the_night_incomplete():
    document = met_document(START, WAVE)
    for entry in document["properties"]["timeseries"]:
        if "2027-06-02T00" <= entry["time"] < "2027-06-02T13":
            entry["data"].pop("next_6_hours")
        if "2027-06-02T06" <= entry["time"] < "2027-06-02T12":
            del entry["data"]["instant"]["details"]["air_temperature"]
    nights = [night.night for night in read_forecast(as_bytes(document), SITE, "saved.json").nights]
    assert nights[0] == date(2027, 6, 2)


def test_a_six_hour_minimum_counts_where_it_lies_within_the_night():
    """The hourly temperatures never fall below 9 °C; the minima of some six-hour spans do. The night lasts from 23:00
    to 14:00 UTC, so only the first of them lies within it, though half of two others does."""
    document = met_document(START, lambda at: 9.0)
    told = {"2027-06-02T00:00:00Z": 4.0, "2027-06-01T17:00:00Z": 1.0, "2027-06-01T20:00:00Z": 1.5,
            "2027-06-02T10:00:00Z": 2.0}
    for entry in document["properties"]["timeseries"]:
        if entry["time"] in told:
            entry["data"]["next_6_hours"]["details"]["air_temperature_min"] = told[entry["time"]]
    assert [n.low_c for n in read_forecast(as_bytes(document), SITE, "saved.json").nights[:2]] == [4.0, 9.0]


def test_far_nights_are_covered_by_six_hour_minima_alone():
    document = met_document(START, WAVE, times=met_times(START, hourly=1, six_hourly=20))
    forecast = read_forecast(as_bytes(document), SITE, "saved.json")
    assert len(forecast.nights) == 5 and all(n.low_c == pytest.approx(6.0, abs=0.1) for n in forecast.nights)


def test_where_entries_are_sparse_a_span_counts_for_the_night_that_has_most_of_it():
    """In India the six-hour spans run from 05:30 to 11:30: a low at 07:00 local belongs to the night that ends."""
    site = make_site(latitude_deg=28.6, longitude_deg=77.2, timezone="Asia/Kolkata")
    start = utc("2027-06-01T06:00")
    document = met_document(start, lambda at: 8.0 if at.hour in (1, 2) else 15.0, 28.6, 77.2,
                            times=met_times(start, hourly=1, six_hourly=16))
    forecast = read_forecast(as_bytes(document), site, "saved.json")
    assert [n.low_c for n in forecast.nights] == [8.0] * len(forecast.nights) and len(forecast.nights) == 4


def test_wind_and_cloud_decide_calm_and_clear():
    skies = [(1.0, 10.0, True), (1.0, 90.0, False), (6.0, 10.0, False)]
    for wind, cloud, calm_clear in skies:
        document = met_document(START, WAVE, wind_m_s=wind, cloud=cloud)
        assert read_forecast(as_bytes(document), SITE, "saved.json").nights[0].calm_clear is calm_clear
    document["properties"]["meta"]["units"].update(wind_speed="furlong", cloud_area_fraction="octas")
    assert read_forecast(as_bytes(document), SITE, "saved.json").nights[0].calm_clear is None


def test_the_height_of_the_forecast_is_kept_and_the_sites_stands_in_for_it():
    low = read_forecast(as_bytes(met_document(START, WAVE, altitude=120)), SITE, "saved.json")
    unsaid = met_document(START, WAVE)
    del unsaid["geometry"]["coordinates"][2]
    assert low.elevation_m == 120.0
    assert read_forecast(as_bytes(unsaid), SITE, "saved.json").elevation_m == SITE.elevation_m


def test_entries_in_any_order_give_the_same_nights():
    document = met_document(START, WAVE)
    straight = read_forecast(as_bytes(document), SITE, "saved.json")
    document["properties"]["timeseries"].reverse()
    assert read_forecast(as_bytes(document), SITE, "saved.json") == straight


def test_the_nights_percentiles_are_those_of_its_coldest_hour():
    document = met_document(START, WAVE, band_c=(2.0, 1.0))
    forecast = read_forecast(as_bytes(document), SITE, "saved.json")
    first = forecast.nights[0]
    assert forecast.ensemble and (first.low_c - first.p10_c, first.p90_c - first.low_c) == pytest.approx((2.0, 1.0))
    assert read_forecast(as_bytes(met_document(START, WAVE)), SITE, "saved.json").nights[0].p10_c is None


def test_gusts_highs_and_rain_are_those_of_the_day_before_the_night():
    document = met_document(START, WAVE, gust_m_s=17.0, rain_mm=2.0)
    for entry in document["properties"]["timeseries"]:
        if entry["time"] == "2027-06-02T21:00:00Z":
            entry["data"]["instant"]["details"].update(wind_speed_of_gust=25.0, air_temperature=34.5)
    nights = read_forecast(as_bytes(document), SITE, "saved.json").nights
    assert [night.gust_m_s for night in nights[:3]] == [17.0, 25.0, 17.0]
    assert [night.high_c for night in nights[1:3]] == [34.5, 18.0]
    assert nights[1].rain_mm == pytest.approx(48.0) and nights[5].rain_mm == pytest.approx(48.0)
    assert nights[0].rain_mm == pytest.approx(2.0 * 23), "the document starts at ten in the morning"


def test_the_compact_product_says_what_it_lacks():
    document = met_document(START, WAVE)
    for entry in document["properties"]["timeseries"]:
        entry["data"].get("next_6_hours", {}).get("details", {}).pop("air_temperature_min", None)
    forecast = read_forecast(as_bytes(document), SITE, "saved.json")
    assert len(forecast.nights) == 2 and any("This is the compact product" in note for note in forecast.notes)
    whole = read_forecast(as_bytes(met_document(START, WAVE)), SITE, "saved.json")
    assert not any("compact" in note for note in whole.notes)
