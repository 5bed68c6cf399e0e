"""Windows on the invented cold town, warmed, flattened or turned to the south."""

import numpy as np
from invented import COLD_TOWN_SD_C, COLD_TOWN_TMIN_C, make_plant, make_site, make_taxon

from seasonplan.climate.at_plant import SeasonLift
from seasonplan.climate.nights import night_climate
from seasonplan.climate.passage import night_tables
from seasonplan.dates import planning_days
from seasonplan.decisions.windows import WindowFinder, site_thresholds_c
from seasonplan.model import Bearing, Normals, Rules

TROPICAL = Bearing(10.0, 8.0, 14.0, True)

PLAIN = SeasonLift(0.0, 0.0)
"""Of a place under a roof, where clear nights are no colder."""


def finder_for(bearings, places=(), rules=None, shift_c=0.0, latitude_deg=44.5, months=0, swing=1.0):
    """A finder on the invented cold town, warmed by shift_c, its year flattened by `swing`, its months rolled for the
    south."""
    tmin_c = COLD_TOWN_TMIN_C.mean() + swing * (COLD_TOWN_TMIN_C - COLD_TOWN_TMIN_C.mean())
    normals = Normals(np.roll(tmin_c, months) + shift_c, np.roll(COLD_TOWN_SD_C, months))
    climate = night_climate(normals, None, make_site(latitude_deg=latitude_deg))
    plants = [make_plant(harm_c=b.harm_c, harm_hardened_c=b.hardened_c, comfort_c=b.comfort_c,
                         taxon=make_taxon(freeze_kill=b.freeze_kill)) for b in bearings]
    tables = night_tables(climate, site_thresholds_c(plants, places, climate))
    return WindowFinder(climate, tables, rules or Rules(year=2027), planning_days(2027, latitude_deg))
