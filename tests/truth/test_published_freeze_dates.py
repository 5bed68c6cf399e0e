"""A published table of freeze dates and cold nights, met from the same station's normals.

Source: NOAA National Centers for Environmental Information, U.S. Climate Normals 1991-2020, station USW00094765
(Lebanon Municipal Airport, New Hampshire; 43.6264 N, 72.3047 W, 182.3 m). Monthly products MLY-TMIN-NORMAL and
MLY-TMIN-AVGNDS-LSTHnnn (mean number of days at or below nnn °F), daily product DLY-TMIN-STDDEV averaged over the
months, annual products ANN-TMIN-PRBLST/PRBFST-TnnFPpp (spring: a night this cold comes later than this date in pp
percent of years; autumn: it has come by this date in pp percent of years). Typed in as published, °F and month/day.

This station had no part in fitting the model, so it also shows what dates without sd are worth. It reads whole °F:
"at or below 32 °F" is any low below 32.5 °F. Numbers of nights are asked there; dates are asked as a person would, at
32 °F. Asked half a degree higher they are 4.7 days off instead of 3.6: the 1-in-10 dates of this valley have a shorter
cold tail behind them than the model's.
"""

from datetime import date

import numpy as np
import pytest

from seasonplan.climate.crossings import autumn_index, spring_index
from seasonplan.climate.nights import night_climate
from seasonplan.climate.passage import night_tables
from seasonplan.climate.process import night_chance
from seasonplan.dates import MONTH_LENGTHS, MONTH_STARTS, day_index
from seasonplan.model import Normals, Site
from seasonplan.units import fahrenheit_to_c, span_f_to_c

SITE = Site("USW00094765", 43.6264, -72.3047, 182.3)
TMIN_F = np.array([9.3, 11.0, 20.7, 31.9, 43.7, 52.4, 57.8, 56.2, 48.6, 37.4, 27.7, 18.1])
TMIN_SD_F = np.array([13.89, 13.54, 10.77, 7.82, 7.63, 6.67, 6.14, 6.36, 7.95, 8.49, 8.70, 11.66])
NIGHTS_AT_OR_BELOW = {
    32: [29.8, 27.0, 26.7, 16.9, 3.3, 0.1, 0.0, 0.0, 0.4, 10.4, 21.2, 27.6],
    40: [31.0, 28.0, 30.7, 25.9, 11.7, 1.8, 0.0, 0.0, 5.5, 20.0, 27.1, 30.5],
    50: [31.0, 28.0, 31.0, 29.5, 24.8, 12.0, 4.1, 6.7, 18.0, 28.0, 29.8, 31.0],
    60: [31.0, 28.0, 31.0, 30.0, 30.4, 25.6, 20.3, 22.8, 26.7, 30.8, 30.0, 31.0]}
CHANCES = (10, 20, 30, 40, 50, 60, 70, 80, 90)
SPRING = {
    16: "04/08 04/04 04/02 03/31 03/29 03/26 03/22 03/18 03/14",
    20: "04/18 04/14 04/10 04/08 04/05 04/03 04/02 03/30 03/23",
    24: "04/30 04/25 04/22 04/20 04/17 04/14 04/11 04/08 04/04",
    28: "05/11 05/07 05/03 04/30 04/29 04/26 04/24 04/21 04/17",
    32: "05/24 05/20 05/16 05/12 05/09 05/06 05/04 05/01 04/27",
    36: "06/06 06/02 05/29 05/26 05/22 05/20 05/16 05/12 05/07"}
AUTUMN = {
    16: "11/07 11/11 11/15 11/18 11/21 11/25 11/28 12/01 12/06",
    20: "10/26 10/31 11/02 11/05 11/08 11/11 11/15 11/18 11/23",
    24: "10/13 10/18 10/21 10/25 10/28 10/31 11/03 11/05 11/11",
    28: "10/03 10/07 10/10 10/13 10/15 10/18 10/22 10/26 11/01",
    32: "09/23 09/28 10/01 10/03 10/06 10/08 10/11 10/14 10/19",
    36: "09/12 09/17 09/20 09/23 09/26 09/28 10/01 10/03 10/07"}
MAE_DAYS, BIAS_DAYS = 4.5, 2.5
"""What the project asks at every station: these dates too rest on thirty years, which fix a 1-in-10 date to 4 days."""
NO_SD_MAE_DAYS = 6.0
"""What the project asks where no sd is given."""
NIGHTS, NIGHTS_MEAN = 1.6, 0.5
"""Largest and mean difference of a month's number of nights. Chance alone moves the mean of thirty Aprils by 1.1 nights
(sd of a month's number with correlation 0.65 between nights, 6, over the root of 30); the largest of 48 is bigger."""
READING_F = 0.5


def climate(with_sd=True):
    normals = Normals(fahrenheit_to_c(TMIN_F), span_f_to_c(TMIN_SD_F) if with_sd else None)
    return night_climate(normals, None, SITE)


def errors(found_climate, percents):
    limits_f = np.array(sorted(SPRING))
    tables = night_tables(found_climate, fahrenheit_to_c(limits_f))
    found = []
    for published, index in ((SPRING, spring_index), (AUTUMN, autumn_index)):
        for k, limit in enumerate(limits_f.tolist()):
            for percent, text in zip(CHANCES, published[limit].split(), strict=True):
                if percent in percents:
                    month, day = map(int, text.split("/"))
                    found.append(index(tables, k, percent) - day_index(date(2001, month, day)))
    return np.array(found)


def test_median_and_one_in_ten_dates():
    found = errors(climate(), (10, 50))
    assert len(found) == 24 and np.mean(np.abs(found)) <= MAE_DAYS and abs(found.mean()) <= BIAS_DAYS


def test_the_whole_published_table():
    found = errors(climate(), CHANCES)
    assert len(found) == 108 and np.mean(np.abs(found)) <= MAE_DAYS and abs(found.mean()) <= BIAS_DAYS


def test_dates_without_sd():
    found = errors(climate(with_sd=False), (10, 50))
    assert np.mean(np.abs(found)) <= NO_SD_MAE_DAYS


def monthly_nights(limit_f):
    chance = night_chance(climate(), fahrenheit_to_c(limit_f + READING_F))
    return np.array([chance[a:a + n].sum() for a, n in zip(MONTH_STARTS, MONTH_LENGTHS, strict=True)])


@pytest.mark.parametrize("limit_f", sorted(NIGHTS_AT_OR_BELOW))
def test_mean_numbers_of_cold_nights(limit_f):
    difference = monthly_nights(limit_f) - NIGHTS_AT_OR_BELOW[limit_f]
    assert np.max(np.abs(difference)) <= NIGHTS and np.mean(np.abs(difference)) <= NIGHTS_MEAN


@pytest.mark.parametrize("limit_f", [40, 50])
def test_expected_numbers_in_the_tables_are_those_nights(limit_f):
    found = climate()
    tables = night_tables(found, [fahrenheit_to_c(limit_f + READING_F)])
    may = tables.expected_after[0, MONTH_STARTS[4]] - tables.expected_after[0, MONTH_STARTS[5]]
    assert may == pytest.approx(monthly_nights(limit_f)[4]) and abs(may - NIGHTS_AT_OR_BELOW[limit_f][4]) <= NIGHTS
