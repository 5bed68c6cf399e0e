"""Seattle, whose four years say little about dates and more about numbers of nights.

Source: seattle-weather.csv of the `vega_datasets` package, version 0.9.0 (NOAA daily record of Seattle, 2012-2015).
Its months are among those the estimated sd was fitted to, with a fifth of a full record's weight.
"""

from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from seasonplan.climate.nights import night_climate
from seasonplan.climate.passage import night_tables
from seasonplan.climate.process import night_chance
from seasonplan.climate.recorded import recorded_tables
from seasonplan.dates import DAYS, month_means
from seasonplan.model import Normals, Record, Site

SITE = Site("Seattle", 47.6, -122.3, 50.0)
THRESHOLDS_C = np.array([0.0, 2.5, 5.0, 7.5, 10.0])
NIGHTS_SHARE, NIGHTS = 0.10, 4.0
"""Yearly number of nights: a tenth, or four nights, which is what four years of correlated nights can show."""
BAND = (0.5, 97.5)
"""A four-year median must lie between dates that 1 in 40 years passes at either end, and all but 1 year of 200 too."""
SD_SHARE = 0.25
"""The estimated sd is right to about 18 %, a four-year sd itself to 10 %."""


@pytest.fixture(scope="module")
def lows():
    spec = find_spec("vega_datasets")
    path = Path(spec.submodule_search_locations[0]) / "_data" / "seattle-weather.csv"
    table = pd.read_csv(path, usecols=["date", "temp_min"])
    return pd.Series(table["temp_min"].to_numpy(), pd.to_datetime(table["date"]))


@pytest.fixture(scope="module")
def climate(lows):
    by_month = lows.groupby(lows.index.month)
    return night_climate(Normals(by_month.mean().to_numpy(), by_month.std().to_numpy()), None, SITE)


def test_the_file_is_the_one_meant(lows):
    assert len(lows) == 1461 and lows.index[0] == pd.Timestamp(2012, 1, 1) and lows.notna().all()


@pytest.mark.parametrize("threshold", THRESHOLDS_C)
def test_numbers_of_nights_a_year(lows, climate, threshold):
    seen = (lows <= threshold).sum() / 4
    assert abs(night_chance(climate, float(threshold)).sum() - seen) <= max(NIGHTS, NIGHTS_SHARE * seen)


def test_every_year_lies_where_nearly_all_years_should(lows, climate):
    tables = night_tables(climate, THRESHOLDS_C)
    inside = []
    for k, threshold in enumerate(THRESHOLDS_C):
        for year in range(2012, 2016):
            springs = lows[f"{year}-01-15":f"{year}-07-15"]
            last = int(springs.index[springs <= threshold][-1].day_of_year) - 1
            later = tables.chance_after[k, (last + 1) % DAYS]
            inside.append(BAND[0] / 100 <= later <= BAND[1] / 100)
    assert len(inside) == 20 and np.mean(inside) >= 0.85


def test_four_years_are_no_record_to_date_from_but_give_the_sd(lows):
    record = Record(lows.index.to_numpy().astype("datetime64[D]"), lows.to_numpy(), np.full(len(lows), np.nan))
    normals = Normals(lows.groupby(lows.index.month).mean().to_numpy())
    assumed, measured = (night_climate(normals, given, SITE) for given in (None, record))
    assert (assumed.sd_source, measured.sd_source) == ("assumed", "record")
    assert recorded_tables(record, SITE, THRESHOLDS_C, measured) is None
    ratio = month_means(assumed.sd_c) / month_means(measured.sd_c)
    assert abs(np.mean(np.log(ratio))) <= SD_SHARE
