"""The report of `watch`: the June frost, who is warned, where they go, by when, and how it clears."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest
from invented import make_daylight, make_site
from weather.garden import (
    BACK,
    GLASS,
    LAWN,
    OUT,
    PLACES,
    WINDOW,
    garden_plant,
    make_forecast,
    make_garden,
    standing_at,
)

from seasonplan.errors import EXIT_SOURCE, SourceUnavailable
from seasonplan.model import Forecast, ForecastNight, LogEntry, Rules
from seasonplan.weather.alerts import alert_uid, by_time, from_tonight, watch_report

TODAY, FROST_NIGHT = date(2027, 6, 1), date(2027, 6, 3)
MILD = (16.0, 17.0, 17.0, 17.0, 17.0)
FROSTY = (16.0, 17.0, -1.0, 17.0, 17.0)
STANDING = (("Dumb cane", 12.0, "porch", 1), ("Fern", 10.0, "lawn", 2), ("Fig", 5.0, "lawn", 1),
            ("Lemon", 2.0, "cold frame", 1), ("Houseleek", -8.0, "lawn", 1), ("Orchid", 13.0, "", 1))


def garden(**given):
    standing = [standing_at(garden_plant(name, harm, count=count), place) for name, harm, place, count in STANDING]
    return make_garden(standing, **given)


def on(report, night: date) -> dict[tuple[str, str | None], tuple[str, ...]]:
    """(place, where to) -> plants."""
    return {(alert.place, alert.to): alert.plants for alert in report.alerts if alert.night == night}


def test_a_frost_in_june_warns_exactly_the_plants_it_would_harm():
    report = watch_report(garden(), make_forecast(FROST_NIGHT, FROSTY[2:]), FROST_NIGHT)
    assert on(report, FROST_NIGHT) == {("porch", "south window"): ("Dumb cane",), ("lawn", "north room"): ("Fern",),
                                       ("lawn", "cold frame"): ("Fig",)}
    assert {alert.night for alert in report.alerts} == {FROST_NIGHT} and all(alert.act for alert in report.alerts)
    porch, lawn = report.alerts[0], report.alerts[2]
    assert (porch.forecast_low_c, porch.low_c_at_place) == (-1.0, 0.0) and lawn.low_c_at_place == -1.0
    assert porch.frost and lawn.frost and lawn.action.startswith("Frost.")
    assert (porch.threshold_c, lawn.threshold_c) == (12.0, 10.0)
    assert porch.chance > 0.99 and lawn.chance > 0.99
    assert {alert.out_again for alert in report.alerts} == {FROST_NIGHT + timedelta(days=1)}


def test_two_days_ahead_it_is_announced_and_asks_for_nothing_yet():
    report = watch_report(garden(), make_forecast(TODAY, FROSTY), TODAY)
    assert {(a.place, a.plants, a.level) for a in report.alerts} == {
        ("porch", ("Dumb cane",), "keep-watch"), ("lawn", ("Fern", "Fig"), "keep-watch")}
    lawn = report.alerts[1]
    assert lawn.night == FROST_NIGHT and not lawn.act and lawn.to is None and lawn.frost
    assert lawn.action.startswith("Frost is possible. Be ready for Fern and Fig (3 pots)")
    assert "Nothing to do yet" in lawn.action and lawn.out_again == FROST_NIGHT + timedelta(days=1)


def test_the_plants_are_sent_to_places_with_room():
    """The window holds 3 pots and has one: the dumb cane still fits, the two ferns do not. The cold frame has room for
    one more, and 7 °C is enough for the fig only."""
    report = watch_report(garden(), make_forecast(FROST_NIGHT, FROSTY[2:]), FROST_NIGHT)
    texts = {alert.plants: alert.action for alert in report.alerts}
    assert "Carry Dumb cane from porch in to south window." in texts["Dumb cane",]
    assert "Carry Fern (2 pots) from lawn in to north room." in texts["Fern",]
    assert "Move Fig from lawn to cold frame" in texts["Fig",] and "Out again on Fri 4 Jun" in texts["Fig",]


def test_a_cold_night_without_frost_is_not_called_frost():
    report = watch_report(garden(), make_forecast(TODAY, (7.0,)), TODAY)
    lawn = next(a for a in report.alerts if a.place == "lawn")
    assert not lawn.frost and "Frost" not in lawn.action and lawn.plants == ("Fern",)
    assert "Move Fern (2 pots)" not in lawn.action


def test_a_mild_forecast_clears_the_alerts():
    assert watch_report(garden(), make_forecast(TODAY, MILD), TODAY).alerts == ()


def test_the_uid_depends_on_site_night_and_place_alone():
    one = watch_report(garden(), make_forecast(TODAY, FROSTY), TODAY).alerts
    other = watch_report(garden(), make_forecast(TODAY, (16.0, 17.0, 1.5, 17.0)), TODAY).alerts
    assert [a.uid for a in one] == [a.uid for a in other] and one != other
    keys = (("a", TODAY, "x"), ("b", TODAY, "x"), ("a", FROST_NIGHT, "x"), ("a", TODAY, "X"))
    uids = {alert_uid(*key) for key in keys}
    assert len(uids) == 4 and not any("/" in uid for uid in uids)
    assert alert_uid("a", TODAY, "庭/..").startswith("watch-2027-06-01-place-")


def test_every_uid_of_a_report_is_its_own():
    uids = [a.uid for a in watch_report(garden(), make_forecast(TODAY, [4.0] * 8), TODAY).alerts]
    assert len(uids) == len(set(uids)) > 10


def test_a_clear_calm_night_is_two_degrees_colder_on_the_lawn_but_not_under_the_roof():
    plants = [standing_at(garden_plant("Fern", 10.0), "lawn"), standing_at(garden_plant("Palm", 10.0), "porch")]
    report = watch_report(make_garden(plants), make_forecast(TODAY, (10.5,), calm_clear=True), TODAY)
    assert {a.plants[0]: a.low_c_at_place for a in report.alerts} == {"Fern": 8.5, "Palm": 11.5}


def test_an_unknown_sky_is_told():
    report = watch_report(garden(), make_forecast(TODAY, MILD, calm_clear=None), TODAY)
    assert any("does not say which nights are clear and calm" in note for note in report.notes)
    known = watch_report(garden(), make_forecast(TODAY, MILD), TODAY)
    assert not any("clear and calm" in note for note in known.notes)
    assert all("miss by about 1.3 °C" in " ".join(r.notes) for r in (report, known))


def test_a_station_forecast_is_moved_by_height_and_offset():
    site = make_site(elevation_m=450.0, station_elevation_m=250.0, night_offset_c=-0.7)
    plan = make_garden([standing_at(garden_plant("Fern", 10.0), "lawn")], site=site)
    (alert,) = watch_report(plan, make_forecast(TODAY, (9.0,), elevation_m=None), TODAY).alerts
    assert alert.forecast_low_c == 9.0 and alert.low_c_at_place == pytest.approx(9.0 - 0.7 - 1.0)


def test_the_log_decides_who_is_in_danger():
    brought_in = garden(log=(LogEntry(TODAY, "move-in", "Fern"),))
    report = watch_report(brought_in, make_forecast(TODAY, FROSTY), TODAY)
    assert on(report, FROST_NIGHT)["lawn", None] == ("Fig",)
    taken_out = garden(log=(LogEntry(TODAY, "move-out", "Orchid", "lawn"),))
    report = watch_report(taken_out, make_forecast(TODAY, FROSTY), TODAY)
    assert "Orchid" in on(report, FROST_NIGHT)["lawn", None]


def test_before_and_after_the_season_nothing_stands_outside():
    for today in (OUT - timedelta(days=10), BACK + timedelta(days=10)):
        assert watch_report(garden(), make_forecast(today, [-5.0] * 3), today).alerts == ()


def test_without_a_forecast_the_normals_answer_for_tonight_only():
    october = date(2027, 10, 5)
    late = make_garden([standing_at(garden_plant("Fern", 10.0), "lawn", back=date(2027, 11, 1))])
    report = watch_report(late, None, october)
    (alert,) = report.alerts
    assert alert.night == october and alert.forecast_low_c is None and alert.act
    assert report.source == "night normals" and report.issued == "2027-10-05"
    assert not any(night.from_forecast for night in report.outlook) and len(report.outlook) == 3 * 30


def test_by_is_an_hour_before_sunset_and_18_00_where_the_sun_does_not_set():
    plan = garden()
    light = make_daylight(PLACES)
    n = (FROST_NIGHT - light.dates[0]).days

    def by(sunset: float) -> str:
        sunset_min = light.sunset_min.copy()
        sunset_min[n] = sunset
        return by_time(replace(plan, daylight=replace(light, sunset_min=sunset_min)), FROST_NIGHT)

    assert by(1200.0) == "2027-06-03T19:00" and by(1012.9) == "2027-06-03T15:52"
    assert by(1410.0) == "2027-06-03T21:00" and by(np.nan) == "2027-06-03T18:00"
    assert by_time(plan, date(2031, 1, 1)) == "2031-01-01T18:00"


def test_past_nights_are_dropped_and_a_forecast_of_the_past_is_no_source():
    report = watch_report(garden(), make_forecast(TODAY - timedelta(days=2), (-3.0, -3.0, 16.0, 17.0)), TODAY)
    assert report.alerts == ()
    with pytest.raises(SourceUnavailable, match="its last night is Sat 29 May 2027") as caught:
        watch_report(garden(), make_forecast(date(2027, 5, 28), (9.0, 9.0)), TODAY)
    assert caught.value.exit_code == EXIT_SOURCE


def test_a_table_counts_as_made_today_and_a_dated_forecast_keeps_its_lead():
    undated = from_tonight(make_forecast(date(2027, 5, 1), [9.0] * 40), TODAY)
    assert undated.nights[0].night == TODAY and undated.nights[0].lead_days == 0
    dated = make_forecast(date(2027, 5, 29), [9.0] * 9, issued=datetime(2027, 5, 29, 12, tzinfo=UTC))
    assert from_tonight(dated, TODAY).nights[0].lead_days == 3
    assert any("3 days ago" in note for note in from_tonight(dated, TODAY).notes)


def test_tonight_missing_from_the_forecast_is_told():
    report = watch_report(garden(), make_forecast(TODAY + timedelta(days=1), MILD), TODAY)
    assert any("says nothing about tonight" in note for note in report.notes)


def test_nights_beyond_the_reach_of_forecasts_are_told():
    report = watch_report(garden(), make_forecast(TODAY, [16.0] * 12), TODAY)
    assert any("Forecast nights after Thu 10 Jun are too far ahead" in note for note in report.notes)
    curve = [night.from_forecast for night in report.outlook if (night.threshold_c, night.place) == (10.0, "lawn")]
    assert curve == [True] * 10 + [False] * 20


def test_notes_of_the_source_reach_the_person_and_its_time_is_kept():
    issued = datetime(2027, 6, 1, 14, 5, tzinfo=UTC)
    forecast = replace(make_forecast(TODAY, MILD, issued=issued), notes=("Using the copy of yesterday.",))
    report = watch_report(garden(), forecast, TODAY)
    assert report.notes[0] == "Using the copy of yesterday." and report.issued == "2027-06-01T14:05:00Z"
    assert report.source == "Invented forecast" and report.site == "Invented town"


def test_sentences_are_in_the_persons_units():
    plan = make_garden([standing_at(garden_plant("Fern", 10.0), "lawn")], rules=Rules(year=2027, units="imperial"))
    report = watch_report(plan, make_forecast(TODAY, MILD, calm_clear=None), TODAY)
    assert "2.3 °F" in " ".join(report.notes) and "°C" not in " ".join((*report.notes, *report.advice))


def test_the_southern_hemisphere():
    """November nights in an invented southern garden, planned from July on."""
    site = make_site(latitude_deg=-36.8, longitude_deg=174.8, timezone="Pacific/Auckland")
    today = date(2027, 11, 20)
    fern = standing_at(garden_plant("Fern", 10.0), "lawn", date(2027, 11, 10), date(2028, 4, 1))
    base = make_garden([fern], site=site)
    winter_in_july = np.roll(base.climate.mean_c, 182)
    plan = replace(base, climate=replace(base.climate, mean_c=winter_in_july),
                   daylight=make_daylight(PLACES, latitude_deg=-36.8))
    report = watch_report(plan, make_forecast(today, (15.0, 3.0)), today)
    (alert,) = report.alerts
    assert alert.night == date(2027, 11, 21) and alert.by == "2027-11-21T19:00"
    assert watch_report(plan, make_forecast(today, (15.0, 16.0)), today).alerts == ()


def test_a_night_of_29_february():
    plan = make_garden([standing_at(garden_plant("Fern", 10.0), "lawn", date(2028, 1, 10), date(2028, 4, 1))])
    today = date(2028, 2, 28)
    nights = [a.night for a in watch_report(plan, make_forecast(today, (2.0, 2.0, 2.0)), today).alerts]
    assert nights == [date(2028, 2, 28), date(2028, 2, 29), date(2028, 3, 1)]


def test_the_same_input_gives_the_same_report():
    one, two = (watch_report(garden(), make_forecast(TODAY, FROSTY, None), TODAY) for _ in range(2))
    assert (one.alerts, one.advice, one.notes, one.outlook) == (two.alerts, two.advice, two.notes, two.outlook)


def test_a_gap_night_raises_no_alert_of_its_own():
    nights = (ForecastNight(TODAY, 16.0, 0, False), ForecastNight(FROST_NIGHT, -1.0, 2, False))
    report = watch_report(garden(), Forecast("x", None, nights, (), 250.0), TODAY)
    assert {a.night for a in report.alerts} == {FROST_NIGHT}


def test_everything_full_still_gives_an_answer():
    places = (replace(WINDOW, room_for=0), GLASS, LAWN)
    plan = make_garden([standing_at(garden_plant("Fern", 10.0, count=3), "lawn")], places)
    (alert,) = watch_report(plan, make_forecast(TODAY, (-1.0,)), TODAY).alerts
    assert "no room left by your own count" in alert.action and alert.to == "south window"
