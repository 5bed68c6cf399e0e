"""The tables behind a plan, for the terminal: cold nights and light."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import numpy as np

from seasonplan import wording as w
from seasonplan.climate.crossings import autumn_index, spring_index
from seasonplan.climate.sureness import nights_line
from seasonplan.dates import MONTH_NAMES, month_day
from seasonplan.model import Daylight, NightClimate, NightTables, Scenario
from seasonplan.outputs.sheet import Cell, Column, Sheet

WIDTH = 80
CHANCES = {5: "1 in 20", 10: "1 in 10", 20: "1 in 5", 50: "1 in 2", 80: "4 in 5", 90: "9 in 10"}
"""Percent -> how many years have it."""


def nights_table(scenario: Scenario, climate: NightClimate, tables: NightTables, recorded: NightTables | None,
                 colour: bool = False, width: int = WIDTH) -> str:
    """For each threshold: until which date so many years still reach it, from which date so many have reached it again;
    from the normals and, where it is long enough, straight from the record beside them."""
    sheet = Sheet()
    sheet.heading(f"{scenario.site.name}: when cold nights end and begin")
    sheet.line(nights_line(scenario.normals, climate, scenario.rules.units), "quiet")
    for note in climate.notes:
        sheet.line(note, "quiet")
    both = [tables] if recorded is None else [tables, recorded]
    columns = [Column("Years that have one", fixed=True)]
    columns += [Column(f"{season}\n({each.source})") for each in both for season in ("spring, until", "autumn, from")]
    for k, threshold_c in enumerate(tables.thresholds_c):
        sheet.heading(f"Nights at or below {w.temperature(float(threshold_c), scenario.rules.units)}")
        sheet.table(columns, [_chance_row(words, percent, k, both) for percent, words in CHANCES.items()])
        sheet.line(_count_sentence(tables, k))
    return sheet.text(colour, width)


def _chance_row(words: str, percent: int, k: int, both: Sequence[NightTables]) -> list[str]:
    row = [words]
    for each in both:
        row += [_day_text(spring_index(each, k, percent), each.chance_after[k], percent, "midsummer"),
                _day_text(autumn_index(each, k, percent), each.chance_before[k], percent, "midsummer on")]
    return row


def _day_text(index: int | None, chances: np.ndarray, percent: int, turn: str) -> str:
    """A date; where there is none, whether so many years never have such a night or have one around midsummer too."""
    if index is None:
        return turn if chances.max() >= percent / 100 else "not reached"
    month, day = month_day(index)
    return f"{day} {MONTH_NAMES[month - 1][:3]}"


def _count_sentence(tables: NightTables, k: int) -> str:
    """How many such nights each half of the year has."""
    spring, autumn = tables.expected_after[k].max(), tables.expected_before[k].max()
    return (f"About {w.counted(round(float(spring), 1), 'night')} between the depth of winter and midsummer, "
            f"{w.counted(round(float(autumn), 1), 'night')} between midsummer and the depth of winter.")


def light_table(scenario: Scenario, daylight: Daylight, on_day: date | None = None, colour: bool = False,
                width: int = WIDTH) -> str:
    """Light at every place by month, or on one date with the hours when sun reaches it.

    Raises ValueError for a date outside the planning year.
    """
    sheet = Sheet()
    sheet.heading(f"{scenario.site.name}: light at each place" + (f" on {w.day(on_day, year=True)}" if on_day else ""))
    if on_day is not None:
        _light_on(sheet, daylight, daylight.dates.index(on_day))
    else:
        sheet.line("DLI: light of a day [mol per m²], on a clear day and on the average day. Direct sun: clock hours, "
                   "and full-sun hours (an hour of midday sun) of a clear day. Peak: brightest moment, clear "
                   "[µmol per m² and second].", "quiet")
        for row, name in enumerate(daylight.places):
            sheet.heading(name)
            sheet.table(_LIGHT_COLUMNS, _months(daylight, row))
    for note in (*daylight.notes, *(note for place in scenario.places for note in place.assumed)):
        sheet.line(note, "quiet")
    return sheet.text(colour, width)


_LIGHT_COLUMNS = (Column("Month", fixed=True), Column("clear DLI", figures=True), Column("average DLI", figures=True),
                  Column("direct sun h", figures=True), Column("full-sun h", figures=True),
                  Column("peak", figures=True))


def _months(daylight: Daylight, row: int) -> list[list[str]]:
    """Means of each month, in the planning year's order."""
    months = np.array([day.month for day in daylight.dates])
    curves = (daylight.clear_dli, daylight.mean_dli, daylight.direct_sun_h, daylight.full_sun_h, daylight.peak_ppfd)
    return [[MONTH_NAMES[month - 1], *(_figure(float(curve[row][months == month].mean()), digits)
                                       for curve, digits in zip(curves, (1, 1, 1, 1, 0), strict=True))]
            for month in dict.fromkeys(months.tolist())]


def _figure(value: float, digits: int) -> str:
    return f"{value:.{digits}f}" if np.isfinite(value) else "-"


def _light_on(sheet: Sheet, daylight: Daylight, n: int) -> None:
    sunrise, sunset = float(daylight.sunrise_min[n]), float(daylight.sunset_min[n])
    if np.isfinite(sunrise) and np.isfinite(sunset):
        sheet.line(f"The sun is up from {w.clock(sunrise)} to {w.clock(sunset)}.")
    else:
        sheet.line("The sun does not rise or set on this day.")
    rows = [(Cell(name, "strong"), w.spans(daylight.sun_spans[p][n]), _figure(daylight.full_sun_h[p, n], 1),
             f"{_figure(daylight.clear_dli[p, n], 1)} / {_figure(daylight.mean_dli[p, n], 1)}")
            for p, name in enumerate(daylight.places)]
    sheet.table((Column("Place"), Column("Sun reaches it"), Column("full-sun h", figures=True),
                 Column("DLI clear / average", figures=True)), rows)
