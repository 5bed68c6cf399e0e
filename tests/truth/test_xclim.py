"""Frost and season indices of an independent climate library on the same records, and plain recounts.

Source: xclim 0.62 (indices frost_days, tn_days_below, last_spring_frost, first_day_temperature_below) on Champion's and
Brussels' records in the `aquacrop` package 3.1.0. Both libraries count the same readings, so they must agree exactly.
"""

import warnings

import numpy as np
import pandas as pd
import pytest
from truth.table import as_read_c, climate_of, lows_of, record_of

from seasonplan.climate.crossings import autumn_index, spring_index
from seasonplan.climate.process import night_chance
from seasonplan.climate.recorded import recorded_tables
from seasonplan.dates import DAYS, day_index
from seasonplan.model import Site

pytestmark = pytest.mark.filterwarnings("ignore::DeprecationWarning", "ignore::FutureWarning")
STATIONS = ("champion", "brussels")
THRESHOLDS_C = (-2.2, 0.0, 4.4)
STANDARD_ERRORS, NIGHTS_SHARE = 2.0, 0.04
"""The model's yearly number of cold nights against the recorded mean: within its sampling error, or 4 % where that is
more. (At Champion the model has 3 % too few nights of frost: nights gather just below 0 °C, which no curve knows.)"""


@pytest.fixture(scope="module")
def indices():
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # third-party notices at import
        import xarray
        import xclim.indices

    def of(name, station, **given):
        lows = lows_of(station)
        data = xarray.DataArray(lows.to_numpy(), coords={"time": lows.index}, dims="time", attrs={"units": "degC"})
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # pandas notices about xclim's own calls
            return getattr(xclim.indices, name)(data, freq="YS", **given).to_series()

    return of


def tables_of(station):
    lows = lows_of(station)
    climate = climate_of(station, lows, "daily")
    tables = recorded_tables(record_of(lows), Site(station, 45.0, 0.0), THRESHOLDS_C, climate)
    assert tables is not None
    return climate, tables


def quantile_day(day_of_year, share):
    """Quantile, on the 365-day year, of dates given as day of the year by year."""
    days = [day_index((start + pd.Timedelta(days=day - 1)).date()) for start, day in day_of_year.items()]
    return int(np.quantile(days, share, method="inverted_cdf"))


@pytest.mark.parametrize("station", STATIONS)
@pytest.mark.parametrize("k", range(len(THRESHOLDS_C)))
@pytest.mark.parametrize("season", ["spring", "autumn"])
def test_last_and_first_nights(indices, station, k, season):
    climate, tables = tables_of(station)
    turn = f"{pd.Timestamp(2001, 1, 1) + pd.Timedelta(days=climate.turn_index):%m-%d}"
    name, bound, index, never = {"spring": ("last_spring_frost", "before_date", spring_index, 1),
                                 "autumn": ("first_day_temperature_below", "after_date", autumn_index, 365)}[season]
    dates = indices(name, station, thresh=f"{THRESHOLDS_C[k]} degC", op="<=", window=1, **{bound: turn})
    assert len(dates) >= 30 and dates.notna().mean() >= 0.9
    for percent in (10, 50):
        share = 1 - percent / 100 if season == "spring" else percent / 100
        assert index(tables, k, percent) == quantile_day(dates.fillna(never), share)


@pytest.mark.parametrize("station", STATIONS)
def test_frost_nights_of_a_year(indices, station):
    climate, tables = tables_of(station)
    strictly_below = indices("frost_days", station, thresh="0 degC")
    lows = lows_of(station)
    at_nought = (lows == 0.0).groupby(lows.index.year).sum().to_numpy()
    recorded = tables.expected_after[1, climate.cold_index] + tables.expected_before[1, (climate.cold_index - 1) % DAYS]
    assert (strictly_below + at_nought).mean() == pytest.approx(recorded, rel=0.02)


@pytest.mark.parametrize("station", STATIONS)
@pytest.mark.parametrize("threshold", THRESHOLDS_C)
def test_the_models_number_of_nights(indices, station, threshold):
    seen = indices("tn_days_below", station, thresh=f"{threshold} degC", op="<=")
    [level] = as_read_c(np.array([threshold]), lows_of(station))
    found = night_chance(tables_of(station)[0], level).sum()
    allowed = max(STANDARD_ERRORS * seen.std() / np.sqrt(len(seen)), NIGHTS_SHARE * seen.mean())
    assert abs(found - seen.mean()) <= allowed
