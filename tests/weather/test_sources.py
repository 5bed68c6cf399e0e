"""Forecasts through the door and from files: every source of the table, what fails, and what the person is told."""

import json
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner
from invented import make_site
from weather.conftest import EXPIRED_AT_ONCE, GOOD_FOR_AN_HOUR, Answer
from weather.shapes import EXAMPLES, PATHS, START, as_bytes, lows_of, nws_document, nws_nights

from seasonplan.cli.watch import watch
from seasonplan.errors import EXIT_SOURCE, InputFaults, SourceUnavailable
from seasonplan.weather.door import DEFAULT_USER_AGENT
from seasonplan.weather.sources import SOURCES, decimals, read_forecast

SITE = make_site()
KEYS = tuple(SOURCES)
MET = EXAMPLES["met-norway"]


@pytest.fixture
def door(door):
    return replace(door, user_agent="invented@example.org")


def serve(server, key: str, body: bytes | None = None, **answer) -> str:
    """Puts a source's example, or another body, on the server; the base address."""
    point = {"properties": {"gridId": "ABC", "forecastGridData": f"{server.url}{PATHS['nws']}"}}
    server.answers["/points/44.5,-93"] = Answer(as_bytes(point), headers=GOOD_FOR_AN_HOUR)
    server.answers[PATHS[key]] = Answer(EXAMPLES[key] if body is None else body, **answer)
    return server.url


def test_every_source_has_an_example_and_stands_in_the_papers():
    """What is easily forgotten when one is added; DEVELOPERS.md says what belongs to it."""
    root = Path(__file__).parents[2]
    readme, developers = ((root / name).read_text(encoding="utf-8") for name in ("README.md", "DEVELOPERS.md"))
    assert set(EXAMPLES) == set(PATHS) == set(SOURCES)
    for source in SOURCES.values():
        assert f"--forecast {source.key}" in readme and source.licence in readme and source.key in developers
        assert source.key in "".join(CliRunner().invoke(watch, ["--help"]).output.split())
        assert source.covers and source.saved and source.base_url.startswith("https://")
        assert [other.key for other in SOURCES.values() if other.holds(json.loads(EXAMPLES[source.key]))] \
            == [source.key]


@pytest.mark.parametrize(("degrees", "text"), [
    (59.91334, "59.9133"), (-93.00009, "-93"), (-93.26509, "-93.265"), (0.00001, "0"), (-0.00001, "0"),
    (179.999999, "179.9999"), (-180.0, "-180"), (44.5, "44.5"), (90, "90")])
def test_positions_lose_their_digits_after_the_fourth(degrees, text):
    assert decimals(degrees) == text


def test_met_norway_is_asked_for_the_site_with_four_decimals_at_most(server, door):
    site = make_site(latitude_deg=44.500049, longitude_deg=-93.00009, elevation_m=250.4)
    SOURCES["met-norway"].fetch(door, site, serve(server, "met-norway"))
    assert [path for path, _ in server.seen] == ["/complete?altitude=250&lat=44.5&lon=-93"]


def test_open_meteo_is_asked_for_every_variable_in_our_units(server, door):
    SOURCES["open-meteo"].fetch(door, SITE, serve(server, "open-meteo"))
    [(path, _)] = server.seen
    for piece in ("latitude=44.5&longitude=-93&elevation=250", "hourly=temperature_2m,cloud_cover",
                  "wind_speed_unit=ms", "timezone=GMT", "models=ecmwf_ifs025"):
        assert piece in path


def test_met_norway_is_not_asked_without_a_contact(server, door):
    for agent in ("me", DEFAULT_USER_AGENT):
        with pytest.raises(SourceUnavailable, match="terms of service ask for a User-Agent") as caught:
            SOURCES["met-norway"].fetch(replace(door, user_agent=agent), SITE, serve(server, "met-norway"))
        assert "--user-agent" in caught.value.reason and caught.value.exit_code == EXIT_SOURCE
    assert server.seen == []


def test_met_norway_nights(server, door):
    forecast = SOURCES["met-norway"].fetch(door, SITE, serve(server, "met-norway"))
    assert forecast.nights[0].night == date(2027, 6, 1) and len(forecast.nights) == 9
    assert all(abs(night.low_c - 6.0) < 0.1 for night in forecast.nights)
    assert [night.lead_days for night in forecast.nights] == list(range(9))
    assert all(night.calm_clear and night.wind_m_s == 1.0 for night in forecast.nights)
    assert forecast.issued == START and forecast.elevation_m == 250.0


def test_nws_nights_take_two_requests_and_the_units_as_given(server, door):
    forecast = SOURCES["nws"].fetch(door, SITE, serve(server, "nws"))
    assert lows_of(forecast) == list(zip((date(2027, 6, n) for n in (1, 2, 3, 4)), (8.0, 3.5, -0.5, 9.0), strict=True))
    assert [path for path, _ in server.seen] == ["/points/44.5,-93", "/gridpoints/ABC/1,2"]
    fahrenheit = as_bytes(nws_document(nws_nights(date(2027, 6, 1), [46.4, 31.1]), unit="wmoUnit:degF"))
    assert lows_of(read_forecast(fahrenheit, SITE, "saved.json")) == [(date(2027, 6, 1), 8.0), (date(2027, 6, 2), -0.5)]


@pytest.mark.parametrize("key", KEYS)
def test_the_same_document_from_disk_gives_the_same_nights(server, door, key):
    fetched = SOURCES[key].fetch(door, SITE, serve(server, key))
    saved = read_forecast(EXAMPLES[key], SITE, "saved.json")
    assert saved.nights == fetched.nights and saved.nights[0].night == date(2027, 6, 1)
    assert saved.notes[0] == f"Forecast of {SOURCES[key].name}, read from saved.json."


@pytest.mark.parametrize("key", KEYS)
def test_an_expired_forecast_is_used_and_said_so_when_the_service_is_down(server, door, key):
    fresh = SOURCES[key].fetch(door, SITE, serve(server, key, headers=EXPIRED_AT_ONCE))
    server.stop()
    stale = SOURCES[key].fetch(door, SITE, server.url)
    assert stale.nights == fresh.nights and "could not be reached" in stale.notes[0]


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize("damage", [
    lambda body: body[:len(body) // 2], lambda body: b"", lambda body: b"[]", lambda body: b"null",
    lambda body: b"<html>Busy</html>", lambda body: b'{"type": "Feature"}',
    lambda body: body.replace(b"celsius", b"furlong").replace(b"degC", b"furlong").replace(b"\\u00b0C", b"furlong"),
    lambda body: body.replace(b"2027-06-02T07:00", b"yesterday").replace(b"2027-06-02T01:00", b"yesterday"),
    lambda body: b'{"error": true, "reason": "busy"}'])
def test_a_damaged_answer_is_never_used_in_part(server, door, key, damage):
    with pytest.raises(SourceUnavailable, match="its answer cannot be used") as caught:
        SOURCES[key].fetch(door, SITE, serve(server, key, damage(EXAMPLES[key]), headers=GOOD_FOR_AN_HOUR))
    assert caught.value.exit_code == EXIT_SOURCE
    good = SOURCES[key].fetch(door, SITE, serve(server, key, headers=EXPIRED_AT_ONCE))
    kept = SOURCES[key].fetch(door, SITE, serve(server, key, damage(EXAMPLES[key])))
    assert kept.nights == good.nights and "cannot be used" in kept.notes[0]


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize("status", [403, 404, 429, 500])
def test_a_refusing_service_ends_with_a_sentence(server, door, key, status):
    with pytest.raises(SourceUnavailable, match=f"{SOURCES[key].name}.*HTTP {status}"):
        SOURCES[key].fetch(door, SITE, serve(server, key, b"no", status=status))


def test_a_place_outside_the_united_states_is_explained(server, door):
    with pytest.raises(SourceUnavailable, match="covers the United States"):
        SOURCES["nws"].fetch(door, SITE, server.url)


@pytest.mark.parametrize("point", [{}, {"properties": {}}, {"properties": {"forecastGridData": "file:///x"}},
                                   {"properties": {"forecastGridData": 7}}])
def test_a_point_without_a_usable_address_is_refused(server, door, point):
    server.answers["/points/44.5,-93"] = Answer(as_bytes(point))
    with pytest.raises(SourceUnavailable, match="forecastGridData"):
        SOURCES["nws"].fetch(door, SITE, server.url)


@pytest.mark.parametrize("text", [
    b"", b"date,tmin_c\n", b"date,low\n2027-06-03,5\n", b"date,tmin_c,tmin_f\n2027-06-03,5,41\n", b"tmin_c\n5\n",
    b"<html></html>", b"{", b'{"properties": {}}', b"[1]", b"\xff\xfe\x00",
    b'{"properties": {"periods": [], "forecastGridData": "https://x"}}'])
def test_a_file_that_is_no_forecast_is_a_fault_of_the_input(text):
    with pytest.raises(InputFaults) as caught:
        read_forecast(text, SITE, "forecast.csv")
    assert all(fault.file == "forecast.csv" for fault in caught.value.faults)


def test_a_saved_points_answer_says_what_to_save_instead():
    point = {"properties": {"forecastGridData": "https://api.weather.gov/gridpoints/ABC/1,2"}}
    with pytest.raises(InputFaults, match="Save what its forecastGridData address gives"):
        read_forecast(as_bytes(point), SITE, "saved.json")
