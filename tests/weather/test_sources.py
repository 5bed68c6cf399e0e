"""Forecasts through the door and from files: the two services, what fails, and what the person is told."""

from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner
from invented import make_site
from weather.conftest import EXPIRED_AT_ONCE, GOOD_FOR_AN_HOUR, Answer
from weather.shapes import as_bytes, daily_wave, lows_of, met_document, nws_document, nws_nights, utc

from seasonplan.cli.watch import watch
from seasonplan.errors import EXIT_SOURCE, InputFaults, SourceUnavailable
from seasonplan.weather.sources import SERVICES, decimals, met_norway, nws, read_forecast

SITE = make_site()
START = utc("2027-06-01T15:00")
WAVE = daily_wave(12.0, 6.0, 11.0)
LOWS = (8.0, 3.5, -0.5, 9.0)
MET = as_bytes(met_document(START, WAVE))
NWS = as_bytes(nws_document(nws_nights(date(2027, 6, 1), LOWS)))


def serve_met(server, body=MET, **answer) -> str:
    server.answers["/lf/complete"] = Answer(body, **answer)
    return f"{server.url}/lf"


def serve_nws(server, body=NWS, **answer) -> str:
    point = {"properties": {"gridId": "ABC", "forecastGridData": f"{server.url}/gridpoints/ABC/1,2"}}
    server.answers["/points/44.5,-93"] = Answer(as_bytes(point), headers=GOOD_FOR_AN_HOUR)
    server.answers["/gridpoints/ABC/1,2"] = Answer(body, **answer)
    return server.url


@pytest.mark.parametrize(("degrees", "text"), [
    (59.91334, "59.9133"), (-93.00009, "-93"), (-93.26509, "-93.265"), (0.00001, "0"), (-0.00001, "0"),
    (179.999999, "179.9999"), (-180.0, "-180"), (44.5, "44.5"), (90, "90")])
def test_positions_lose_their_digits_after_the_fourth(degrees, text):
    assert decimals(degrees) == text


def test_met_norway_is_asked_for_the_site_with_four_decimals_at_most(server, door):
    url = serve_met(server)
    met_norway(door, make_site(latitude_deg=44.500049, longitude_deg=-93.00009, elevation_m=250.4), url)
    assert [path for path, _ in server.seen] == ["/lf/complete?altitude=250&lat=44.5&lon=-93"]


def test_met_norway_nights(server, door):
    forecast = met_norway(door, SITE, serve_met(server))
    assert forecast.nights[0].night == date(2027, 6, 1) and len(forecast.nights) == 9
    assert all(abs(night.low_c - 6.0) < 0.1 for night in forecast.nights)
    assert [night.lead_days for night in forecast.nights] == list(range(9))
    assert all(night.calm_clear and night.wind_m_s == 1.0 for night in forecast.nights)
    assert forecast.issued == START and forecast.elevation_m == 250.0
    assert any("CC BY" in note for note in forecast.notes)


def test_nws_nights_take_two_requests_and_the_units_as_given(server, door):
    forecast = nws(door, SITE, serve_nws(server))
    assert lows_of(forecast) == list(zip((date(2027, 6, n) for n in (1, 2, 3, 4)), LOWS, strict=True))
    assert [path for path, _ in server.seen] == ["/points/44.5,-93", "/gridpoints/ABC/1,2"]
    fahrenheit = as_bytes(nws_document(nws_nights(date(2027, 6, 1), [46.4, 31.1]), unit="wmoUnit:degF"))
    assert lows_of(read_forecast(fahrenheit, SITE, "saved.json")) == [(date(2027, 6, 1), 8.0), (date(2027, 6, 2), -0.5)]


SAVED = {"met-norway": (MET, met_norway, serve_met), "nws": (NWS, nws, serve_nws)}
"""Of every service a document as it is saved to disk, its function, and how the local server stands in for it."""


@pytest.mark.parametrize("name", SERVICES)
def test_the_same_document_from_disk_gives_the_same_nights(server, door, name):
    document, fetch, serve = SAVED[name]
    assert SERVICES[name].fetch is fetch
    fetched = fetch(door, SITE, serve(server))
    assert len(fetched.nights) >= 3 and read_forecast(document, SITE, "saved.json").nights == fetched.nights
    assert SERVICES[name].parse(document, SITE).nights == fetched.nights


@pytest.mark.parametrize("name", SERVICES)
def test_every_service_is_named_where_a_person_looks(name):
    """In the command's help and the README."""
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    assert name in CliRunner().invoke(watch, ["--help"]).stdout.split("Without")[0] and name in readme


@pytest.mark.parametrize("fetch", [met_norway, nws])
def test_an_expired_forecast_is_used_and_said_so_when_the_service_is_down(server, door, fetch):
    serve = serve_met if fetch is met_norway else serve_nws
    fresh = fetch(door, SITE, serve(server, headers=EXPIRED_AT_ONCE))
    server.stop()
    stale = fetch(door, SITE, server.url + ("/lf" if fetch is met_norway else ""))
    assert stale.nights == fresh.nights and "could not be reached" in stale.notes[0]


@pytest.mark.parametrize("body", [MET[:4000], b"", b"[]", b"null", b"<html>Busy</html>", b'{"type": "Feature"}',
                                  MET.replace(b"celsius", b"furlong"), MET.replace(b'"units"', b'"other"'),
                                  MET.replace(b'"time": "2027-06-02T07:00:00Z"', b'"time": "yesterday"')])
def test_a_damaged_answer_is_never_used_in_part(server, door, body):
    with pytest.raises(SourceUnavailable, match="its answer cannot be used") as caught:
        met_norway(door, SITE, serve_met(server, body, headers=GOOD_FOR_AN_HOUR))
    assert caught.value.exit_code == EXIT_SOURCE
    good = met_norway(door, SITE, serve_met(server, headers=EXPIRED_AT_ONCE))
    kept = met_norway(door, SITE, serve_met(server, body))
    assert kept.nights == good.nights and "cannot be used" in kept.notes[0]


@pytest.mark.parametrize("status", [403, 404, 429, 500])
def test_a_refusing_service_ends_with_a_sentence(server, door, status):
    with pytest.raises(SourceUnavailable, match=f"MET Norway .*HTTP {status}"):
        met_norway(door, SITE, serve_met(server, b"no", status=status))


def test_a_place_outside_the_united_states_is_explained(server, door):
    with pytest.raises(SourceUnavailable, match="covers the United States"):
        nws(door, SITE, server.url)


@pytest.mark.parametrize("point", [{}, {"properties": {}}, {"properties": {"forecastGridData": "file:///x"}},
                                   {"properties": {"forecastGridData": 7}}])
def test_a_point_without_a_usable_address_is_refused(server, door, point):
    server.answers["/points/44.5,-93"] = Answer(as_bytes(point))
    with pytest.raises(SourceUnavailable, match="forecastGridData"):
        nws(door, SITE, server.url)


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
