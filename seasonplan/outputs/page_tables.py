"""Rows of the page's tables: texts in the person's units; a cell that lists plants is a tuple of their names."""

from __future__ import annotations

from collections.abc import Sequence

from seasonplan import wording as w
from seasonplan.climate.sureness import nights_line
from seasonplan.data import table
from seasonplan.model import Plan
from seasonplan.outputs.daybook import capital, how_key

Row = list[str | tuple[str, ...]]

METHOD_SOURCES = (
    "Daily light from solar energy: Faust and Logan 2018, HortScience 53:1250–1257.",
    "Average light from sunshine hours or temperatures: Allen, Pereira, Raes and Smith 1998, FAO Irrigation and "
    "Drainage Paper 56, equations 35 and 50.",
    "Position of the sun: Reda and Andreas 2004, Solar Energy 76:577–589, as computed by the pvlib library.",
    "Lifting: NIOSH Applications Manual for the Revised Lifting Equation, publication 94-110.",
)


def shopping_rows(plan: Plan) -> list[list[str]]:
    """[item, amount, needed by, note] in order of need."""
    units = plan.rules.units
    return [[item.item, w.amount(item.amount, item.unit, units), w.day(item.needed_by), item.note]
            for item in sorted(plan.shopping, key=lambda item: item.needed_by)]


def skipped_rows(plan: Plan) -> list[Row]:
    """[job, plants, why, what would help]."""
    return [[capital(how_key(job.kind)), job.plants, job.reason,
             "It may wait for next year." if job.optional else job.remedy] for job in plan.skipped]


def taxon_rows(plan: Plan) -> list[list[str]]:
    """[kind, sources of night limits, of light, of the rest] of every kind grown, by name."""
    taxa = {p.plant.taxon.key: p.plant.taxon for p in plan.plants}
    return [[taxon.botanical, taxon.source_temp, taxon.source_light, taxon.source_other]
            for taxon in sorted(taxa.values(), key=lambda t: t.botanical)]


def citations(rows: Sequence[Sequence[str]]) -> list[tuple[str, str]]:
    """(key, citation) of every source key that these taxon rows name, in the order of the source table."""
    words = {word.strip(" ;,()") for row in rows for cell in row[1:] for word in cell.split()}
    return [(row["key"], row["citation"]) for row in table("sources") if row["key"] in words]


def night_source(plan: Plan) -> str:
    """Where the nights come from and how sure the dates are, as a sentence."""
    return nights_line(plan.scenario.normals, plan.climate, plan.rules.units)
