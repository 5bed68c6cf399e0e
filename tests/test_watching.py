"""What `watch` does with folders: whose evening is meant, and what is kept."""

import json
from datetime import date, datetime

import pytest
from one_folder import watch_folder
from test_workflow import JUNE, calendar, frost, laid_out

from seasonplan.watching import Hour
from seasonplan.weather.sources import read_forecast


@pytest.fixture
def garden(tmp_path):
    return laid_out(tmp_path / "garden")


@pytest.mark.parametrize("clock, night", [("2027-06-20T00:30", 19), ("2027-06-20T05:59", 19), ("2027-06-20T06:00", 20),
                                          ("2027-06-20T23:59", 20)])
def test_before_six_in_the_morning_the_night_that_runs_is_meant(clock, night):
    hour = Hour.at(datetime.fromisoformat(clock))
    assert hour.night == date(2027, 6, night) and hour.today == JUNE and hour.written.isoformat()[:16] == clock


def spell(*lows):
    """A forecast file of nights from the twentieth on."""
    rows = "".join(f"2027-06-{20 + n},{low}\n" for n, low in enumerate(lows))
    return lambda scenario: read_forecast(f"date,tmin_c\n{rows}".encode(), scenario.site, "told.csv")


def test_a_second_look_of_an_evening_says_the_same_and_the_way_out_is_told_on_one_day(garden):
    told = spell(-4, -4, 12, 13, 13, 13, 13)
    looks = [watch_folder(garden, date(2027, 6, day), forecast=told).reports[0].evening
             for day in (20, 20, 21, 21, 22, 22, 23)]
    for first, again in zip(looks[0:6:2], looks[1:6:2], strict=True):
        assert first == again
    assert "carry" in looks[0].title and "stay in" in looks[2].title and "go out again" in looks[4].title
    assert looks[6] is None


def test_a_way_out_sooner_than_it_looked_is_told_on_one_day_too(garden):
    watch_folder(garden, date(2027, 6, 20), forecast=spell(-4, -4, -4, 12, 13, 13, 13))
    milder = spell(-4, 12, 13, 13, 13, 13, 13)
    out, after = (watch_folder(garden, date(2027, 6, day), forecast=milder).reports[0].evening
                  for day in (21, 22))
    assert "go out again" in out.title and after is None


def test_normals_alone_call_off_no_alert_that_knows_a_forecast(garden):
    watch_folder(garden, JUNE, forecast=frost)
    told, before = (garden / "out" / "plan.json").read_bytes(), calendar(garden)
    again = watch_folder(garden, JUNE)
    assert not again.act and "they know a forecast" in again.reports[0].notes[-1]
    assert (garden / "out" / "plan.json").read_bytes() == told and calendar(garden) == before
    assert json.loads(told)["alerts"] and b"UID:watch-" in before


def test_on_another_day_they_do(garden):
    watch_folder(garden, JUNE, forecast=frost)
    later = watch_folder(garden, date(2027, 6, 21))
    assert "they know" not in " ".join(later.reports[0].notes) and b"Over: Frost" in calendar(garden)
