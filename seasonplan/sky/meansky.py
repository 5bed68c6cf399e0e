"""What an average sky lets through: daily global radiation from the normals, split into beam and diffuse.

Global radiation per month comes from `ghi_mj`, else from `sunshine_h` (FAO-56 eq. 35), else from tmax - tmin (FAO-56
eq. 50), else from an assumed clearness. Its clearness index runs smoothly from month to month and keeps the monthly
means. The diffuse share follows Erbs, Klein and Duffie 1982 (see `radiation.diffuse_share`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from seasonplan.dates import DAYS, day_index, month_means
from seasonplan.model import Normals, Site
from seasonplan.sky import radiation
from seasonplan.sky.monthly import between_months
from seasonplan.sky.settings import settings

YEAR_DAYS = np.arange(1, DAYS + 1)
ROUNDS = 12
"""Rounds of correction that bring monthly means of the smooth curve to the given ones (within 1e-4)."""


@dataclass(frozen=True, eq=False)
class MeanSky:
    """Daily means on open ground [MJ m-2 d-1], (dates,): global_mj and its diffuse part. clear_over_mean: the whole
    year's clear-sky radiation (FAO-56 eq. 37) over its mean, at least 1. source: "ghi_mj" | "sunshine_h" |
    "temperatures" | "assumed"; note: a sentence for the person, empty when measured."""

    global_mj: np.ndarray
    diffuse_mj: np.ndarray
    clear_over_mean: float
    source: str
    note: str


def mean_sky(site: Site, normals: Normals, dates: Sequence[date]) -> MeanSky:
    """Mean global and diffuse radiation of every date."""
    above = radiation.extraterrestrial_mj(site.latitude_deg, YEAR_DAYS)
    monthly, source, note = monthly_global_mj(site, normals)
    clearness = smooth_clearness(monthly, above)
    sunset = radiation.sunset_angle_rad(site.latitude_deg, YEAR_DAYS)
    daily = clearness * above
    diffuse = daily * radiation.diffuse_share(clearness, sunset)
    where = np.array([day_index(day) for day in dates])
    clear_mj = float(radiation.clear_sky_mj(above, site.elevation_m).sum())
    clear_over_mean = max(clear_mj / float(daily.sum()), 1.0) if daily.any() else 1.0
    return MeanSky(daily[where], diffuse[where], clear_over_mean, source, note)


def monthly_global_mj(site: Site, normals: Normals) -> tuple[np.ndarray, str, str]:
    """Monthly mean global radiation (12,) [MJ m-2 d-1], where it came from, and what to tell the person."""
    above = month_means(radiation.extraterrestrial_mj(site.latitude_deg, YEAR_DAYS))
    if normals.ghi_mj is not None:
        return np.asarray(normals.ghi_mj, float), "ghi_mj", ""
    if normals.sunshine_h is not None:
        possible = month_means(radiation.daylight_hours(site.latitude_deg, YEAR_DAYS))
        told = "that stations round about tell" if _estimated("sunshine_h", normals) else "given"
        return radiation.from_sunshine_mj(normals.sunshine_h, possible, above), "sunshine_h", (
            f"Average light is worked out from the hours of sunshine {told}.")
    if normals.tmax_c is not None:
        tmin_c = month_means(normals.tmin_c)
        tmax_c = month_means(normals.tmax_c)
        usual = np.maximum(tmax_c, tmin_c + radiation.LEAST_SPAN_C)
        light = radiation.from_temperature_mj(usual, tmin_c, above, radiation.krs(site.latitude_deg))
        told = ", by stations round about" if _estimated("tmax_c", normals) else ""
        return light, "temperatures", (
            f"Average light is estimated from the difference between day and night temperatures{told}; expect a summer "
            "month to be a tenth off, at times a quarter. Sunshine hours or global radiation in normals.csv would "
            "make it exact.")
    share = settings().mean_clearness
    return share * above, "assumed", (
        f"Average light is assumed: {share:.0%} of the light above the air, because normals.csv has no radiation, "
        "sunshine or day temperatures.")


def _estimated(quantity: str, normals: Normals) -> bool:
    """Whether a quantity of the normals is the stations' round about and nobody's own."""
    return normals.estimate is not None or quantity in normals.from_stations


def smooth_clearness(monthly_mj: np.ndarray, above_mj: np.ndarray) -> np.ndarray:
    """Clearness index of each day (365,) whose radiation has the monthly means given; 0 where there is none above."""
    over_month = month_means(above_mj)
    wanted = np.divide(monthly_mj, over_month, out=np.zeros(12), where=over_month > 0)
    nodes = wanted.copy()
    for _ in range(ROUNDS):
        made = month_means(between_months(nodes) * above_mj)
        nodes = nodes * np.divide(monthly_mj, made, out=np.ones(12), where=made > 0)
    return between_months(nodes)
