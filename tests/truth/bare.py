"""How sure dates are that rest on little: the table printed by `cd tests; python -m truth.bare [FOLDER]`.

Records: those of truth/table.py and, from wheels in FOLDER, of truth/other_records.py. By region (England's six points
of a grid are one, Clemson's three spans are one): error of median and 1-in-10 dates from

- "bare": twelve mean lows of the record's own years and the estimated spread,
- "frost": the same with the days of frost of stations near by, those within OWN_KM left out,
- "town": everything estimated, lows too, from stations farther than OWN_KM: what a person gets who names a town,

each with its bias and how often a promised 10 % came true, beside the error that the program states. The town is tried
on three kinds of years: all that a record has, those of the stations' normals (1991-2020), and other years moved to
those by the warming of the US stations. Then promises at
the package's own stations, each left out, whose spread the night model invents; then the error of the monthly spread
itself, as a share. Positions and heights that the packages do not give are the towns' (memory).
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
from truth.kinds import Records, region_of
from truth.other_records import other_records
from truth.table import (
    LATITUDES,
    THRESHOLDS_C,
    YEARS_WITH,
    Outcome,
    as_read_c,
    bias,
    came_true,
    lows_of,
    mean_error,
    normals_of,
    outcomes,
    site_of,
)

from seasonplan.atlas.estimate import estimated_normals
from seasonplan.atlas.frost import near_frost
from seasonplan.atlas.tables import stations
from seasonplan.climate.crossings import autumn_index, spring_index
from seasonplan.climate.fitted import fitted
from seasonplan.climate.nights import night_climate
from seasonplan.climate.passage import night_tables
from seasonplan.climate.sureness import nights_line
from seasonplan.dates import DAYS, month_means
from seasonplan.model import Normals, Site

OWN_KM = 15.0
"""Stations so near may be the record's own, or of its town."""
FEWEST_YEARS = 9
NORMAL_YEARS = slice("1991", "2020")
MIDDLE_YEAR, WARMING_C = 2005.5, 0.0375
"""A year; the mean of truth/left_out.py's PERIOD_C over ten. Of other countries none was at hand."""
LEFT_OUT_EVERY, LEFT_OUT_C = 40, np.arange(-4.0, 14.0, 2.0)
PLACES = {"champion": (-101.7, 980), "brussels": (4.35, 60), "tunis": (10.2, 5), "cordoba": (-64.2, 430),
          "cambridge": (0.1, 15), "suffolk": (1.0, 50), "norfolk": (1.2, 40), "lincolnshire": (-0.2, 30),
          "north_yorks": (-1.5, 50), "northumberland": (-1.9, 100), "hyderabad": (78.5, 540), "clemson": (-82.8, 250),
          "melbourne": (145.0, 31), "fulda": (9.7, 300), "iowa": (-93.6, 330), "wageningen": (5.7, 10)}
"""Longitude [degrees], height [m]."""
Told = Callable[[pd.Series, Site], Normals]


def bare(lows: pd.Series, site: Site) -> Normals:
    return normals_of(lows, "none")


def with_frost(lows: pd.Series, site: Site) -> Normals:
    where = site.latitude_deg, site.longitude_deg, site.elevation_m
    return replace(bare(lows, site), near_frost=near_frost(*where, nearer_km=OWN_KM))


def from_town(lows: pd.Series, site: Site) -> Normals:
    where = site.latitude_deg, site.longitude_deg, site.elevation_m
    return replace(estimated_normals(*where, nearer_km=OWN_KM), near_frost=near_frost(*where, nearer_km=OWN_KM))


KINDS: dict[str, Told] = {"bare": bare, "frost": with_frost, "town": from_town}


def records(folder: Path | None) -> Records:
    """Name to site, with longitude and height, and lows."""
    found: Records = {name: (site_of(name), lows_of(name)) for name in LATITUDES}
    if folder:
        found |= other_records(folder)
    long = {name: each for name, each in found.items()
            if name.split()[0] in PLACES and len(each[1]) >= 365 * FEWEST_YEARS}
    put = {name: PLACES[name.split()[0]] for name in long}
    return {name: (replace(site, longitude_deg=put[name][0], elevation_m=put[name][1]), lows)
            for name, (site, lows) in long.items()}


def of_normal_years(all_records: Records, enough: bool) -> Records:
    """The records with FEWEST_YEARS of NORMAL_YEARS, cut to them; or, not `enough`, the others, moved to them."""
    inside = {name: lows[NORMAL_YEARS].notna().sum() >= 365 * FEWEST_YEARS for name, (_, lows) in all_records.items()}
    return {name: (site, lows[NORMAL_YEARS] if enough else
                   lows + WARMING_C * (MIDDLE_YEAR - float(np.mean(lows.index.year))))
            for name, (site, lows) in all_records.items() if inside[name] == enough}


def dates(all_records: Records, told: Told) -> tuple[dict[str, list[Outcome]], dict[str, float]]:
    """By region the outcomes and the stated error [days], the larger of the seasons'."""
    found, stated = dict[str, list[Outcome]](), dict[str, list[float]]()
    for name, (site, lows) in all_records.items():
        normals = told(lows, site)
        climate = night_climate(normals, None, site)
        tables = night_tables(climate, as_read_c(THRESHOLDS_C, lows))
        found.setdefault(region_of(name), []).extend(outcomes(tables, lows, climate))
        stated.setdefault(region_of(name), []).append(stated_days(normals, climate))
    return found, {name: float(np.mean(days)) for name, days in stated.items()}


def stated_days(normals: Normals, climate) -> float:
    """The error of dates that every output names."""
    return float(nights_line(normals, climate, "metric").split("dates ±")[1].split(" days")[0])


def spread_errors(all_records: Records, told: Told) -> dict[str, list[float]]:
    """By region the errors of the monthly spread as a share of it, in logs; the record's spread is about its date's
    mean."""
    found = dict[str, list[float]]()
    for name, (site, lows) in all_records.items():
        true = normals_of(lows, "daily").tmin_sd_c
        made = month_means(night_climate(told(lows, site), None, site).sd_c)
        found.setdefault(region_of(name), []).extend(np.log(made / true))
    return found


def left_out_promises(every: int, sd_wrong: float) -> tuple[int, float, float]:
    """(stations, share of years in which a promised 10 % comes true, median dates' mean error [days]) at every so many
    stations of the package, below 1,000 m, each estimated from the others.

    The truth is the night model with the station's own lows and a spread that the estimate misses by sd_wrong (sd, in
    logs; Gauss-Hermite nodes).
    """
    table_, kept, error, stations_ = stations(), [], [], 0
    nodes, weights = np.polynomial.hermite_e.hermegauss(3)
    for row in range(7, len(table_.names), every):
        where = tuple(float(of[row]) for of in (table_.latitude, table_.longitude, table_.elevation_m))
        if where[2] > 1000 or np.isnan(table_.low_c[:, row]).any():
            continue
        stations_, site = stations_ + 1, Site("", *where)
        told = night_tables(night_climate(estimated_normals(*where, nearer_km=1.0), None, site), LEFT_OUT_C)
        own = night_climate(Normals(table_.low_c[:, row].astype(float)), None, site)
        own = replace(own, details={name: of for name, of in own.details.items() if name != "spread_doubt"})
        true = [night_tables(replace(own, sd_c=own.sd_c * np.exp(sd_wrong * v)), LEFT_OUT_C) for v in nodes]
        for k in range(len(LEFT_OUT_C)):
            for dated, chance, later in ((spring_index, "chance_after", 1), (autumn_index, "chance_before", 0)):
                at, middle, really = dated(told, k, 10), dated(told, k, 50), dated(true[1], k, 50)
                curves = np.array([getattr(one, chance)[k] for one in true])
                if at is not None and curves[1].max() > YEARS_WITH:
                    kept.append(weights @ curves[:, (at + later) % DAYS] / weights.sum())
                if middle is not None and really is not None:
                    error.append(abs((middle - really + 182) % DAYS - 182))
    return stations_, float(np.mean(kept)), float(np.mean(error))


def main(folder: Path | None) -> None:
    known = records(folder)
    print("| told | dates | mean error | median dates | 1 in 10 | bias | 10 % came true | stated | by region: error / "
          "bias / came true |\n|---|---|---|---|---|---|---|---|---|")
    tried = [(kind, told, known) for kind, told in KINDS.items()]
    tried += [("town, their years of 1991-2020", from_town, of_normal_years(known, True)),
              ("town, other years moved to 2005", from_town, of_normal_years(known, False))]
    for kind, told, these in tried:
        found, stated = dates(these, told)
        rows = np.array([(mean_error(of), mean_error(of, (50,)), mean_error(of, (10,)), bias(of),
                          100 * came_true(of, 10)) for of in found.values()])
        every = ", ".join(f"{name} {a:.1f}/{b:+.1f}/{c:.0f} %" for name, (a, _, _, b, c) in
                          zip(found, rows, strict=True))
        mean = rows.mean(axis=0)
        print(f"| {kind} | {sum(map(len, found.values()))} | {mean[0]:.1f} | {mean[1]:.1f} | {mean[2]:.1f} | "
              f"{mean[3]:+.1f} | {mean[4]:.0f} | {np.mean(list(stated.values())):.1f} | {every} |")
    for wrong in (0.0, fitted("spread_doubt")):
        many, kept, days = left_out_promises(LEFT_OUT_EVERY, wrong)
        print(f"{many} stations left out, spread wrong by {wrong:g}: a promised 10 % comes true in {kept:.1%}, median "
              f"dates {days:.1f} days off")
    for kind, told in KINDS.items():
        errors = spread_errors(known, told)
        each = ", ".join(f"{name} {np.mean(np.abs(of)):.2f} ({np.mean(of):+.2f})" for name, of in errors.items())
        halves = [np.array(of).reshape(-1, 2, 6).mean(axis=2) for of in
                  (np.roll(np.array(of).reshape(-1, 12), -1, axis=1) for of in errors.values())]
        print(f"spread, {kind}: {np.mean([np.mean(np.abs(of)) for of in errors.values()]):.2f}; of whole half-years "
              f"{np.mean([(of**2).mean() for of in halves])**0.5:.2f} (root mean square); {each}")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
