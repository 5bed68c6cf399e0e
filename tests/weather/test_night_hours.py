"""Which hours make a night: time zones, clock changes, the date line, the leap day."""

from datetime import date, timedelta
from zoneinfo import ZoneInfo

import pytest
from invented import make_site
from weather.shapes import as_bytes, daily_wave, met_document, nws_document, nws_nights, utc

from seasonplan.errors import InputFaults
from seasonplan.weather.night_hours import (
    Gathered,
    assemble,
    covered,
    highest_over,
    is_calm_clear,
    mean_over,
    night_hours,
    nights_touched,
    sum_over,
)
from seasonplan.weather.reading import ForecastUnreadable
from seasonplan.weather.sources import read_forecast

START = utc("2027-06-01T15:00")
WAVE = daily_wave(12.0, 6.0, 11.0)


@pytest.mark.parametrize("service", ["met", "nws"])
def test_a_site_on_the_date_line(service):
    """Taveuni's meridian: the site is at 179.99 E, the forecast's point at 179.99 W; evenings are Fiji's."""
    site = make_site(latitude_deg=-16.8, longitude_deg=179.99, elevation_m=10.0, timezone="Pacific/Fiji")
    if service == "met":
        wave = daily_wave(22.0, 3.0, 17.0)
        document = met_document(utc("2027-06-01T02:00"), wave, latitude=-16.8, longitude=-179.99, altitude=10)
    else:
        lows = nws_nights(date(2027, 5, 31), [19.0, 19.0], start_utc="07:00")
        document = nws_document(lows, updated="2027-06-01T02:00:00+00:00", corner=(-179.99, -16.8), elevation_m=10.0)
    forecast = read_forecast(as_bytes(document), site, "saved.json")
    assert forecast.nights[0].night == date(2027, 6, 1)
    assert forecast.nights[0].low_c == pytest.approx(19.0, abs=0.1)
    assert not any("km from" in note for note in forecast.notes)


NIGHT_SITES = [
    ("Europe/Berlin", "2027-03-26T12:00", 13.4, 52.5),    # clocks go forward on 28 March
    ("Europe/Berlin", "2027-10-29T12:00", 13.4, 52.5),    # and back on 31 October
    ("Australia/Sydney", "2027-10-01T02:00", 151.2, -33.9),   # forward on 3 October
    ("Australia/Sydney", "2027-04-02T02:00", 151.2, -33.9),   # back on 4 April
    ("Asia/Kolkata", "2027-06-01T06:00", 77.2, 28.6),     # no clock changes, half-hour offset
    ("America/Phoenix", "2027-03-12T18:00", -112.1, 33.4),
    ("Europe/Berlin", "2028-02-26T12:00", 13.4, 52.5),    # holds 29 February
    ("Pacific/Kiritimati", "2027-06-01T00:00", -157.4, 1.9),  # UTC+14
]


@pytest.mark.parametrize(("zone", "start", "longitude", "latitude"), NIGHT_SITES)
def test_every_local_night_is_found_once_and_has_its_own_low(zone, start, longitude, latitude):
    """Each night gets its own low: the temperature falls by a degree from one local night to the next."""
    site = make_site(timezone=zone, longitude_deg=longitude, latitude_deg=latitude)
    begin = utc(start)
    first = begin.astimezone(ZoneInfo(zone)).date()

    def falling(at):
        local = at.astimezone(ZoneInfo(zone))
        evening = (local - timedelta(hours=13)).date()
        return 20.0 - (evening - first).days + (0.0 if local.hour == 5 else 5.0)

    document = met_document(begin, falling, latitude, longitude)
    forecast = read_forecast(as_bytes(document), site, "saved.json")
    assert [n.night for n in forecast.nights] == [first + timedelta(days=n) for n in range(len(forecast.nights))]
    assert [n.low_c for n in forecast.nights[:2]] == [20.0, 19.0] and len(forecast.nights) >= 7
    assert all(20.0 - n <= night.low_c <= 25.0 - n for n, night in enumerate(forecast.nights))


def test_a_document_that_runs_for_years_has_a_wrong_date_in_it():
    document = met_document(START, WAVE)
    document["properties"]["timeseries"][-1]["time"] = "2207-06-10T00:00:00Z"
    with pytest.raises(InputFaults, match="at most 60 days"):
        read_forecast(as_bytes(document), make_site(), "saved.json")


def test_a_night_lasts_an_hour_less_or_more_when_the_clocks_change():
    hours = [(night.end - night.start).total_seconds() / 3600 for evening in ("2027-03-26", "2027-03-27", "2027-10-30")
             for night in [night_hours(date.fromisoformat(evening), "Europe/Berlin")]]
    assert hours == [15.0, 14.0, 16.0]


def test_cover_has_no_gaps():
    at = [utc(f"2027-06-01T{hour:02d}:00") for hour in range(24)]
    assert covered([(at[5], at[9]), (at[0], at[6])], at[1], at[8])
    assert not covered([(at[0], at[5]), (at[6], at[9])], at[1], at[8])
    assert not covered([], at[1], at[8])


def test_a_mean_needs_most_of_the_night():
    night = night_hours(date(2027, 6, 1), "UTC")
    quarter = (night.end - night.start) / 4
    pieces = [(night.start + n * quarter, night.start + (n + 1) * quarter, float(n)) for n in range(4)]
    assert mean_over(pieces, night) == 1.5 and mean_over(pieces[:3], night) == 1.0
    assert mean_over(pieces[:2], night) is None and mean_over([], night) is None
    assert mean_over([(night.start - quarter, night.start + quarter, 9.0), *pieces[1:]], night) == 3.75


def test_calm_and_clear_needs_both_and_one_is_enough_against_it():
    assert is_calm_clear(1.0, 10.0) is True and is_calm_clear(2.5, 40.0) is True
    assert is_calm_clear(3.0, None) is False and is_calm_clear(None, 80.0) is False
    assert is_calm_clear(1.0, None) is None and is_calm_clear(None, None) is None


EVE = date(2027, 6, 1)


def at(text):
    return utc(f"2027-06-{text}")


def test_a_night_is_from_six_to_nine_its_core_from_midnight_to_six():
    night = night_hours(EVE, "UTC")
    assert (night.start, night.end) == (at("01T18:00"), at("02T09:00")) and night.day_start == at("01T09:00")
    assert (night.core_start, night.core_end) == (at("02T00:00"), at("02T06:00"))


@pytest.mark.parametrize(("first", "last", "evenings"), [
    ("01T18:00", "02T09:00", [1]), ("01T17:00", "02T18:00", [1]), ("01T18:00", "02T18:01", [1, 2]),
    ("02T09:00", "02T18:00", []), ("02T08:59", "02T12:00", [1]), ("02T00:00", "04T09:00", [1, 2, 3])])
def test_the_nights_that_a_time_touches(first, last, evenings):
    assert [night.evening.day for night in nights_touched(at(first), at(last), "UTC")] == evenings


def test_sixty_days_are_as_far_as_any_forecast_reaches():
    assert len(nights_touched(at("01T12:00"), at("01T12:00") + timedelta(days=60), "UTC")) == 60
    with pytest.raises(ForecastUnreadable):
        nights_touched(at("01T12:00"), at("01T12:01") + timedelta(days=60), "UTC")


def test_the_highest_and_the_sum_are_of_the_morning_before_to_the_end_of_the_night():
    night = night_hours(EVE, "UTC")                    # 24 hours from the first at 09:00 on
    pieces = [(at("01T08:00"), at("01T09:00"), 9.0), (at("01T09:00"), at("01T21:00"), 2.0),
              (at("01T21:00"), at("02T09:00"), 3.0), (at("02T09:00"), at("02T10:00"), 9.0)]
    assert highest_over(pieces, night) == 3.0 and sum_over(pieces, night) == pytest.approx(5.0)
    assert highest_over(pieces[:1], night) is None and sum_over(pieces[:2], night) is None
    assert sum_over([(at("01T03:00"), at("02T03:00"), 8.0)], night) == pytest.approx(6.0)
    assert mean_over([(at("01T12:00"), at("01T18:00"), 9.0), (at("01T18:00"), at("02T09:00"), 2.0),
                      (at("02T09:00"), at("02T12:00"), 9.0)], night) == pytest.approx(2.0)


def gathered(*days, faulty=(), asked=()):
    found = Gathered()
    for n in days:
        found.lows_c[EVE + timedelta(days=n)] = 5.0
    found.faulty += [f"fault {n}" for n in range(faulty)] if isinstance(faulty, int) else faulty
    found.asked |= {EVE + timedelta(days=n) for n in asked}
    return assemble("S", None, make_site(), found, None)


def test_what_is_missing_in_a_forecast_is_said():
    assert gathered(0, 1, 2).notes == () and [night.lead_days for night in gathered(3, 4).nights] == [0, 1]
    assert gathered(0, 2).notes == ("The forecast has no usable low for the night of Wed 2 Jun; the night model stands "
                                    "in.",)
    assert "Wed 2 Jun, Fri 4 Jun and Sun 6 Jun;" in gathered(0, 2, 4, asked=(5,)).notes[0]
    assert "Wed 2 Jun, Thu 3 Jun, Fri 4 Jun, Sat 5 Jun and 2 more;" in gathered(0, 7).notes[0]
    assert gathered(0, faulty=4).notes == (
        "Values that cannot be used were left out: fault 0, fault 1, fault 2 and 1 more.",)
    with pytest.raises(ForecastUnreadable, match="fault 0"):
        gathered(faulty=2)
