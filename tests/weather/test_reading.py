"""Taking documents apart: damage, numbers, positions."""

import json
from datetime import date

import pytest
from invented import make_site
from weather.shapes import as_bytes, daily_wave, met_document, nws_document, nws_nights, utc

from seasonplan.errors import InputFaults
from seasonplan.weather.reading import ForecastUnreadable, distance_km, part
from seasonplan.weather.sources import read_forecast

SITE = make_site()
START = utc("2027-06-01T15:00")
WAVE = daily_wave(12.0, 6.0, 11.0)
MET = as_bytes(met_document(START, WAVE))


def test_a_forecast_for_another_place_is_refused_and_a_near_one_told():
    with pytest.raises(InputFaults, match="km from Invented town"):
        read_forecast(MET, make_site(latitude_deg=51.5, longitude_deg=0.0), "saved.json")
    near = read_forecast(as_bytes(met_document(START, WAVE, latitude=44.7)), SITE, "saved.json")
    assert any("22 km from the site" in note for note in near.notes)


def test_deeply_nested_json_is_damage_not_a_crash():
    with pytest.raises(InputFaults, match="cut off or damaged"):
        read_forecast(b'{"a":' + b"[" * 100_000, SITE, "saved.json")


def test_json_numbers_that_are_not_finite_are_not_temperatures():
    document = nws_document(nws_nights(date(2027, 6, 1), [8.0, float("nan")]))
    assert "NaN" in json.dumps(document)
    assert len(read_forecast(as_bytes(document), SITE, "saved.json").nights) == 1


def test_distances_on_the_globe():
    """A degree of latitude is 111.2 km on a sphere of 6371 km; the date line is no obstacle."""
    assert distance_km(45.5, -93.0, SITE) == pytest.approx(111.19, abs=0.01)
    fiji = make_site(latitude_deg=0.0, longitude_deg=179.9)
    assert distance_km(0.0, -179.9, fiji) == pytest.approx(0.2 * 111.19, abs=0.01)


def test_a_part_that_is_missing_is_named():
    with pytest.raises(ForecastUnreadable, match="a.b: it is missing"):
        part({"a": {}}, "a.b", str)
    with pytest.raises(ForecastUnreadable, match="a.b: found a list"):
        part({"a": {"b": []}}, "a.b", dict)


def test_a_forecast_without_a_position_says_so():
    document = met_document(START, WAVE)
    del document["geometry"]
    notes = read_forecast(as_bytes(document), SITE, "saved.json").notes
    assert "The forecast does not say which place it is for." in notes
