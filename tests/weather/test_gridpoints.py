"""The US grid cell's document: intervals, units, nulls."""

from datetime import date, timedelta

import pytest
from invented import make_site
from weather.shapes import as_bytes, nws_document, nws_nights, utc

from seasonplan.errors import InputFaults
from seasonplan.weather.sources import read_forecast

SITE = make_site()


def test_null_and_nonsense_in_the_grid_cell_are_left_out_and_told():
    lows = nws_nights(date(2027, 6, 1), [8.0, None, 250.0, 7.0])
    forecast = read_forecast(as_bytes(nws_document(lows)), SITE, "saved.json")
    assert [night.night.day for night in forecast.nights] == [1, 4]
    assert any("250.0" in note for note in forecast.notes)
    assert any("Wed 2 Jun and Thu 3 Jun" in note for note in forecast.notes)


def test_a_null_at_the_end_is_told_too():
    forecast = read_forecast(as_bytes(nws_document(nws_nights(date(2027, 6, 1), [8.0, None]))), SITE, "saved.json")
    assert len(forecast.nights) == 1 and "Wed 2 Jun" in " ".join(forecast.notes)


def test_only_nulls_is_no_forecast():
    with pytest.raises(InputFaults, match="no usable night low"):
        read_forecast(as_bytes(nws_document(nws_nights(date(2027, 6, 1), [None, None]))), SITE, "saved.json")


@pytest.mark.parametrize("unit", ["wmoUnit:Pa", "", None, 7])
def test_an_unknown_unit_is_refused(unit):
    with pytest.raises(InputFaults, match="properties.minTemperature.uom"):
        read_forecast(as_bytes(nws_document(nws_nights(date(2027, 6, 1), [8.0]), unit=unit)), SITE, "saved.json")


@pytest.mark.parametrize("valid", ["2027-06-02T01:00:00/PT13H", "2027-06-02T01:00:00+00:00", "PT13H", None,
                                   "2027-06-02T01:00:00+00:00/PT", "2027-06-02T01:00:00+00:00/13H",
                                   "2027-06-02T01:00:00+00:00/2027-06-01T01:00:00+00:00"])
def test_a_wrong_interval_is_refused(valid):
    with pytest.raises(InputFaults, match="validTime"):
        read_forecast(as_bytes(nws_document([(valid, 8.0)])), SITE, "saved.json")


@pytest.mark.parametrize(("valid", "evenings"), [
    ("2027-06-02T01:00:00+00:00/PT13H", [1]), ("2027-06-01T20:00:00-05:00/PT14H", [1]),
    ("2027-06-02T09:00:00+00:00/PT3H", [1]), ("2027-06-01T23:00:00+00:00/P1DT14H", [1, 2]),
    ("2027-06-02T01:00:00+00:00/2027-06-02T14:00:00+00:00", [1])])
def test_an_interval_speaks_of_the_nights_whose_middle_it_holds(valid, evenings):
    forecast = read_forecast(as_bytes(nws_document([(valid, 8.0)])), SITE, "saved.json")
    assert [night.night.day for night in forecast.nights] == evenings


def test_wind_and_cloud_of_the_grid_cell_decide_calm_and_clear():
    nights = nws_nights(date(2027, 6, 1), [8.0, 8.0])
    whole = "2027-06-01T12:00:00+00:00/P2D"
    clear = ("wmoUnit:percent", [(whole, 10)])
    document = nws_document(nights, windSpeed=("wmoUnit:km_h-1", [(whole, 7.2)]), skyCover=clear)
    forecast = read_forecast(as_bytes(document), SITE, "saved.json")
    assert [n.calm_clear for n in forecast.nights] == [True, True]
    assert [n.wind_m_s for n in forecast.nights] == pytest.approx([2.0, 2.0])
    unknown = nws_document(nights, windSpeed=("wmoUnit:furlong", [(whole, 7.2)]), skyCover=clear)
    assert [n.calm_clear for n in read_forecast(as_bytes(unknown), SITE, "x.json").nights] == [None, None]
    cloudy = nws_document(nights, skyCover=("wmoUnit:percent", [(whole, 90)]))
    assert [n.calm_clear for n in read_forecast(as_bytes(cloudy), SITE, "x.json").nights] == [False, False]


def test_the_cells_height_is_kept():
    low = nws_document(nws_nights(date(2027, 6, 1), [8.0]), elevation_m=175.9)
    assert read_forecast(as_bytes(low), SITE, "saved.json").elevation_m == 175.9
    low["properties"]["elevation"]["unitCode"] = "wmoUnit:ft"
    assert read_forecast(as_bytes(low), SITE, "saved.json").elevation_m == SITE.elevation_m


def hourly(first: str, values) -> list:
    start = utc(first)
    return [(f"{start + timedelta(hours=n):%Y-%m-%dT%H:%M:%S}+00:00/PT1H", value) for n, value in enumerate(values)]


def test_a_cell_without_night_lows_falls_back_on_its_hours():
    hours = hourly("2027-06-01T20:00", [*[12.0] * 12, 4.0, *[12.0] * 20])
    document = nws_document([], temperature=("wmoUnit:degC", hours))
    del document["properties"]["minTemperature"]
    forecast = read_forecast(as_bytes(document), SITE, "saved.json")
    assert [(night.night, night.low_c) for night in forecast.nights] == [(date(2027, 6, 1), 4.0)]
    assert any("lowest of its hourly temperatures" in note for note in forecast.notes)


@pytest.mark.parametrize("layer", [None, {}, {"uom": "wmoUnit:degC", "values": []}])
def test_a_cell_with_neither_is_refused(layer):
    document = nws_document([], temperature=("wmoUnit:degC", []))
    del document["properties"]["minTemperature"]
    document["properties"]["temperature"] = layer
    with pytest.raises(InputFaults):
        read_forecast(as_bytes(document), SITE, "saved.json")


def test_gusts_highs_rain_and_hail_are_told_by_day():
    whole = "2027-06-01T14:00:00+00:00/P1D"
    document = nws_document(
        nws_nights(date(2027, 6, 1), [8.0, 9.0]), windGust=("wmoUnit:km_h-1", [(whole, 72.0)]),
        maxTemperature=("wmoUnit:degF", [(whole, 95.0)]), quantitativePrecipitation=("wmoUnit:mm", [(whole, 36.0)]),
        weather=(None, [(whole, [{"coverage": "chance", "weather": "thunderstorms", "attributes": ["small_hail"]}])]))
    first, second = read_forecast(as_bytes(document), SITE, "saved.json").nights
    assert (first.gust_m_s, first.high_c, first.rain_mm, first.hail) == (20.0, 35.0, 36.0, True)
    assert (second.gust_m_s, second.high_c, second.rain_mm, second.hail) == (None, None, None, None)
    document["properties"]["maxTemperature"]["uom"] = "furlong"
    assert read_forecast(as_bytes(document), SITE, "saved.json").nights[0].high_c is None
