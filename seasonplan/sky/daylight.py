"""Light at every place on every date: clear sky, average sky, direct sun.

Each place turns the beam B and the diffuse light D of a step into B * a(sun) + D * b, with a and b from its mask, so an
average day is the clear day with its beam and its diffuse light scaled to the averages of that date.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from seasonplan.model import Daylight, Normals, Place, Site
from seasonplan.sky import mask as masks
from seasonplan.sky.meansky import MeanSky, mean_sky
from seasonplan.sky.settings import settings
from seasonplan.sky.sun import ClearSky, clear_sky
from seasonplan.units import FULL_SUN_HOUR_MOL, LUX_PER_UMOL, MOL_PER_MJ, MOL_PER_WH, UMOL_PER_W

OPEN_GROUND = Place("open ground", "outdoor")
COLUMNS = ("clear_dli", "mean_dli", "direct_sun_h", "full_sun_h", "peak_ppfd")


@dataclass(frozen=True, eq=False)
class PlaceLight:
    """One place, clear sky, (dates,) each: light that comes from the beam, and from diffuse light [mol]; direct_mol:
    the part of beam_mol that comes straight from the sun; direct_sun_h; peak_ppfd; spans of direct sun per date."""

    beam_mol: np.ndarray
    diffuse_mol: np.ndarray
    direct_mol: np.ndarray
    direct_sun_h: np.ndarray
    peak_ppfd: np.ndarray
    spans: tuple[tuple[tuple[int, int], ...], ...]


@dataclass(frozen=True, eq=False)
class Row:
    """One place as model.Daylight shows it, (dates,) each."""

    clear_dli: np.ndarray
    mean_dli: np.ndarray
    direct_sun_h: np.ndarray
    full_sun_h: np.ndarray
    peak_ppfd: np.ndarray
    spans: tuple[tuple[tuple[int, int], ...], ...]


def daylight(site: Site, places: Sequence[Place], normals: Normals, dates: Sequence[date]) -> Daylight:
    """Light at the places on the dates (usually dates.planning_days). ValueError for a site that is not on Earth."""
    sky = clear_sky(site, dates)
    average = mean_sky(site, normals, dates)
    open_light = place_light(sky, masks.mask_of(OPEN_GROUND, site.latitude_deg), len(dates))
    scale = mean_scale(open_light, average)
    open_row = _row(open_light, scale)
    rows: list[Row] = []
    notes: list[str] = []
    for place in places:
        mask = masks.mask_of(place, site.latitude_deg)
        row = _row(place_light(sky, mask, len(dates)), scale)
        measured = place.measured_lux is not None or place.measured_dli is not None
        rows.append(_as_measured(place, row, open_row, average.clear_over_mean, sky.sunlit_h) if measured else row)
        notes += [_measured_note(place)] if measured else mask.notes
    notes += [average.note] if average.note else []
    columns = {name: np.array([getattr(row, name) for row in rows]).reshape(len(places), len(dates))
               for name in COLUMNS}
    return Daylight(dates=tuple(dates), places=tuple(place.name for place in places), **columns,
                    sun_spans=tuple(row.spans for row in rows), sunrise_min=sky.sunrise_min,
                    sunset_min=sky.sunset_min, open_clear_dli=open_row.clear_dli, open_mean_dli=open_row.mean_dli,
                    notes=tuple(notes))


def place_light(sky: ClearSky, mask: masks.Mask, days: int) -> PlaceLight:
    """Clear-sky light at one mask, from the steps of a site."""
    shares = masks.shares_of(mask)
    seen = masks.openness(mask, sky.azimuth_deg, sky.elevation_deg)
    beam_w = sky.beam_normal_w * seen * masks.filter_share(mask, sky.azimuth_deg, sky.elevation_deg)
    straight = masks.unscattered_share(mask)
    along_w = beam_w * masks.leaf_weight(mask, sky.elevation_deg)
    from_beam_w = along_w + shares.ground * (sky.global_w - sky.diffuse_w)
    if mask.window is not None:
        from_beam_w += shares.pane * sky.beam_normal_w * masks.pane_share(mask, sky.azimuth_deg, sky.elevation_deg)
    from_diffuse_w = (shares.sky + shares.ground) * sky.diffuse_w
    sunny = (seen >= 0.5) & (beam_w * straight >= settings().bright_sun_w)
    peak = np.zeros(days)
    np.maximum.at(peak, sky.day, (from_beam_w + from_diffuse_w) * UMOL_PER_W)
    step_h = sky.step_min / 60
    beam, diffuse, direct = (np.bincount(sky.day, watts, days) * step_h * MOL_PER_WH
                             for watts in (from_beam_w, from_diffuse_w, along_w * straight))
    return PlaceLight(beam, diffuse, direct, np.bincount(sky.day, sunny, days) * step_h, peak,
                      _spans(sky, np.flatnonzero(sunny), days))


def mean_scale(open_light: PlaceLight, average: MeanSky) -> tuple[np.ndarray, np.ndarray]:
    """What the clear day's beam and diffuse light are to be multiplied by, (dates,) each.

    The beam never exceeds that of a clear day; what the average needs beyond it is counted as diffuse.
    """
    beam = np.minimum((average.global_mj - average.diffuse_mj) * MOL_PER_MJ, open_light.beam_mol)
    diffuse = average.global_mj * MOL_PER_MJ - beam
    return _ratio(beam, open_light.beam_mol), _ratio(diffuse, open_light.diffuse_mol)


def _ratio(above: np.ndarray, below: np.ndarray) -> np.ndarray:
    return np.divide(above, below, out=np.zeros(len(below)), where=below > 0)


def _row(light: PlaceLight, scale: tuple[np.ndarray, np.ndarray]) -> Row:
    return Row(light.beam_mol + light.diffuse_mol, light.beam_mol * scale[0] + light.diffuse_mol * scale[1],
               light.direct_sun_h, light.direct_mol / FULL_SUN_HOUR_MOL, light.peak_ppfd, light.spans)


def _as_measured(place: Place, row: Row, open_row: Row, clear_over_mean: float, sunlit_h: np.ndarray) -> Row:
    """A place whose light was measured; the sun's hours stay those of its window when it tells where that looks.

    measured_dli is the average day's light on every date, and a clear day's is more by the year's clear over mean.
    measured_lux at bright midday is the peak of every clear day: lux / 54 umol, a half-sine over the day's length, so
    DLI = peak * 0.637 * day length [h] * 0.0036; the average day's is less as it is on open ground that day.
    """
    s = settings()
    if place.measured_dli is not None:
        mean = np.full(len(sunlit_h), float(place.measured_dli))
        clear = mean * clear_over_mean
        peak = clear / (s.half_sine_share * np.maximum(sunlit_h, s.shortest_day_h) * 3600e-6)
    else:
        assert place.measured_lux is not None
        peak = np.where(sunlit_h > 0, place.measured_lux / LUX_PER_UMOL, 0.0)
        clear = peak * s.half_sine_share * sunlit_h * 3600e-6
        mean = clear * _ratio(open_row.mean_dli, open_row.clear_dli)
    if place.faces_deg is None:
        nothing = np.zeros(len(sunlit_h))
        return Row(clear, mean, nothing, nothing, peak, ((),) * len(sunlit_h))
    return Row(clear, mean, row.direct_sun_h, np.minimum(row.full_sun_h, clear / FULL_SUN_HOUR_MOL), peak, row.spans)


def _measured_note(place: Place) -> str:
    if place.measured_dli is not None:
        return f"{place.name}: the measured {place.measured_dli:g} mol a day is taken for every day of the year."
    return (f"{place.name}: {place.measured_lux:g} lux at bright midday is taken as the peak of every clear day "
            f"({LUX_PER_UMOL:g} lux per umol), and the day as a half-sine of that height.")


def _spans(sky: ClearSky, sunny: np.ndarray, days: int) -> tuple[tuple[tuple[int, int], ...], ...]:
    """Runs of sunny steps per date as clock minutes (from, until)."""
    found: list[list[tuple[int, int]]] = [[] for _ in range(days)]
    if len(sunny):
        apart = (np.diff(sky.middle_s[sunny]) > 60 * sky.step_min) | (np.diff(sky.day[sunny]) > 0)
        first, last = sunny[np.append(True, apart)], sunny[np.append(apart, True)]
        until = sky.clock_min[last] + sky.step_min
        for day, start, end in zip(sky.day[first].tolist(), sky.clock_min[first].tolist(), until.tolist(),
                                   strict=True):
            found[day].append((int(start), int(end)))
    return tuple(map(tuple, found))
