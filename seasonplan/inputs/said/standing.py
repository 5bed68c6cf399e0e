"""Which plants stand at which window: "south: jade, 2 pothos; north: 1 pothos, the rest".

Like pots that are spread over windows become a row for each window.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import NamedTuple

from seasonplan.inputs import catalogue
from seasonplan.inputs.catalogue import plain
from seasonplan.inputs.gathering import Wrong, did_you_mean, same_name, shown
from seasonplan.inputs.said.plants import LEADING, TRAILING
from seasonplan.inputs.said.words import listed, meanings, one_part, with_item
from seasonplan.model.begun import NewPlant

REST = frozenset({"rest", "the rest", "others", "the others", "all", "all others", "everything", "everything else"})
SPREAD = 'how many of them stand where, such as "south: 2 pothos; north: 1 pothos"'


class Seen(NamedTuple):
    """A plant named at a window, with how many of its pots; None: those that stand nowhere else."""

    plant: str
    window: str
    pots: int | None


def named_at(window: str, text: str, plants: Sequence[NewPlant], seen: Sequence[Seen], anew: Callable[[str], str],
             ) -> list[Seen]:
    """The plants behind a window's colon: by name, by the kind they are, by number, or the rest."""
    found: list[Seen] = []
    phrases = listed(text)
    for at, phrase in enumerate(phrases):
        if phrase.casefold() in REST:
            found += [Seen(plant.name, window, None) for plant in plants if _left(plant, [*seen, *found])]
        elif phrase.isdecimal() and 1 <= int(phrase) <= len(plants):
            found.append(Seen(plants[int(phrase) - 1].name, window, None))
        else:
            some, pots = one_part(partial(_of_phrase, phrase, plants), phrase,
                                  partial(_composed, anew, with_item(phrases, at)))
            found += [Seen(plant.name, window, pots) for plant in some]
    return found


def spread(plants: Sequence[NewPlant], seen: Sequence[Seen], first: str) -> tuple[tuple[NewPlant, ...], str]:
    """(the plants with their windows, a row for each window that like pots stand at; what was assumed). Pots that
    were named nowhere stand where others of their row do, else at the `first` window."""
    rows, left = list[NewPlant](), dict[str, list[str]]()
    for plant in plants:
        pots = _by_window(plant, [each for each in seen if each.plant == plant.name])
        if (over := plant.count - sum(pots.values())) > 0:
            at = next(iter(pots), first)
            pots[at] = pots.get(at, 0) + over
            left.setdefault(at, []).append(f"{f'{over} ' if over < plant.count else ''}{plant.name}")
        rows += [replace(plant, count=count, place=window) for window, count in pots.items()]
    told = "; ".join(f"{', '.join(names)}: at the {at}" for at, names in left.items())
    return _named_apart(rows), f"{told}, as nothing else was said" if left else ""


def _by_window(plant: NewPlant, seen: Sequence[Seen]) -> dict[str, int]:
    """Window to how many pots of one row stand there, as far as it was said."""
    pots = dict[str, int]()
    for each in seen:
        pots[each.window] = pots.get(each.window, 0) + (each.pots or 0)
    over = plant.count - sum(pots.values())
    if over < 0:
        raise Wrong(f"{plant.count - over} {shown(plant.name)} at the windows", f"{plant.count}, as many as there are")
    open_ = list(dict.fromkeys(each.window for each in seen if each.pots is None))
    if len(open_) > 1 and over != len(open_):
        raise Wrong(f"{plant.count} {shown(plant.name)} at the {' and at the '.join(map(shown, open_))}", SPREAD)
    for window in open_:
        pots[window] += over // len(open_)
    return {window: count for window, count in pots.items() if count}


def _named_apart(rows: Sequence[NewPlant]) -> tuple[NewPlant, ...]:
    """The rows, those of a name that came before with a number behind it."""
    kept, taken = list[NewPlant](), set[str]()
    wanted = {same_name(row.name) for row in rows}
    for row in rows:
        name, n = row.name, 2
        while same_name(name) in taken or (name != row.name and same_name(name) in wanted):
            name, n = f"{row.name} {n}", n + 1
        taken.add(same_name(name))
        kept.append(replace(row, name=name))
    return tuple(kept)


def _left(plant: NewPlant, seen: Sequence[Seen]) -> bool:
    """Whether pots of the row stand at no window yet."""
    own = [each.pots for each in seen if each.plant == plant.name]
    return None not in own and sum(pots or 0 for pots in own) < plant.count


def _of_phrase(phrase: str, plants: Sequence[NewPlant]) -> tuple[list[NewPlant], int | None]:
    """The plants of a phrase, and how many pots it says where it means one row of them."""
    pots, name = _counted(phrase)
    if pots is None or any(plain(plant.name) == plain(phrase) for plant in plants):
        return _of_name(phrase, plants), None
    some = _of_name(name, plants)
    if len(some) > 1 and pots not in (len(some), sum(plant.count for plant in some)):
        raise Wrong(f'"{shown(phrase)}" can mean {" or ".join(shown(plant.name) for plant in some)}', SPREAD)
    return some, pots if len(some) == 1 else None


def _counted(phrase: str) -> tuple[int | None, str]:
    """(how many, of what): "2 pothos", "pothos x2", "two pothos"."""
    if found := TRAILING.search(phrase):
        return int(found[1]), phrase[:found.start()]
    if found := LEADING.match(phrase):
        return int(found[1]), phrase[found.end():]
    first, _, rest = phrase.partition(" ")
    if rest and first.casefold() in meanings("number"):
        return int(meanings("number")[first.casefold()]), rest
    return None, phrase


def _composed(outer, inner, new: str) -> str:
    return outer(inner(new))


def _of_name(phrase: str, plants: Sequence[NewPlant]) -> list[NewPlant]:
    taxon, wanted = catalogue.match(phrase), plain(phrase)
    for fits in (lambda plant: plain(plant.name) == wanted,
                 lambda plant: taxon is not None and plant.taxon == taxon.key,
                 lambda plant: wanted and f" {wanted.removesuffix('s')}" in f" {plain(plant.name)}"):
        if some := [plant for plant in plants if fits(plant)]:
            return some
    names = [plant.name for plant in plants]
    raise Wrong(f'no plant of yours is called "{shown(phrase)}"', f"{', '.join(map(shown, names))}, or the rest",
                did_you_mean(phrase, names))
