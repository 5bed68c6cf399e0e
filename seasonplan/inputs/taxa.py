"""The built-in catalogue of plants as data: every taxon with its figures, and the evidence behind each.

data/catalogue.csv is built from data/taxa.csv and data/evidence.csv by tests/evidence/build.py, where the rule stands.
Columns: key (`any-…`: plants of a group whose kind nobody named); botanical; common; group (foliage, flowering, citrus,
palm, fern, succulent, cactus, orchid, bromeliad, herb-like); climate (tropical, subtropical, arid, temperate); harm_c,
the night low at or below which one night is expected to mark a pot plant fresh from indoors, harm_hardened_c, the same
after six weeks outdoors, comfort_c, what nights usually are when it lives outside [°C], each with its range and grade
(measured, listed, group, memory); freeze_kill, whether 0 °C kills it in a pot; light_low_mol, light_high_mol, the
acclimated growing range [mol m-2 d-1]; sun (deep-shade, shade, part-sun, sun); summer_outdoors (yes, sheltered, no);
moisture (dry, even, moist); soap_sensitive (yes, no, unknown); toxic_people, toxic_pets (none, irritant, toxic,
deadly); salt_sensitive; cuttings (water, soil, division, none); bud_cold_c, the nights that set its buds, where it
needs such; source_temp, source_light, source_other: keys of data/sources.csv, "common practice" or "memory".
data/synonyms.csv: name, key; where one name stands at several keys the likeliest comes first. Old and trade names are
from memory and seed lists unless data/sources.csv says otherwise (NAMES).
"""

from __future__ import annotations

from functools import cache

from seasonplan.data import table
from seasonplan.model import Figure, Taxon

ANY = "any-"
"""Keys of plants whose kind nobody named begin so."""


@cache
def catalogue() -> tuple[Taxon, ...]:
    """Every taxon, in file order, with its synonyms."""
    synonyms: dict[str, list[str]] = {}
    for row in table("synonyms"):
        synonyms.setdefault(row["key"], []).append(row["name"])
    return tuple(as_taxon(row, tuple(synonyms.get(row["key"], ()))) for row in table("catalogue"))


def as_taxon(row: dict[str, str], synonyms: tuple[str, ...] = ()) -> Taxon:
    """A row of catalogue columns as a Taxon."""
    return Taxon(row["key"], row["botanical"], row["common"], row["group"], row["climate"], _figure(row, "harm"),
                 _figure(row, "harm_hardened"), _figure(row, "comfort"), row["freeze_kill"] == "yes",
                 float(row["light_low_mol"]), float(row["light_high_mol"]), row["sun"], row["summer_outdoors"],
                 row["moisture"], row["soap_sensitive"], row["toxic_people"], row["toxic_pets"],
                 row["salt_sensitive"] == "yes", row["cuttings"],
                 float(row["bud_cold_c"]) if row["bud_cold_c"] else None, row["source_temp"], row["source_light"],
                 row["source_other"], synonyms)


def _figure(row: dict[str, str], name: str) -> Figure:
    value = float(row[f"{name}_c"])
    low, high = (float(row[f"{name}_{end}_c"] or value) for end in ("low", "high"))
    return Figure(value, low, high, row[f"{name}_grade"])


def evidence(key: str) -> tuple[dict[str, str], ...]:
    """The rows of data/evidence.csv on a taxon, best grade first within each quantity."""
    return tuple(row for row in table("evidence") if row["taxon"] == key)
