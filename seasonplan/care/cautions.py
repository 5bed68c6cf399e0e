"""Cautions in one place, as sentences by key; stronger where children or pets are declared.

They defer to the product's label, to local rules and to licensed practice. Source of each: data/cautions.csv.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from seasonplan import wording as w
from seasonplan.care.figures import mentions, taxon_traits
from seasonplan.care.lifting import lift_note, lift_of
from seasonplan.data import table
from seasonplan.model import Plant, Rules

NAME_MOST = 60


def sentences(keys: Iterable[str], rules: Rules) -> tuple[str, ...]:
    """The sentences of these keys in their order, each once, with those meant for this household."""
    wanted = {"any"} | ({"children"} if rules.children else set()) | ({"pets"} if rules.pets else set())
    rows = table("cautions")
    texts = [row["text"] for key in keys for row in rows if row["key"] == key and row["household"] in wanted]
    return tuple(dict.fromkeys(texts))


def applying(keys: Iterable[str], plants: Iterable[Plant], place: str = "") -> tuple[str, ...]:
    """Those of the keys that fit: "sap", "toxic", "deadly", "heavy" and "soap-wash" only where one of the plants calls
    for it, "balcony" only where the place does."""
    plants = list(plants)
    fits = {"sap": lambda: any("sap" in taxon_traits(p.taxon.key) for p in plants),
            "toxic": lambda: any(map(is_harmful, plants)),
            "deadly": lambda: any(p.taxon.toxic_worst == "deadly" for p in plants),
            "heavy": lambda: any(lift_of(p).how != "alone" for p in plants),
            "soap-wash": lambda: any(mentions(p.notes, "dusty") for p in plants),
            "balcony": lambda: is_windy(place)}
    return tuple(dict.fromkeys(key for key in keys if key not in fits or fits[key]()))


def is_harmful(plant: Plant) -> bool:
    """Whether the catalogue counts it irritant or toxic to people or pets that chew it."""
    return plant.taxon.toxic_worst != "none"


def class_for(plant: Plant, rules: Rules) -> str:
    """How toxic a plant is to those of a household who might chew it: children, pets, the worse where both live there,
    and where nobody was declared."""
    taxon = plant.taxon
    if rules.children == rules.pets:
        return taxon.toxic_worst
    return taxon.toxic_people if rules.children else taxon.toxic_pets


def is_windy(place: str) -> bool:
    """Whether a place's name says that wind can take a pot there (balcony, roof, deck ...)."""
    return mentions(place, "windy")


def for_move(plants: Sequence[Plant], place: str, rules: Rules) -> tuple[str, ...]:
    """Cautions for carrying these plants to a place (or places): each heavy pot, wind, and in a household with children
    or pets what is harmful to chew."""
    chewing = rules.children or rules.pets
    chewed = ("deadly", "toxic") if chewing and any(class_for(p, rules) != "none" for p in plants) else ()
    heavy = tuple(f"{w.one_line(p.name, NAME_MOST)}: {lift_note(p, rules.units)}." for p in plants
                  if lift_of(p).how != "alone")
    return (*heavy, *sentences(applying(("heavy", "balcony", *chewed), plants, place), rules))
