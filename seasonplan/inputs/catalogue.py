"""The built-in catalogue of plants: look-up by any name people use, and search.

Columns of data/catalogue.csv: key; botanical; common; group (foliage, flowering, citrus, palm, fern, succulent, cactus,
orchid, bromeliad, herb-like); night_harm_c, the night low at or below which one night is expected to mark a pot plant
fresh from indoors, harm_hardened_c, the same after six weeks outdoors [°C]; night_comfort_c, what nights usually are
when it lives outside [°C]; freeze_kill, whether 0 °C kills it in a pot; light_low_mol, light_high_mol, the acclimated
growing range [mol m-2 d-1]; sun (deep-shade, shade, part-sun, sun); summer_outdoors (yes, sheltered, no); moisture
(dry, even, moist); soap_sensitive (yes, no, unknown); toxic_people, toxic_pets (none, irritant, toxic, deadly);
salt_sensitive; cuttings (water, soil, division, none); source_temp, source_light, source_other: keys of
data/sources.csv, "common practice" or "memory". data/synonyms.csv: name, key, source.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import cache, lru_cache

from seasonplan.data import table
from seasonplan.inputs.gathering import letter_pairs, likeness, shown
from seasonplan.model import Taxon

NEAR = 0.5
"""Likeness (see gathering.nearest) from which a name is offered as "did you mean"."""


@cache
def catalogue() -> tuple[Taxon, ...]:
    """Every taxon, in file order, with its synonyms."""
    synonyms: dict[str, list[str]] = {}
    for row in table("synonyms"):
        synonyms.setdefault(row["key"], []).append(row["name"])
    return tuple(as_taxon(row, tuple(synonyms.get(row["key"], ()))) for row in table("catalogue"))


def as_taxon(row: dict[str, str], synonyms: tuple[str, ...] = ()) -> Taxon:
    """A row of catalogue columns as a Taxon."""
    return Taxon(row["key"], row["botanical"], row["common"], row["group"], float(row["night_harm_c"]),
                 float(row["harm_hardened_c"]), float(row["night_comfort_c"]), row["freeze_kill"] == "yes",
                 float(row["light_low_mol"]), float(row["light_high_mol"]), row["sun"], row["summer_outdoors"],
                 row["moisture"], row["soap_sensitive"], row["toxic_people"], row["toxic_pets"],
                 row["salt_sensitive"] == "yes", row["cuttings"], row["source_temp"], row["source_light"],
                 row["source_other"], synonyms)


def plain(name: str) -> str:
    """A name without what people vary: case, accents, punctuation, the hybrid sign."""
    letters = unicodedata.normalize("NFKD", name.replace("×", " x ").casefold())
    bare = "".join(c for c in letters if not unicodedata.combining(c)).replace("'", "").replace("’", "")
    return " ".join(word for word in re.split(r"[\W_]+", bare) if word and word != "x")


def names_of(taxon: Taxon) -> tuple[str, ...]:
    """Every name a taxon goes by: botanical (without what stands in brackets), common, synonyms, key."""
    botanical = re.sub(r"\s*\(.*", "", taxon.botanical)
    first = re.sub(r"(,| and | hybrids).*", "", botanical)
    common = re.sub(r"\s*\(.*", "", taxon.common)
    return tuple(dict.fromkeys([botanical, first, *common.split(" / "), *taxon.synonyms, taxon.key]))


@cache
def _by_name() -> dict[str, tuple[Taxon, ...]]:
    found: dict[str, dict[str, Taxon]] = {}
    for taxon in catalogue():
        for name in names_of(taxon):
            found.setdefault(plain(name), {})[taxon.key] = taxon
    return {name: tuple(taxa.values()) for name, taxa in found.items()}


@lru_cache(maxsize=4096)
def meanings(name: str) -> tuple[Taxon, ...]:
    """All taxa that go by exactly this name (case, accents, punctuation and a cultivar in quotes aside)."""
    without_cultivar = re.sub(r"\s['‘\"“][^'’\"”]+['’\"”]\s*$", "", name.strip())
    return _by_name().get(plain(name)) or _by_name().get(plain(without_cultivar)) or ()


def match(name: str) -> Taxon | None:
    """The taxon of this name; None when there is none, or more than one."""
    found = meanings(name)
    return found[0] if len(found) == 1 else None


@dataclass(frozen=True)
class Understood:
    """What a typed name means.

    taxon: the one plant meant, None where the person must choose or nothing is known. choices: what it can mean, the
    likeliest first; where `taxon` is None and there are none, the name is unknown. near: the choices are only names
    like it (a slip of the pen), not meanings. note: one sentence that says what was understood, empty when the name
    stands in the catalogue as typed.
    """

    typed: str
    taxon: Taxon | None
    choices: tuple[Taxon, ...] = ()
    near: bool = False
    note: str = ""


def understand(typed: str) -> Understood:
    """The one door from a typed name to a taxon: for plants.csv, `start`, `catalogue` and the live page alike.

    `understand(text).taxon` is the plant; when that is None, offer `choices` (each a Taxon; `common` and `botanical`
    are the words to show) and, where there are none either, ask for harm_c and comfort_c.
    """
    found = meanings(typed)
    if len(found) == 1:
        return Understood(typed, found[0], found)
    if found:
        return Understood(typed, None, found, note=f"{shown(typed)} can mean several plants")
    close = tuple(taxon for name in nearest(typed) if (taxon := match(name)))
    return Understood(typed, None, close, bool(close), f"{shown(typed)} is not in the catalogue")


@cache
def _pairs() -> tuple[tuple[str, str, frozenset[str]], ...]:
    """(name, key, letter pairs) of every name that means one taxon."""
    return tuple((name, taxon.key, letter_pairs(plain(name))) for taxon in catalogue() for name in names_of(taxon)
                 if match(name))


def nearest(name: str, most: int = 3) -> list[str]:
    """Names in the catalogue that are most like `name`, best first, one per taxon; none when nothing is near."""
    pairs = letter_pairs(plain(name))
    scored = sorted((-likeness(pairs, other), found, key) for found, key, other in _pairs()
                    if 2 * len(pairs & other) >= NEAR * (len(pairs) + len(other)))
    best: dict[str, str] = {}
    for _, found, key in scored:
        best.setdefault(key, found)
    return list(best.values())[:most]


def find(words: str) -> list[Taxon]:
    """Taxa in whose names, group or key every word stands, those named exactly so first; all when no word is given."""
    wanted = plain(words).split()
    exact = meanings(words) if wanted else ()
    texts = [(taxon, plain(" ".join([taxon.botanical, taxon.group, *names_of(taxon)]))) for taxon in catalogue()]
    hits = [taxon for taxon, text in texts if all(word in text for word in wanted)]
    return [*exact, *(taxon for taxon in hits if taxon not in exact)]
