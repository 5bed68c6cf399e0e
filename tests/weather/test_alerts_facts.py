"""The facts of alerts at their limits: how they are rounded and grouped, by when, how old."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from types import SimpleNamespace

import pytest
from invented import make_daylight
from weather.garden import GLASS, LAWN, WINDOW, garden_plant, make_forecast, make_garden, standing_at

from seasonplan.model import Alert, Reading
from seasonplan.weather.alerts import alert_uid, by_time, from_tonight, watch_report

TODAY = date(2027, 6, 1)


def report(low_c, *plants, places=(WINDOW, GLASS, LAWN), nights=(), **given):
    """The report of an evening; plants: (plant, place)."""
    plan = make_garden([standing_at(plant, place) for plant, place in plants], places)
    return watch_report(plan, make_forecast(TODAY, [low_c, *nights, 16.0, 16.0, 16.0]), TODAY, **given)


def test_numbers_are_rounded_as_they_are_shown():
    [alert] = report(2.349, (garden_plant("Fern", 10.049), "lawn")).alerts
    assert (alert.forecast_low_c, alert.threshold_c, alert.low_c_at_place) == (2.3, 10.0, 2.3)
    [close] = report(10.3, (garden_plant("Fern", 10.0), "lawn")).alerts
    assert close.chance == round(close.chance, 3) and 0.05 < close.chance < 1


@pytest.mark.parametrize(("low", "frost"), [(0.0, True), (0.04, True), (3.9, False), (-2.0, True)])
def test_a_low_of_nought_is_frost(low, frost):
    [alert] = report(low, (garden_plant("Fern", 10.0), "lawn")).alerts
    assert alert.frost == frost and alert.action.startswith("Frost. ") == frost


def test_those_that_stay_in_are_told_apart_from_those_that_are_carried_now():
    fern, fig = garden_plant("Fern", 10.0), garden_plant("Fig", 9.0)
    before = [Alert("a", TODAY - timedelta(days=1), "lawn", 2.0, 2.0, 0.9, 10.0, ("Fern",), "In.", "2027-05-31T20:00",
                    to="south window")]
    alerts = report(2.0, (fern, "lawn"), (fig, "lawn"), before=before).alerts
    assert {alert.plants: alert.stays for alert in alerts if alert.act} == {("Fern",): True, ("Fig",): False}
    assert len({alert.uid for alert in alerts}) == len(alerts)


def test_two_places_have_alerts_of_their_own_in_the_order_of_the_places():
    plants = [(garden_plant("Fern", 10.0), "lawn"), (garden_plant("Fig", 14.0), "cold frame")]
    assert [alert.place for alert in report(-4.0, *plants).alerts if alert.act] == ["cold frame", "lawn"]


@pytest.mark.parametrize(("sunset_min", "by"), [
    (1200.0, "19:00"), (60.0, "00:00"), (61.0, "00:01"), (30.0, "00:00"), (float("nan"), "18:00")])
def test_by_an_hour_before_sunset_but_not_before_midnight(sunset_min, by):
    light = replace(make_daylight(), sunset_min=make_daylight().sunset_min * 0 + sunset_min)
    for night in (light.dates[0], light.dates[200], light.dates[-1]):
        assert by_time(SimpleNamespace(daylight=light), night) == f"{night}T{by}"
    assert by_time(SimpleNamespace(daylight=light), light.dates[-1] + timedelta(days=1)).endswith("T18:00")
    assert by_time(SimpleNamespace(daylight=light), light.dates[0] - timedelta(days=1)).endswith("T18:00")


@pytest.mark.parametrize(("days", "told"), [(0, None), (1, None), (2, "2 days ago"), (3, "3 days ago")])
def test_a_forecast_of_the_day_before_yesterday_says_its_age(days, told):
    issued = datetime(2027, 6, 1, 6, tzinfo=UTC) - timedelta(days=days)
    notes = from_tonight(make_forecast(TODAY, [5.0, 6.0], issued=issued), TODAY).notes
    assert notes == (() if told is None else (
        f"This forecast was made on {issued:%a} {issued.day} {issued:%b} {issued.year}, {told}.",))


def test_a_thermometer_read_after_today_teaches_nothing():
    plants = [(garden_plant("Fern", 10.0), "lawn")]
    later = [Reading(TODAY + timedelta(days=n), "lawn", 1.0) for n in range(1, 9)]
    assert report(9.0, *plants, readings=later).alerts == report(9.0, *plants, readings=[]).alerts


def test_the_uid_of_an_alert_is_the_same_on_every_machine():
    assert alert_uid("Invented town", TODAY, "lawn") == "watch-2027-06-01-lawn-c01dbbb7@seasonplan.invalid"
    assert alert_uid("Invented town", TODAY, "lawn", "x") == "watch-2027-06-01-lawn-9685ab5f@seasonplan.invalid"
