"""`seasonplan catalogue` on the terminal: a table of plants, or one plant with the evidence behind every figure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from seasonplan import units as u
from seasonplan import wording as w
from seasonplan.data import table
from seasonplan.model import Figure, Taxon
from seasonplan.outputs.sheet import Cell, Column, Sheet

WIDTH = 100
GRADE_WORDS = {"measured": "measured", "listed": "published advice", "group": "a guess for its group",
               "memory": "from memory", "given": "your own"}
"""measured: a trial. listed: extension, garden, society, poison centre."""
QUANTITIES = {"harm": "Harmed at, fresh", "harm_hardened": "Harmed at, hardened", "comfort": "Nights from",
              "light_low": "Light from", "light_high": "Light to", "sun": "Sun", "toxic_people": "To people",
              "toxic_pets": "To pets", "soap": "Marked by soap", "bud_cold": "Nights that set buds"}
NAMES_SHOWN = 12
Evidence = Mapping[str, Sequence[Mapping[str, str]]]


def catalogue_table(taxa: Sequence[Taxon], note: str = "", colour: bool = False, width: int = WIDTH) -> str:
    """Plants of the catalogue: night thresholds, light, sun class, and what people and pets should know."""
    sheet = Sheet()
    if note:
        sheet.line(f"{note}.")
    sheet.table((Column("Plant"), Column("Harmed at", figures=True), Column("Nights from", figures=True),
                 Column("Light mol", figures=True), Column("Sun"), Column("Toxic")),
                [(f"{taxon.common}\n{taxon.botanical}", _harm_words(taxon), _both_units(taxon.comfort),
                  f"{taxon.light_low_mol:g}-{taxon.light_high_mol:g}", _sun_words(taxon), _toxic_words(taxon))
                 for taxon in taxa])
    sheet.line("Harmed at: the night low at which one night marks it, fresh from indoors and once hardened. Nights "
               "from: what nights usually are when it lives outside. ~ marks a guess (of its group, or from memory). "
               "Light: mol per m² and day that it grows in. \"none\" means not known to be harmful, not proven safe.",
               "quiet")
    return sheet.text(colour, width)


def catalogue_details(taxa: Sequence[Taxon], evidence: Evidence, note: str = "", colour: bool = False,
                      width: int = WIDTH) -> str:
    """A few plants with every figure, its range, how well it is known and from where.

    evidence: rows of data/evidence.csv by the taxon's key.
    """
    sheet = Sheet()
    if note:
        sheet.line(f"{note}.")
    named: dict[str, None] = {}
    for taxon in taxa:
        sheet.heading(f"{taxon.common[:1].upper()}{taxon.common[1:]}, {taxon.botanical}")
        others = w.listed([n for n in taxon.synonyms if n.casefold() != taxon.common.casefold()], NAMES_SHOWN)
        sun = _sun_words(taxon).replace("\n", ", ")
        sheet.line(f"{taxon.climate.capitalize()}; {sun}; water: {taxon.moisture}."
                   + (f" Also: {others}." if others else ""), "quiet")
        _figures(sheet, taxon)
        rows = evidence.get(taxon.key, ())
        _evidence(sheet, rows, taxon)
        named.update(dict.fromkeys(key for row in rows for key in row["source"].split("; ")))
    cited = [f"{row['key']}: {row['citation']}" for row in table("sources") if row["key"] in named]
    if cited:
        sheet.heading("Sources")
        for line in cited:
            sheet.line(line, "quiet")
    return sheet.text(colour, width)


def _figures(sheet: Sheet, taxon: Taxon) -> None:
    rows = [(Cell(QUANTITIES[name], "strong"), _both_units(figure), _range(figure), GRADE_WORDS[figure.grade])
            for name, figure in (("harm", taxon.harm), ("harm_hardened", taxon.harm_hardened),
                                 ("comfort", taxon.comfort))]
    rows.append((Cell("Light", "strong"), f"{taxon.light_low_mol:g}-{taxon.light_high_mol:g} mol", "", ""))
    rows.append((Cell("Toxic", "strong"), _toxic_words(taxon), "", ""))
    sheet.table((Column("What counts"), Column("Value", fixed=True), Column("Range"), Column("How well known")), rows)


def _evidence(sheet: Sheet, rows: Sequence[Mapping[str, str]], taxon: Taxon) -> None:
    if not rows:
        sheet.line(f"Worked out from {taxon.source_temp}.", "quiet")
        return
    sheet.table((Column("Evidence"), Column("Value", fixed=True), Column("Known as, from")),
                [(QUANTITIES[row["quantity"]], _value_words(row), ": ".join(filter(None, (
                    GRADE_WORDS[row["grade"]] + ("" if row["source"] == "memory" else f", {row['source']}"),
                    row["conditions"])))) for row in rows])


def _value_words(row: Mapping[str, str]) -> str:
    span = f"\n{row['low']} to {row['high']}" if row["low"] and row["grade"] != "memory" else ""
    return f"{row['value']} {row['unit']}".strip() + span


def _both_units(figure: Figure) -> str:
    return f"{'~' if figure.guessed else ''}{figure.value:g} °C\n{u.c_to_fahrenheit(figure.value):.0f} °F"


def _harm_words(taxon: Taxon) -> str:
    fresh, hardened = taxon.harm, taxon.harm_hardened
    return f"{'~' if fresh.guessed else ''}{fresh.value:g}, {'~' if hardened.guessed else ''}{hardened.value:g} °C\n" \
           f"{u.c_to_fahrenheit(fresh.value):.0f}, {u.c_to_fahrenheit(hardened.value):.0f} °F"


def _range(figure: Figure) -> str:
    return f"{figure.low:g} to {figure.high:g} °C"


def _toxic_words(taxon: Taxon) -> str:
    if taxon.toxic_people == taxon.toxic_pets:
        return taxon.toxic_people
    return f"people {taxon.toxic_people}\npets {taxon.toxic_pets}"


def _sun_words(taxon: Taxon) -> str:
    words = taxon.sun.replace("-", " ")
    return words if taxon.summer_outdoors == "yes" else \
        f"{words}\n{'leave indoors' if taxon.summer_outdoors == 'no' else 'sheltered'}"
