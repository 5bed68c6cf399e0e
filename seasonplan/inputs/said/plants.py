"""The plants, one line, any names: "3 pothos, jade, lemon tree 30 cm, two Ficus elastica Burgundy".

A name that is in no table carries in brackets the coldest night it has come through and the light it wants: "xyz
(10 °C, sun)"; without them it asks. "(?)" says that it is none of the names like it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import partial

from seasonplan.inputs import catalogue
from seasonplan.inputs.gathering import Wrong, same_name, shown
from seasonplan.inputs.plants import LIGHT_OF_SUN, MOST_POTS
from seasonplan.inputs.said.words import AND, Asks, items, meanings, one_part, phrase_in, says, with_item
from seasonplan.inputs.taxa import ANY
from seasonplan.inputs.values import line_of_text, number, spanned
from seasonplan.model import Taxon
from seasonplan.model.begun import NewPlant
from seasonplan.units import BELIEVABLE, CM_PER_INCH, c_to_fahrenheit, fahrenheit_to_c

POT = re.compile(r"[,\s]*(?:\bin (?:a )?)?(\d+(?:[.,]\d+)?)\s*-?\s*(cm|in\b|inch(?:es)?|\")(?:\s*pots?\b)?",
                 re.IGNORECASE)
LEADING = re.compile(r"(\d+)\s*(?:[x×]\s*)?(?:pots? of\s+)?(?=[^\d\s])", re.IGNORECASE)
TRAILING = re.compile(r"(?:\s+[x×]\s*|\s*\()(\d+)\)?$", re.IGNORECASE)
BRACKETS = re.compile(r"\(([^()]*)\)\s*$")
COLD = re.compile(r"([+-]?\d+(?:[.,]\d+)?)\s*(?:°|deg(?:rees)?)?\s*([cf]?)\s*$", re.IGNORECASE)
COLDEST_C = (-20.0, 18.0)
"""Nights that a plant grown indoors may have come through. Our setting."""
NOT_KNOWN_C = 12.0
"""Harm of a plant of which nothing is known: that of the tender third of the catalogue. Our setting."""
COMFORT_ABOVE_C = 4.0
"""Comfort above harm of such a plant: the median of the catalogue's tropical kinds."""
OFFERED = 9
EXAMPLE = 'names with commas between, such as "3 pothos, jade plant, lemon tree 30 cm"'


@dataclass(frozen=True)
class Item:
    """One part of the line: so many pots of a name, their size [cm], and what stood in brackets (None: nothing)."""

    count: int
    name: str
    pot_cm: float | None
    own: str | None

    def typed(self, name: str, own: str | None) -> str:
        """The part written anew, with another name or brackets."""
        pot = f" {self.pot_cm:g} cm" if self.pot_cm else ""
        return f"{f'{self.count} ' if self.count > 1 else ''}{name}{pot}{'' if own is None else f' ({own})'}"


def plants_said(text: str, imperial: bool = False) -> tuple[NewPlant, ...]:
    """The plants in the order they were typed. imperial: a bare temperature is in °F."""
    parts = [part for each in items(line_of_text(text)) for part in _parted(each)]
    if not parts:
        raise Wrong("found no plant", EXAMPLE)
    found: list[NewPlant] = []
    for at, part in enumerate(parts):
        item = one_part(partial(_item, part), part, with_item(parts, at), len(parts) == 1)
        plant = _plant(item, imperial, lambda name, own, item=item, at=at: with_item(parts, at)(item.typed(name, own)))
        found.append(replace(plant, name=_free(plant.name, found)))
    return tuple(found)


def _parted(part: str) -> list[str]:
    """"pothos and jade" in two; a name that holds the word stays whole."""
    split = [each.strip() for each in AND.split(part) if each.strip()]
    return split if len(split) > 1 and not catalogue.meanings(_item(part).name) else [part]


def _free(name: str, found: list[NewPlant]) -> str:
    taken, free, n = {same_name(plant.name) for plant in found}, name, 2
    while same_name(free) in taken:
        free, n = f"{name} {n}", n + 1
    return free


def _item(part: str) -> Item:
    count, own, text = 1, None, part
    if found := TRAILING.search(text):
        count, text = int(found[1]), text[:found.start()]
    elif found := BRACKETS.search(text):
        own, text = found[1].strip(), text[:found.start()]
    pot_cm = None
    if found := POT.search(text):
        pot_cm, text = _pot(found), f"{text[:found.start()]} {text[found.end():]}"
    text = " ".join(text.split())
    first, _, rest = text.partition(" ")
    if found := LEADING.match(text):
        count, text = int(found[1]), text[found.end():]
    elif rest and first.casefold() in meanings("number") and not catalogue.meanings(text):
        count, text = int(meanings("number")[first.casefold()]), rest
    if not any(letter.isalpha() for letter in text):
        raise Wrong(f'"{shown(part)}" names no plant', EXAMPLE)
    if not 1 <= count <= MOST_POTS:
        raise Wrong(f'"{shown(part)}": {count} pots', f"1 to {MOST_POTS:,} pots")
    return Item(count, text.strip(), pot_cm, own)


def _pot(found: re.Match[str]) -> float:
    size = float(found[1].replace(",", ".")) * (1.0 if found[2].casefold() == "cm" else CM_PER_INCH)
    return round(number(size, *BELIEVABLE["pot_cm"], "cm across"), 1)


def _plant(item: Item, imperial: bool, anew) -> NewPlant:
    """The plant an item means. anew: (name, brackets) to the whole answer with them."""
    if item.own is not None:
        return _own(item, imperial, anew)
    taxon, name, told = _meant(item, imperial, anew)
    return NewPlant(name, taxon.key, taxon.sun, item.count, item.pot_cm, told=told)


def _meant(item: Item, imperial: bool, anew) -> tuple[Taxon, str, str]:
    """(taxon, name for the row, what was understood)."""
    typed = item.name
    understood, name, told = catalogue.understand(typed), typed, ""
    if understood.taxon is None and (understood.near or not understood.choices) and (known := catalogue.spelt(typed)):
        understood, name, told = catalogue.understand(known), known, f'"{shown(typed)}" is taken as {known}'
    taxon = understood.taxon
    if taxon is not None and not taxon.key.startswith(ANY):
        return taxon, name, told or understood.note
    if taxon is not None and catalogue.plain(typed) == catalogue.plain(taxon.key):
        return taxon, taxon.key.removeprefix(ANY), understood.note
    if not understood.choices:
        raise _how_cold(item, imperial, anew)
    options = [(_label(each), _clear_name(each)) for each in understood.choices[:OFFERED]
               if not each.key.startswith(ANY)]
    if taxon is not None:
        options.append((f"any {taxon.key.removeprefix(ANY)} (another, or not known): planned as the tenderest",
                        taxon.key))
    elif understood.near:
        options.append((f'none of these: "{shown(typed)} (?)"', f"{typed} (?)"))
    else:
        options.append((f'another, or not known: "{shown(typed)} (?)"', f"{typed} (?)"))
    found = f'"{shown(typed)}" is in no table' if understood.near else f'"{shown(typed)}" is the name of several plants'
    raise Asks(found, "Did you mean" if understood.near else "Which one", options,
               lambda text: anew(text.removesuffix(" (?)"), "?" if text.endswith(" (?)") else None))


def _clear_name(taxon: Taxon) -> str:
    """Its common name, or its botanical one where the common one means others too."""
    return taxon.common if catalogue.match(taxon.common) is taxon else taxon.botanical.split(" (")[0]


def _label(taxon: Taxon) -> str:
    return f"{taxon.common} ({taxon.botanical.split(' (')[0]})"


def _own(item: Item, imperial: bool, anew) -> NewPlant:
    """A plant with its own figures in brackets."""
    assert item.own is not None
    parts = items(item.own)
    if not parts or says("unsure", parts[0]) and len(parts) == 1 and parts[0] == "?":
        raise _how_cold(item, imperial, anew)
    harm_c = _coldest(parts[0], imperial)
    if len(parts) < 2:
        raise Asks(f'what light "{shown(item.name)}" wants is not known', f"What light does {shown(item.name)} want",
                   (("shade", "shade"), ("half a day of sun, or bright shade", "part sun"), ("full sun", "sun")),
                   lambda text: anew(item.name, f"{harm_c:.3g} °C, {text}"))
    word, rest = phrase_in(catalogue.plain(parts[1]).split(), tuple(meanings("light")))
    if not word or rest:
        raise Wrong(f'found "{shown(parts[1])}"', "shade, part sun or sun")
    sun = meanings("light")[word]
    cold = f"{c_to_fahrenheit(harm_c):.0f} °F" if imperial else f"{harm_c:.3g} °C"
    return NewPlant(item.name, item.name, sun, item.count, item.pot_cm,
                    (harm_c, harm_c + COMFORT_ABOVE_C, LIGHT_OF_SUN[sun]),
                    f"{shown(item.name)} is planned to stay out of nights of {cold} and colder, and for {sun} light")


def _how_cold(item: Item, imperial: bool, anew) -> Asks:
    """The first of the two questions on a plant that is in no table."""
    def complete(text: str) -> str:
        bare = re.fullmatch(r"[+-]?\d+([.,]\d+)?", text)
        return anew(item.name, f"{text} {'°F' if imperial else '°C'}" if bare else text or f"{NOT_KNOWN_C:g} °C")

    unit = "°F (or °C, as 10c" if imperial else "°C (or °F, as 50f"
    return Asks(f'"{shown(item.name)}" is in no table',
                f'How cold a night has "{shown(item.name)}" come through unharmed, in {unit}; Enter: not known, '
                "planned with care)", (), complete,
                allowed="a name from `seasonplan catalogue`, or the coldest night it has come through and the light it "
                        f'wants: "{shown(item.name)} (10 °C, sun)"')


def _coldest(text: str, imperial: bool) -> float:
    """A night low [°C]; a bare number is in the country's degrees."""
    if says("unsure", text):
        return NOT_KNOWN_C
    low, high = (c_to_fahrenheit(each) if imperial else each for each in COLDEST_C)
    allowed = f"a night's low, {spanned(low, high, '°F' if imperial else '°C')}, such as 50f or 10c"
    found = COLD.fullmatch(text.strip())
    if not found:
        raise Wrong(f'found "{shown(text)}"', allowed)
    value, fahrenheit = float(found[1].replace(",", ".")), found[2].casefold() == "f" or imperial and not found[2]
    low, high = COLDEST_C
    celsius = fahrenheit_to_c(value) if fahrenheit else value
    if not low <= celsius <= high:
        raise Wrong(f"found {value:g} {'°F' if fahrenheit else '°C'}", allowed,
                    "" if fahrenheit or not low <= fahrenheit_to_c(value) <= high else f"Is it {value:g} °F?")
    return round(celsius, 1)
