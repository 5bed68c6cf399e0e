"""How far estimated normals are from what stations tell that were left out: `python tests/truth/estimates.py [EVERY]`.

Source: the stations that the package carries (WMO climatological normals 1991-2020, US national normals). Each is left
out, and again with all stations within 60, 150 and 400 km; its own height is used. By region and distance to the
nearest station that was left in: mean error of a monthly mean low, and the share of months within the stated error.
Then: how many of these stations' own lows, mean temperatures and lows read as °F the program doubts, and how far the
light from estimated sunshine is from that of the station's own. EVERY 1 takes all stations (about five minutes), the
default every eighth.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from seasonplan.atlas.estimate import estimated_normals
from seasonplan.atlas.frost import near_frost
from seasonplan.atlas.tables import stations
from seasonplan.climate.frost import spread_factor, told_logs
from seasonplan.dates import MONTH_LENGTHS, MONTH_STARTS
from seasonplan.inputs.beside import doubt
from seasonplan.sky import radiation

GAPS_KM = (0.001, 60.0, 150.0, 400.0)
DISTANCES_KM = (0, 25, 50, 100, 200, 500, 20_000)
LEAST_ABOVE_MJ = 8.0
"""Months darker above the air [MJ per m² and day] count no light."""
REGIONS = {"Europe": (35, 90, -30, 45), "US and Canada": (24, 90, -170, -50), "Africa": (-36, 35, -20, 52),
           "Central and South America": (-60, 24, -120, -30), "Oceania": (-60, -10, 110, 180),
           "Asia": (-12, 90, 45, 180)}


class LeftOut(NamedTuple):
    """One station against its estimate: errors (12,) [°C], the error that was stated, the nearest station left in."""

    region: str
    height_m: float
    gap_km: float
    nearest_km: float
    low: np.ndarray
    high: np.ndarray
    stated_c: float


def region_of(latitude: float, longitude: float) -> str:
    return next((name for name, (south, north, west, east) in REGIONS.items()
                 if south <= latitude <= north and west <= longitude <= east), "elsewhere")


def left_out(every: int, gaps_km=GAPS_KM, first: int = 0) -> Iterator[LeftOut]:
    table = stations()
    for row in range(first, len(table.latitude), every):
        at = float(table.latitude[row]), float(table.longitude[row]), float(table.elevation_m[row])
        for gap in gaps_km:
            found = estimated_normals(*at, nearer_km=gap)
            yield LeftOut(region_of(*at[:2]), at[2], gap, min(s.km for s in found.estimate.stations),
                          found.tmin_c - table.low_c[:, row], found.tmax_c - table.high_c[:, row],
                          found.estimate.error_c)


def line(name: str, found: list[LeftOut]) -> str:
    low, high = (np.abs(np.array([getattr(one, what) for one in found])) for what in ("low", "high"))
    stated = np.array([one.stated_c for one in found])
    return (f"| {name} | {len(found)} | {low.mean():.2f} | {np.median(low):.2f} | {np.quantile(low, 0.9):.1f} | "
            f"{np.median(stated):.1f} | {100 * np.mean(low <= stated[:, None]):.0f} | {np.nanmean(high):.2f} |")


def doubts(every: int) -> str:
    """How often lows are doubted that are right, and that are not."""
    table, count = stations(), np.zeros(4)
    for row in range(0, len(table.latitude), every):
        low, high = table.low_c[:, row], table.high_c[:, row]
        told = estimated_normals(float(table.latitude[row]), float(table.longitude[row]),
                                 float(table.elevation_m[row]), nearer_km=GAPS_KM[0])
        if not np.isnan(high).any():
            count += [1, *(doubt(each, told, "metric") != "" for each in (low, (low + high) / 2, low * 1.8 + 32))]
    return ("{:.0f} stations: doubted are {:.1f} % of the lows, {:.0f} % of mean temperatures given for them, {:.0f} % "
            "of lows in °F").format(count[0], *(100 * count[1:] / count[0]))


def sunshine(every: int, gap_km: float) -> str:
    """How far monthly light from estimated sunshine is from that of the station's own, where it shines enough to grow.
    """
    rows, hours = stations().sparse("sun")
    errors = []
    days = np.array(MONTH_STARTS) + np.array(MONTH_LENGTHS) // 2
    for k in range(0, len(rows), every):
        latitude = float(stations().latitude[rows[k]])
        found = estimated_normals(latitude, float(stations().longitude[rows[k]]), 0.0, nearer_km=gap_km).sunshine_h
        if found is not None:
            above, long = radiation.extraterrestrial_mj(latitude, days), radiation.daylight_hours(latitude, days)
            own, made = (radiation.from_sunshine_mj(np.minimum(sun, long), long, above)[above > LEAST_ABOVE_MJ]
                         for sun in (hours[:, k], found))
            errors.append(np.mean(np.abs(made / own - 1)))
    return (f"light from sunshine, all within {gap_km:g} km left out: {100 * np.mean(errors):.1f} % off at "
            f"{len(errors)} stations")


def spreads(every: int, gap_km: float) -> str:
    """How far the spread that days of frost tell is from the estimate, bare and put right by other stations' frost."""
    rows, _ = stations().sparse("frost")
    bare, right = list[float](), list[float]()
    for k in range(0, len(rows), every):
        row = rows[k]
        where = float(stations().latitude[row]), float(stations().longitude[row]), float(stations().elevation_m[row])
        own, others = near_frost(*where), near_frost(*where, nearer_km=gap_km)
        if own is None or others is None:
            continue
        told = told_logs(own)[0]
        made = np.log(spread_factor(stations().low_c[:, row], others)[0])
        bare += list(np.abs(told[~np.isnan(told)]))
        right += list(np.abs((told - made)[~np.isnan(told)]))
    return (f"spread of nights told by {len(bare)} months' frost, all within {gap_km:g} km left out: bare estimate "
            f"{100 * np.mean(bare):.0f} % off, with the others' frost {100 * np.mean(right):.0f} %")


def main(every: int) -> None:
    found = list(left_out(every))
    single = [one for one in found if one.gap_km == GAPS_KM[0]]
    print("| left out | stations | mean error | median | nine in ten within | stated (median) | stated held, % | "
          "highs, mean error |\n|---|---|---|---|---|---|---|---|")
    print(line("one by one", single))
    for region in [*REGIONS, "elsewhere"]:
        print(line(region, [one for one in single if one.region == region]))
    print(line("above 1,000 m", [one for one in single if one.height_m > 1000]))
    for gap in GAPS_KM[1:]:
        print(line(f"all within {gap:g} km", [one for one in found if one.gap_km == gap]))
    for near, far in zip(DISTANCES_KM, DISTANCES_KM[1:], strict=False):
        inside = [one for one in found if near <= one.nearest_km < far]
        print(line(f"nearest {near} to {far} km", inside))
    print(doubts(every))
    for gap in GAPS_KM:
        print(sunshine(max(1, every // 4), gap))
        print(spreads(max(1, every // 2), gap))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 8)
