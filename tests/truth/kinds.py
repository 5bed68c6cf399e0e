"""How near dates come with each kind of input: the table printed by `cd tests; python -m truth.kinds [FOLDER]`.

Records: those of truth/table.py and, from wheels in FOLDER, of truth/other_records.py. England's six count as one
region, Clemson's three spans as one; a mean over all is over regions, and over those with FEWEST_YEARS years.
With --choose, what the weight "both_sd" of data/night_model.csv is worth, and where it is chosen without the region it
is tried on; with --within, the variance that a sd within the month lacks.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from unittest.mock import patch

import numpy as np
import pandas as pd
from truth.other_records import other_records
from truth.table import (
    LATITUDES,
    Outcome,
    bias,
    came_true,
    lows_of,
    mean_error,
    normals_of,
    other_years,
    same_years,
    site_of,
)

from seasonplan.climate import lowest
from seasonplan.model import SD_KINDS, Site

KINDS = (*SD_KINDS, "daily", "month", "within", "lowest", *(f"{kind}+lowest" for kind in SD_KINDS), "none")
ENGLAND = ("cambridge", "suffolk", "norfolk", "lincolnshire", "north_yorks", "northumberland")
FEWEST_YEARS, FEWEST_FOR_HALVES = 9, 20
WEIGHTS = (0.0, 0.35, 0.5, 0.65, 0.8, 1.0)
Records = dict[str, tuple[Site, pd.Series]]
ByRegion = dict[str, list[Outcome]]


def region_of(name: str) -> str:
    return "england" if name in ENGLAND else name.split()[0]


def by_region(records: Records, told: str, halves: bool = False) -> ByRegion:
    """The outcomes of every region whose records are long enough."""
    found: ByRegion = {}
    for name, (site, lows) in records.items():
        if len(lows) >= 365 * (FEWEST_FOR_HALVES if halves else FEWEST_YEARS):
            found.setdefault(region_of(name), []).extend((other_years if halves else same_years)(lows, site, told))
    return found


def over(regions: ByRegion, names: Sequence[str]) -> str:
    """Mean error (median / 1 in 10), bias and how often 10 % came true, each the mean over the regions named."""
    figures = np.mean([(mean_error(found), mean_error(found, (50,)), mean_error(found, (10,)), bias(found),
                        100 * came_true(found, 10)) for found in (regions[name] for name in names)], axis=0)
    return "{:.2f} ({:.1f}/{:.1f}, {:+.1f}) {:.0f} %".format(*figures)


def print_kinds(records: Records) -> None:
    print("told | all regions, same years | regions of 20 years, same years | the same, the years between | by region")
    for told in KINDS:
        same, others = by_region(records, told), by_region(records, told, halves=True)
        each = " ".join(f"{name} {mean_error(found):.1f}" for name, found in same.items())
        print(" | ".join([told, over(same, list(same)), over(same, list(others)), over(others, list(others)), each]))


def print_choice(records: Records) -> None:
    """Each region tried with the weights that are best for all others."""
    for years, halves in (("same years", False), ("every other year against those between", True)):
        errors = []
        for weight in WEIGHTS:
            with patch.object(lowest, "fitted", lambda name, weight=weight: weight):
                regions = by_region(records, f"{SD_KINDS[0]}+lowest", halves)
            errors.append([mean_error(found) for found in regions.values()])
            print(f"{years}: weight {weight:.2f}: {np.mean(errors[-1]):.2f} days, without the worst region "
                  f"{np.mean(sorted(errors[-1])[:-1]):.2f}")
        table = np.array(errors)
        chosen = [int(np.argmin(np.delete(table, k, axis=1).mean(axis=1))) for k in range(table.shape[1])]
        left_out = np.mean([table[choice, k] for k, choice in enumerate(chosen)])
        print(f"chosen without the region: {left_out:.2f} days, {sorted({WEIGHTS[choice] for choice in chosen})}")


def print_within(records: Records) -> None:
    shares = {}
    for name, (_, lows) in records.items():
        if len(lows) >= 365 * FEWEST_YEARS:
            daily, month, within = (normals_of(lows, kind).tmin_sd_c ** 2 for kind in ("daily", "month", "within"))
            shares[name] = float(np.mean((within - (month - daily)) / daily))
            print(f"{name}: {shares[name]:.2f}")
    print(f"mean {np.mean(list(shares.values())):.2f} of {len(shares)} records")


def main() -> None:
    asks = argparse.ArgumentParser()
    asks.add_argument("folder", nargs="?", type=Path)
    asks.add_argument("--choose", action="store_true")
    asks.add_argument("--within", action="store_true")
    asked = asks.parse_args()
    records: Records = {name: (site_of(name), lows_of(name)) for name in LATITUDES}
    if asked.folder:
        records |= other_records(asked.folder)
    (print_choice if asked.choose else print_within if asked.within else print_kinds)(records)


if __name__ == "__main__":
    main()
