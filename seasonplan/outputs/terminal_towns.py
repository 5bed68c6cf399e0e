"""`seasonplan towns` on the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from seasonplan import wording as w
from seasonplan.data import table
from seasonplan.dates import MONTH_NAMES
from seasonplan.model import Normals, Town
from seasonplan.outputs.sheet import Column, Sheet

FULL = 3
"""With so many towns or fewer, each is shown with its months."""


def towns_text(known: Sequence[tuple[Town, Normals]], names: Sequence[str], in_all: int, units: str | None,
               colour: bool = False, width: int = 80) -> str:
    """Each town with what the table knows of it and the normals estimated there; names: what to type for each; units
    None: as the town's country measures."""
    sheet = Sheet()
    if len(known) > 1:
        more = f", the {len(known)} largest here" if in_all > len(known) else ""
        sheet.line(f"{in_all} towns, the most people first{more}. The name with its country, or state, means one.")
    for (town, normals), name in zip(known, names, strict=True):
        measure = units or ("imperial" if town.imperial else "metric")
        sheet.heading(name)
        sheet.line(f"{town.people:,} people, {w.height(town.elevation_m, measure)} above the sea, {town.timezone}, "
                   f"latitude {town.latitude:.2f}, longitude {town.longitude:.2f}.")
        if len(known) <= FULL:
            _months(sheet, normals, measure)
    if len(known) > FULL:
        sheet.line("One of them alone is shown with its night lows.", "quiet")
    return sheet.text(colour, width)


def _months(sheet: Sheet, normals: Normals, units: str) -> None:
    sheet.table([Column("Mean"), *(Column(name[:3], figures=True) for name in MONTH_NAMES)],
                [[f"{what} {'°F' if units == w.IMPERIAL else '°C'}",
                  *(w.temperature(float(value), units).split()[0] for value in values)]
                 for what, values in (("night low", normals.tmin_c), ("day high", normals.tmax_c))
                 if values is not None])
    if normals.estimate is not None:
        near = w.listed([f"{s.name} ({w.distance(s.km, units)}, {w.height(s.elevation_m, units)})"
                         for s in normals.estimate.stations])
        sheet.line(f"Estimated from {near} and others: nine lows in ten are right to "
                   f"±{w.temperature_span(normals.estimate.error_c, units)}.", "quiet")


def credits_text(colour: bool = False, width: int = 80) -> str:
    """Whose data the towns and the estimated normals are."""
    sheet = Sheet()
    for row in table("atlas_credits"):
        sheet.line(f"{row['credit']}.")
        if row["source"]:
            sheet.line(f"{row['source']}.", "quiet")
    return sheet.text(colour, width)
