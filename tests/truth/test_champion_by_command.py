"""The main job on real input, through the command line: Champion, Nebraska, and five other places.

Source: daily records shipped by the `aquacrop` package (data folder, *_climate.txt), an open dataset of the stations in
its crop examples. Monthly normals with sd are worked out from the record, written as a scenario, and
`seasonplan nights --json` must give median and 1-in-10 dates near those of the observed years.
"""

import json
from pathlib import Path

import aquacrop
import numpy as np
import pandas as pd
import pytest
from click.testing import CliRunner

from seasonplan.cli import main

DATA = Path(aquacrop.__file__).parent / "data"
STATIONS = {"champion": (40.4, -101.7), "brussels": (50.8, 4.35), "tunis": (36.8, 10.2), "cambridge": (52.2, 0.12),
            "north_yorks": (54.2, -1.4), "cordoba": (-31.4, -64.2)}
STATION_MAE_DAYS = 4.5  # design agreement, section 8: at every station
ALL_MAE_DAYS = 3.5  # over all
ALL_BIAS_DAYS = 2.5  # a 30-year record fixes its own 1-in-10 date only to about 4 days
THRESHOLDS_C = (-3.5, -1.5, 0.5, 2.5, 4.5, 7.5, 10.5, 12.5)  # halves: Tunis is recorded in whole degrees
NEAR_TURN_DAYS = 21  # closer to midsummer the halves run into each other: which side a night falls on is definition
FEWEST_YEARS_WITH = 0.95  # dates are compared where nearly every year has such a night in that half of the year


def record_of(station: str) -> pd.DataFrame:
    table = pd.read_csv(DATA / f"{station}_climate.txt", sep=r"\s+")
    table.columns = ["day", "month", "year", "tmin", *table.columns[4:]]
    table.index = pd.to_datetime(table[["year", "month", "day"]])
    return table


def scenario_from(folder: Path, station: str, table: pd.DataFrame) -> Path:
    """A scenario folder with the record's monthly means and day-to-day sd."""
    latitude, longitude = STATIONS[station]
    daily = table.groupby([table.index.month, table.index.day])["tmin"].mean()
    anomaly = table["tmin"] - [daily[m, d] for m, d in zip(table.index.month, table.index.day, strict=True)]
    means = table.groupby(table.index.month)["tmin"].mean()
    spread = anomaly.groupby(table.index.month).std()
    folder.mkdir()
    (folder / "normals.csv").write_text("month,tmin_c,tmin_sd_c\n" + "".join(
        f"{m},{means[m]:.3f},{spread[m]:.3f}\n" for m in range(1, 13)))
    (folder / "scenario.toml").write_text(f'[site]\nname = "{station}"\nlatitude = {latitude}\n'
                                          f'longitude = {longitude}\n'
                                          f'elevation_m = 100\ntimezone = "UTC"\nnormals = "normals.csv"\n')
    (folder / "plants.csv").write_text("name,taxon,count,pot_cm\nFig,Ficus elastica,1,20\n")
    return folder


def observed_quantiles(table: pd.DataFrame, threshold_c: float, south: bool, turn: pd.Timestamp):
    """Day offsets from the turn of the last spring and first autumn night per year: medians and 1-in-10 dates."""
    cold = table.index[table["tmin"] <= threshold_c]
    found: dict[str, list[int]] = {"spring": [], "autumn": []}
    years = 0
    for year in sorted(set(table.index.year)):
        pivot = turn.replace(year=year)
        start, end = pivot - pd.Timedelta(days=182), pivot + pd.Timedelta(days=182)
        if start < table.index[0] or end > table.index[-1]:
            continue
        years += 1
        before, after = cold[(cold >= start) & (cold < pivot)], cold[(cold >= pivot) & (cold <= end)]
        if len(before):
            found["spring"].append((before[-1] - pivot).days)
        if len(after):
            found["autumn"].append((after[0] - pivot).days)
    return {side: {50: np.quantile(v, 0.5), 10: np.quantile(v, 0.9 if side == "spring" else 0.1)}
            for side, v in found.items() if len(v) >= FEWEST_YEARS_WITH * years}


def errors_of(station: str, folder: Path) -> list[float]:
    table = record_of(station)
    scenario_from(folder, station, table)
    args = [part for t in THRESHOLDS_C for part in ("-t", str(t))]
    result = CliRunner().invoke(main, ["nights", str(folder), "--json", *args])
    assert result.exit_code == 0, result.output
    south = STATIONS[station][0] < 0
    turn = pd.Timestamp(2001, 1, 20) if south else pd.Timestamp(2001, 7, 25)
    errors = []
    for entry in json.loads(result.stdout)["nights"]:
        seen = observed_quantiles(table, entry["threshold_c"], south, turn)
        for side, key in (("spring", "spring_last"), ("autumn", "autumn_first")):
            for percent in (50, 10):
                label = entry[key][str(percent)]
                if side in seen and label is not None:
                    day = pd.Timestamp(f"2001-{label}")
                    offset = (day - turn).days
                    offset += 365 if offset < -182 else -365 if offset > 182 else 0
                    if abs(seen[side][percent]) > NEAR_TURN_DAYS:
                        errors.append(offset - seen[side][percent])
    return errors


@pytest.fixture(scope="module")
def errors(tmp_path_factory):
    base = tmp_path_factory.mktemp("stations")
    return {station: errors_of(station, base / station) for station in STATIONS}


@pytest.mark.parametrize("station", STATIONS)
def test_dates_at_each_station(errors, station):
    assert len(errors[station]) >= 6
    assert np.mean(np.abs(errors[station])) <= STATION_MAE_DAYS


def test_dates_over_all_stations(errors):
    every = np.concatenate(list(errors.values()))
    assert np.mean(np.abs(every)) <= ALL_MAE_DAYS and abs(np.mean(every)) <= ALL_BIAS_DAYS
