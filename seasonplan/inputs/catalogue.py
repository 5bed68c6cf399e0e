"""From the name a person types to a taxon of the catalogue: every name it goes by, cultivars, groups, slips of the pen.

`understand` is the one door. A name that stands in the catalogue counts as it is. Else the words at its end are taken
off one by one as a cultivar's name ("philodendron brasil"), then those at its beginning ("raven zz"), until what is
left is a name; a single word is left only where it is a genus or a kind that has cultivars (data/name_words.csv): no
"lemon balm" becomes a lemon. The last word may name a group ("queen palm"): a careful plan for a plant of no known
kind. A name of several plants asks where one of them is much tenderer or deadlier than the likeliest, which stands
first.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, lru_cache

from seasonplan.data import table
from seasonplan.inputs import gathering
from seasonplan.inputs.gathering import shown
from seasonplan.inputs.taxa import ANY, as_taxon, catalogue, evidence
from seasonplan.model import Taxon

__all__ = ["Understood", "as_taxon", "catalogue", "evidence", "find", "match", "meanings", "names_of", "nearest",
           "plain", "spelt", "understand"]

NEAR = 0.5
"""Likeness (see gathering.nearest) from which a name is offered as "did you mean"."""
MISSPELT = 0.75
"""A name so like a kind's is taken for that, misspelt, and not for one of a group ("bostn fern"). Our setting."""
SLIP_LETTERS, TWO_SLIPS_LETTERS = 5, 9
"""A name of so many letters may have one slip of the pen, or two. Our setting."""
MUCH_TENDERER_C = 2.0
"""Plants of one name whose harm lies so far above the likeliest one's are asked about. Our setting."""
KINDS_NAMED = 3
"""So many kinds of a group are named beside it."""


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


@lru_cache(maxsize=4096)
def understand(typed: str) -> Understood:
    """The one door from a typed name to a taxon: for plants.csv, `start`, `catalogue` and the live page alike.

    `understand(text).taxon` is the plant; when that is None, offer `choices` (each a Taxon; `common` and `botanical`
    are the words to show) and, where there are none either, ask for harm_c and comfort_c.
    """
    for name, dropped in _readings(typed):
        taxa = _meant(name)
        if taxa and not (dropped and taxa[0].key.startswith(ANY) and nearest(typed, 1, MISSPELT)):
            return _answer(typed, dropped, taxa)
    close = tuple(dict.fromkeys(_meant(plain(name))[0] for name in nearest(typed)))
    return Understood(typed, None, close, bool(close), f'"{shown(typed)}" is not in the catalogue')


def _answer(typed: str, dropped: str, taxa: tuple[Taxon, ...]) -> Understood:
    first = taxa[0]
    if len(taxa) > 1 and _ask(taxa):
        return Understood(typed, None, taxa, note=f'"{shown(typed)}" can mean several plants, some of them much '
                                                  "tenderer or more poisonous than others")
    if first.key.startswith(ANY):
        kinds = gathering.one_of([taxon.common for taxon in _kinds(first)[:KINDS_NAMED]])
        return Understood(typed, first, _kinds(first), note=(
            f'"{shown(typed)}" names no kind: planned for the tenderest {first.common}; the kind would do better, '
            f"{kinds} for example"))
    if len(taxa) > 1:
        others = gathering.one_of([taxon.common for taxon in taxa[1:]])
        known = first.common if plain(first.common) != plain(typed) else first.botanical
        return Understood(typed, first, taxa, note=f'"{shown(typed)}" is taken as {known}; it can also mean {others}')
    note = f'"{shown(typed)}" is taken as {first.common}' if dropped else ""
    return Understood(typed, first, taxa, note=note)


def _ask(taxa: tuple[Taxon, ...]) -> bool:
    """Whether a plan for the first of these would be much too bold for another."""
    first = taxa[0]
    return any(other.harm_c - first.harm_c >= MUCH_TENDERER_C or
               (other.toxic_worst == "deadly") > (first.toxic_worst == "deadly") for other in taxa[1:])


@cache
def _kinds(group: Taxon) -> tuple[Taxon, ...]:
    """The kinds of a group that stand in the catalogue."""
    return tuple(taxon for taxon in catalogue() if taxon.group == group.group and not taxon.key.startswith(ANY))


def _readings(typed: str) -> Iterator[tuple[str, str]]:
    """(plain name, words taken off) in the order in which they are tried."""
    quoted = re.sub(r"\s['‘\"“][^'’\"”]+['’\"”]\s*$", "", typed.strip())
    whole, bare = plain(typed), plain(quoted)
    yield whole, ""
    if bare != whole:
        yield bare, whole.removeprefix(bare).strip()
    words = bare.split()
    for kept in range(len(words) - 1, 0, -1):
        if words[kept] not in _words("generic") or (words[kept - 1] in _words("group") and "plant" not in words[kept]):
            break
        yield " ".join(words[:kept]), ""
    for kept in range(len(words) - 1, 0, -1):
        name = " ".join(words[:kept])
        if kept > 1 or _takes_cultivars(name):
            yield name, " ".join(words[kept:])
    for start in range(1, len(words)):
        name = " ".join(words[start:])
        if start < len(words) - 1 or _takes_cultivars(name) or _singular(name) in _words("group") or \
                words[start - 1] in _words("describing"):
            yield name, " ".join(words[:start])


def _takes_cultivars(word: str) -> bool:
    """Whether a single word is enough of a name beside a cultivar's: a genus, or a kind known by it."""
    return word in _words("with-cultivars") or word in _genera()


@cache
def _words(use: str) -> frozenset[str]:
    return frozenset(row["word"] for row in table("name_words") if row["use"] == use)


@cache
def _genera() -> frozenset[str]:
    """First words of the botanical names, old ones among them: those that are written with a capital."""
    names = [name for taxon in catalogue() for name in (taxon.botanical, *taxon.synonyms)]
    return frozenset(plain(name.split()[0]) for name in names if name[:1].isupper() and len(name.split()[0]) > 2)


def _meant(name: str) -> tuple[Taxon, ...]:
    """All taxa of a plain name, in the plural too, or of a genus."""
    return _by_name().get(name) or _by_name().get(_singular(name)) or _by_genus().get(name) or ()


def _singular(name: str) -> str:
    return re.sub(r"ies$", "y", name) if name.endswith("ies") else re.sub(r"(?<![sui])s$", "", name)


@cache
def _by_genus() -> dict[str, tuple[Taxon, ...]]:
    """Accepted genus to its taxa, in file order."""
    genera: dict[str, list[Taxon]] = {}
    for taxon in catalogue():
        if not taxon.key.startswith(ANY):
            genera.setdefault(plain(taxon.botanical.split()[0]), []).append(taxon)
    return {name: tuple(taxa) for name, taxa in genera.items()}


@cache
def _by_name() -> dict[str, tuple[Taxon, ...]]:
    """Plain name to its taxa: first in the order of data/synonyms.csv, then those that go by it in another way."""
    by_key = {taxon.key: taxon for taxon in catalogue()}
    found: dict[str, dict[str, Taxon]] = {}
    for row in table("synonyms"):
        found.setdefault(plain(row["name"]), {})[row["key"]] = by_key[row["key"]]
    for taxon in catalogue():
        for name in names_of(taxon):
            found.setdefault(plain(name), {})[taxon.key] = taxon
    return {name: tuple(sorted(taxa.values(), key=lambda taxon: not taxon.key.startswith(ANY)))
            for name, taxa in found.items()}


_BREAKS = re.compile(r"[\W_]+")


@lru_cache(maxsize=16384)
def plain(name: str) -> str:
    """A name without what people vary: case, accents, punctuation, the hybrid sign."""
    bare = name.casefold().replace("'", "").replace("’", "").replace("×", " x ")
    if not bare.isascii():
        bare = "".join(c for c in unicodedata.normalize("NFKD", bare) if not unicodedata.combining(c))
    return " ".join(word for word in _BREAKS.split(bare) if word and word != "x")


def names_of(taxon: Taxon) -> tuple[str, ...]:
    """Every name a taxon goes by: botanical (without what stands in brackets), common, synonyms, key."""
    botanical = re.sub(r"\s*\(.*", "", taxon.botanical)
    first = re.sub(r"(,|;| and | hybrids).*", "", botanical)
    common = re.sub(r"\s*\(.*", "", taxon.common)
    return tuple(dict.fromkeys([botanical, first, *common.split(" / "), *taxon.synonyms, taxon.key]))


def meanings(name: str) -> tuple[Taxon, ...]:
    """All taxa that go by exactly this name (case, accents, punctuation and a cultivar in quotes aside)."""
    without_cultivar = re.sub(r"\s['‘\"“][^'’\"”]+['’\"”]\s*$", "", name.strip())
    return _by_name().get(plain(name)) or _by_name().get(plain(without_cultivar)) or ()


def match(name: str) -> Taxon | None:
    """The taxon that is understood by this name; None when the person must choose or nothing is known."""
    return understand(name).taxon


def nearest(name: str, most: int = 3, at_least: float = NEAR) -> list[str]:
    """Names in the catalogue that are most like `name`, best first, one per taxon; none when nothing is near."""
    best: dict[str, str] = {}
    for found in gathering.nearest(plain(name), _settled(), 4 * most, at_least):
        best.setdefault(_by_name()[found][0].key, _written()[found])
    return list(best.values())[:most]


@lru_cache(maxsize=4096)
def spelt(typed: str) -> str | None:
    """The known name that a slip of the pen made of this one: one letter wrong, two in names that are long without
    "plant" and the like (see gathering.slips); None where there is none, or where the nearest names mean different
    plants."""
    name = plain(typed)
    name = _singular(name) if _singular(name) != name and len(name) > SLIP_LETTERS else name
    letters = len(" ".join(word for word in name.split() if word not in _words("generic")))
    most = 0 if len(name) < SLIP_LETTERS else 1 if letters < TWO_SLIPS_LETTERS else 2
    known = [(count, each) for each in {**_by_name(), **_by_genus()}
             if each and (count := gathering.slips(name, each, most)) is not None]
    best = [each for count, each in known if count == min(known)[0]]
    return _written().get(best[0], best[0]) if len({_meant(each) for each in best}) == 1 else None


@cache
def _settled() -> tuple[str, ...]:
    """Plain names that mean one plant, or are taken as one."""
    return tuple(name for name, taxa in _by_name().items() if name and not _ask(taxa))


@cache
def _written() -> dict[str, str]:
    """Plain name to the name as it is written."""
    return {plain(name): name for taxon in reversed(catalogue()) for name in reversed(names_of(taxon))}


def find(words: str) -> list[Taxon]:
    """What is understood by some words first, then taxa in whose names, group or key every word stands; all when no
    word is given."""
    wanted = plain(words).split()
    understood = understand(words) if wanted else None
    exact = () if understood is None or understood.near else \
        (understood.taxon,) if understood.taxon is not None else understood.choices
    texts = [(taxon, plain(" ".join([taxon.botanical, taxon.group, *names_of(taxon)]))) for taxon in catalogue()]
    hits = [taxon for taxon, text in texts if all(word in text for word in wanted)]
    return [*exact, *(taxon for taxon in hits if taxon not in exact)]
