"""Dates from monthly normals against the years that stations recorded.

Source: the daily records in the `aquacrop` package, version 3.1.0 (aquacrop/data/*_climate.txt); see truth/table.py,
which counts the observed dates and prints what is tested here by station.
"""

import csv
from pathlib import Path

import numpy as np
import pytest
from truth.table import (
    LATITUDES,
    THRESHOLDS_C,
    across_halves,
    bias,
    came_true,
    climate_of,
    from_normals,
    lows_of,
    mean_error,
    normals_of,
    record_of,
    season_halves,
    yearly_dates,
    years_of,
)

from seasonplan.climate.crossings import autumn_index, spring_index
from seasonplan.climate.recorded import recorded_tables
from seasonplan.climate.spread import estimated_sd
from seasonplan.dates import DAYS
from seasonplan.model import SD_KINDS, Site

STATION_MAE_DAYS, ALL_MAE_DAYS, BIAS_DAYS = 4.5, 3.5, 2.5
"""What the project asks of dates from normals with sd; a 30-year record fixes its 1-in-10 date to about 4 days."""
OTHER_SD_ALL_MAE_DAYS = {"month": 3.7, "within": 4.0}
"""A sd over all nights of a month holds the month's own drift, of which the model takes out half and at most 6 % of the
variance: 0.4 days over a sd about the daily mean. The mean of single years' sd lacks a tenth of the spread besides,
what whole months of one year have in common, and no number tells that: 0.7 days."""
TOLD_MAE_DAYS = {**dict.fromkeys(SD_KINDS, 3.8), "lowest": 4.0, **{f"{kind}+lowest": 3.6 for kind in SD_KINDS}}
"""What the project asks where the kind of sd is said, where the mean lowest nights are told, and where both are."""
NO_SD_MAE_DAYS = 6.0
"""What the project asks where no sd is given."""
PROMISES = {5: (0.03, 0.08), 10: (0.06, 0.13), 20: (0.15, 0.25)}
"""Promised percent and the share of years in which it may come true: the project's own demand for 10 %."""
FEWEST_YEARS = 20
"""Hyderabad's ten years fix a date to a week and more; it counts over all, not alone."""
LONG = [station for station in LATITUDES if years_of(station) >= FEWEST_YEARS]
WRITTEN_C = 0.06
"""night_sd_months.csv holds two digits; its spread is about the package's smooth curve, here about a moving mean."""


@pytest.mark.parametrize("station", LONG)
def test_dates_from_normals_with_sd(station):
    found = from_normals(station, "daily")
    assert len(found) >= 70 and mean_error(found) <= STATION_MAE_DAYS and abs(bias(found)) <= BIAS_DAYS


def test_dates_from_normals_with_sd_over_all():
    found = [o for station in LATITUDES for o in from_normals(station, "daily")]
    assert mean_error(found) <= ALL_MAE_DAYS and abs(bias(found)) <= BIAS_DAYS


@pytest.mark.parametrize("station", LONG)
def test_dates_from_normals_with_sd_over_all_nights_of_the_month(station):
    found = from_normals(station, "month")
    assert len(found) >= 70 and mean_error(found) <= STATION_MAE_DAYS and abs(bias(found)) <= BIAS_DAYS


def test_dates_from_normals_with_sd_over_all_nights_of_the_month_at_long_records():
    found = [o for station in LONG for o in from_normals(station, "month")]
    assert len(LONG) == 10 and mean_error(found) <= ALL_MAE_DAYS


@pytest.mark.parametrize("spread", OTHER_SD_ALL_MAE_DAYS)
def test_dates_with_the_other_kinds_of_sd_over_all(spread):
    found = [o for station in LATITUDES for o in from_normals(station, spread)]
    assert mean_error(found) <= OTHER_SD_ALL_MAE_DAYS[spread] and abs(bias(found)) <= BIAS_DAYS


@pytest.mark.parametrize("told", TOLD_MAE_DAYS)
def test_dates_with_sd_of_a_kind_and_with_lowest_nights(told):
    found = [o for station in LATITUDES for o in from_normals(station, told)]
    assert mean_error(found) <= TOLD_MAE_DAYS[told] and abs(bias(found)) <= BIAS_DAYS


@pytest.mark.parametrize("plain, better", [("month", "all-nights"), ("within", "within-month"), ("none", "lowest"),
                                           ("within-month", "within-month+lowest")])
def test_more_told_makes_better_dates(plain, better):
    errors = [mean_error([o for station in LONG for o in from_normals(station, told)]) for told in (plain, better)]
    assert errors[1] < errors[0] - 0.1


def test_dates_without_sd():
    found = [o for station in LATITUDES for o in from_normals(station, "none")]
    assert mean_error(found) <= NO_SD_MAE_DAYS and abs(bias(found)) <= BIAS_DAYS


@pytest.mark.parametrize("spread", ["daily", "month", "lowest", "about-daily-mean+lowest"])
@pytest.mark.parametrize("percent", PROMISES)
def test_promises_come_true_in_years_the_normals_never_saw(percent, spread):
    found = [o for station in LATITUDES for o in across_halves(station, spread)]
    low, high = PROMISES[percent]
    assert len(found) >= 1500 and low <= came_true(found, percent) <= high


def test_the_kinds_of_sd_are_what_they_are_called():
    lows = lows_of("brussels")
    daily, month, within = (normals_of(lows, kind).tmin_sd_c for kind in ("daily", "month", "within"))
    october = lows[lows.index.month == 10]
    assert month[9] == pytest.approx(np.std(october, ddof=1))
    yearly = [np.std(nights, ddof=1) for _, nights in october.groupby(october.index.year)]
    assert len(yearly) == 30 and within[9] == pytest.approx(np.mean(yearly))
    assert month[9] > daily[9] + 0.1 and within[9] < month[9] - 0.2


def test_normals_foretell_other_years_better_than_a_record_does():
    """The record of one half against the other half is the sampling error of a record of fifteen to eighteen years."""
    recorded = {s: across_halves(s, "record") for s in LATITUDES}
    with_record = [s for s in LATITUDES if recorded[s]]
    assert len(with_record) >= 8
    sampling = mean_error([o for s in with_record for o in recorded[s]])
    assert mean_error([o for s in with_record for o in across_halves(s, "daily")]) < sampling


@pytest.mark.parametrize("station", ["champion", "brussels", "cordoba", "cambridge"])
def test_recorded_dates_are_those_of_a_plain_recount(station):
    lows = lows_of(station)
    climate = climate_of(station, lows, "daily")
    tables = recorded_tables(record_of(lows), Site(station, LATITUDES[station], 0.0), THRESHOLDS_C, climate)
    compared = 0
    for season, (half, _) in season_halves(lows, climate).items():
        never = -DAYS if season == "spring" else DAYS
        for k, threshold in enumerate(THRESHOLDS_C):
            days = yearly_dates(half, season, threshold)
            days = np.where(np.isnan(days), never, days)
            for percent in (10, 50, 90):
                share = 1 - percent / 100 if season == "spring" else percent / 100
                seen = np.quantile(days, share, method="inverted_cdf")
                index = (spring_index if season == "spring" else autumn_index)(tables, k, percent)
                if index is not None and abs(seen) != DAYS:
                    compared += 1
                    assert (index - climate.turn_index - seen) % DAYS == 0, (threshold, season, percent)
    assert compared >= 60


def test_recorded_numbers_of_nights_are_those_of_a_plain_recount():
    lows = lows_of("champion")
    climate = climate_of("champion", lows, "daily")
    tables = recorded_tables(record_of(lows), Site("champion", 40.4, 0.0), [5.0], climate)
    springs = season_halves(lows, climate)["spring"][0]
    counted = (springs[:, (120 - climate.cold_index) % DAYS:] <= 5.0).sum(axis=1).mean()
    assert tables.expected_after[0, 120] == pytest.approx(counted)


def written_months():
    with open(Path(__file__).parent / "night_sd_months.csv", encoding="utf-8") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("station", LATITUDES)
def test_the_months_behind_the_estimated_sd_are_the_records(station):
    rows = [row for row in written_months() if row["station"] == station]
    normals = normals_of(lows_of(station), "daily")
    assert [int(row["month"]) for row in rows] == list(range(1, 13))
    assert np.allclose([float(row["tmin_c"]) for row in rows], normals.tmin_c, atol=0.006)
    assert np.allclose([float(row["tmin_sd_c"]) for row in rows], normals.tmin_sd_c, atol=4 * WRITTEN_C)
    assert abs(np.mean([float(row["tmin_sd_c"]) for row in rows]) - np.mean(normals.tmin_sd_c)) < WRITTEN_C


@pytest.mark.parametrize("station", ["champion", "iowa", "brussels", "clemson", "tunis", "cambridge", "hyderabad"])
def test_estimated_sd_is_near_the_measured_one(station):
    rows = [row for row in written_months() if row["station"] == station]
    measured = np.array([float(row["tmin_sd_c"]) for row in rows])
    estimate = estimated_sd(np.array([float(row["tmin_c"]) for row in rows]), float(rows[0]["latitude_deg"]),
                            float(rows[0]["height_m"]))
    assert abs(np.mean(np.log(estimate / measured))) < 0.25 and np.corrcoef(estimate, measured)[0, 1] > 0.5
