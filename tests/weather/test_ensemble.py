"""Open-Meteo's ensemble: nights member by member, what most of them bring, and what is wrong with a document."""

from datetime import date

import pytest
from invented import make_site
from weather.shapes import START, WAVE, as_bytes, ensemble_document

from seasonplan.errors import InputFaults
from seasonplan.weather.sources import read_forecast

SITE = make_site()
OFF_C = tuple(float(n) for n in range(-5, 6))


def read(document):
    return read_forecast(as_bytes(document), SITE, "saved.json")


def test_a_nights_low_is_the_members_median_with_their_percentiles():
    """Eleven members from 5 °C below the curve to 5 °C above; its lowest is 6 °C."""
    forecast = read(ensemble_document(START, WAVE, OFF_C))
    first = forecast.nights[0]
    assert forecast.ensemble and first.night == date(2027, 6, 1)
    assert (first.p10_c, first.low_c, first.p90_c) == pytest.approx((2.0, 6.0, 10.0), abs=0.05)
    assert len(forecast.nights) == 7 and any("CC BY 4.0" in note for note in forecast.notes)


def test_each_member_has_its_own_night():
    """One member is cold at midnight, another at dawn: neither night is as cold as both together."""
    document = ensemble_document(START, lambda at: 10.0, (0.0,) * 6)
    times = document["hourly"]["time"]
    document["hourly"]["temperature_2m"][times.index("2027-06-02T05:00")] = 1.0
    document["hourly"]["temperature_2m_member01"][times.index("2027-06-02T10:00")] = 2.0
    first = read(document).nights[0]
    assert first.low_c == 10.0 and first.p10_c == pytest.approx(1.5)


def test_the_rest_of_the_sky_is_what_most_members_bring():
    stormy = ensemble_document(START, WAVE, OFF_C, wind_gusts_10m=21.0, precipitation=2.0, weather_code=96.0)
    first = read(stormy).nights[1]
    assert (first.gust_m_s, first.rain_mm, first.hail) == (21.0, 48.0, True) and first.high_c == pytest.approx(18.0)
    assert first.calm_clear is True and first.wind_m_s == pytest.approx(1.0)
    windy = read(ensemble_document(START, WAVE, OFF_C, wind_speed_10m=6.0)).nights[1]
    assert windy.calm_clear is False and windy.hail is False


def test_local_times_are_understood_by_their_offset():
    chicago = read(ensemble_document(START, WAVE, OFF_C, offset_s=-5 * 3600))
    assert chicago.nights == read(ensemble_document(START, WAVE, OFF_C)).nights


def test_other_units_are_converted_and_unknown_ones_left_out():
    document = ensemble_document(START, WAVE, OFF_C, wind_gusts_10m=36.0)
    for key in document["hourly_units"]:
        if key.startswith("wind_gusts"):
            document["hourly_units"][key] = "km/h"
        if key.startswith("precipitation"):
            document["hourly_units"][key] = "bucket"
    first = read(document).nights[0]
    assert first.gust_m_s == pytest.approx(10.0) and first.rain_mm is None


def test_nulls_and_nonsense_leave_a_member_out():
    document = ensemble_document(START, WAVE, OFF_C)
    document["hourly"]["temperature_2m"] = [None] * 168
    document["hourly"]["temperature_2m_member01"][12] = -400.0
    document["hourly"]["temperature_2m_member02"][12] = "cold"
    assert read(document).nights[0].low_c == pytest.approx(7.5, abs=0.05)


def test_the_height_is_the_one_the_temperatures_are_for():
    assert read(ensemble_document(START, WAVE, OFF_C, elevation=120.0)).elevation_m == 120.0


@pytest.mark.parametrize("spoil, told", [
    (lambda d: d.update(error=True, reason="Too many requests"), "Too many requests"),
    (lambda d: d["hourly"].pop("time"), "hourly.time"),
    (lambda d: d["hourly"].update(time=["x"] * 168), "hourly.time"),
    (lambda d: d["hourly"].update(time=d["hourly"]["time"][::-1]), "rise"),
    (lambda d: d["hourly"].update(temperature_2m=[1.0]), "different lengths"),
    (lambda d: d["hourly_units"].update(temperature_2m="°X"), "hourly_units.temperature_2m"),
    (lambda d: [d["hourly"].pop(f"temperature_2m_member{n:02d}") for n in range(1, 11)], "1 members"),
    (lambda d: d.update(latitude=-44.5), "a place"),
])
def test_a_spoiled_document_is_refused(spoil, told):
    document = ensemble_document(START, WAVE, OFF_C)
    spoil(document)
    with pytest.raises(InputFaults, match=told):
        read(document)


def test_gaps_in_the_core_of_a_night_leave_it_out():
    document = ensemble_document(START, WAVE, OFF_C)
    keep = [n for n, text in enumerate(document["hourly"]["time"]) if not "2027-06-03T04" < text < "2027-06-03T12"]
    document["hourly"] = {name: [values[n] for n in keep] for name, values in document["hourly"].items()}
    assert date(2027, 6, 2) not in [night.night for night in read(document).nights]
