"""How far estimated normals are from what stations tell that were left out: `python tests/truth/estimates.py [EVERY]`.

Source: the stations that the package carries (WMO climatological normals 1991-2020, US national normals). Each is left
out, and again with all stations within 60, 150 and 400 km; its own height is used. By region and distance to the
nearest station that was left in: mean error of a monthly mean low, and the share of months within the stated error.
EVERY 1 takes all stations (about five minutes), the default every eighth.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from seasonplan.atlas.estimate import estimated_normals
from seasonplan.atlas.tables import stations

GAPS_KM = (0.001, 60.0, 150.0, 400.0)
DISTANCES_KM = (0, 25, 50, 100, 200, 500, 20_000)
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


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 8)
