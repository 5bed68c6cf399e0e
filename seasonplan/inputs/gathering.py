"""Gathering faults: every reader adds what is wrong to one `Faults`, and goes on reading."""

from __future__ import annotations

import unicodedata
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TypeVar

from seasonplan.errors import DIRECTION_MARKS, MOST_KEPT, Fault, InputFaults, visible

Value = TypeVar("Value")
SHOWN = 60
"""How many characters of a wrong value are shown back."""


class Wrong(Exception):
    """A value that cannot be taken: what was found, what is allowed, the likely cause."""

    def __init__(self, found: str, allowed: str, cause: str = ""):
        super().__init__(found)
        self.found, self.allowed, self.cause = found, allowed, cause


class Enough(InputFaults):
    """A file has so many faults that reading it further tells nobody anything. Where nobody catches it (see `bounded`)
    it tells them."""


@dataclass
class Faults:
    """All faults of one reading, over all files. A fault is one thing wrong, told once."""

    found: list[Fault] = field(default_factory=list)
    of_file: Counter[str] = field(default_factory=Counter)

    def add(self, file: str, line: int, place: str, found: str, allowed: str = "", cause: str = "") -> None:
        """Notes a fault. Raises Enough at the last that is kept of a file; see `bounded`."""
        if self.of_file[file] < MOST_KEPT:
            self.of_file[file] += 1
            self.found.append(Fault(file, line, place, found, allowed, cause))
        if self.of_file[file] >= MOST_KEPT:
            raise Enough(list(dict.fromkeys(self.found)))

    def bounded(self, read: Callable[[], Value]) -> Value | None:
        """What `read` gives; None when it ended early because a file has faults enough."""
        try:
            return read()
        except Enough:
            return None

    def take(self, file: str, line: int, place: str, check: Callable[[], Value]) -> Value | None:
        """The value that `check` gives; None, with a fault noted, when it raises `Wrong`."""
        try:
            return check()
        except Wrong as wrong:
            self.add(file, line, place, wrong.found, wrong.allowed, wrong.cause)
            return None

    def raise_if_any(self) -> None:
        if self.found:
            raise InputFaults(list(dict.fromkeys(self.found)))


def shown(value: object) -> str:
    """A found value as it can be printed on one line of a terminal: shortened, control characters escaped."""
    text = value if isinstance(value, str) else repr(value)
    return visible(text if len(text) <= SHOWN else text[:SHOWN] + "…")


def is_plain(character: str) -> bool:
    """Whether a character can stand in one line of text: no control character, separator of lines, nor one that turns
    the line's direction beyond a letter (the three marks that Hebrew and Arabic names need are fine)."""
    return unicodedata.category(character) not in ("Cc", "Zl", "Zp", "Cs") and (
        character not in DIRECTION_MARKS or character in "\u061c\u200e\u200f")


def is_visible(character: str) -> bool:
    """Whether a character shows on its own: a letter, digit, sign or symbol."""
    return unicodedata.category(character)[0] in "LNPS"


def same_name(name: str) -> str:
    """What two names have in common when a person would take them for the same: case, blanks and composition aside."""
    return " ".join(unicodedata.normalize("NFC", name).casefold().split())


def nearest(word: str, candidates: Iterable[str], most: int = 3, at_least: float = 0.45) -> list[str]:
    """The candidates most like `word`, best first: Dice coefficient of their letter pairs, at least `at_least`.

    Dice 1945, Ecology 26:297-302 (the coefficient, from memory; its use on letter pairs is common practice, no source).
    """
    pairs = letter_pairs(word)
    scored = [(-likeness(pairs, letter_pairs(candidate)), candidate) for candidate in candidates]
    return [candidate for score, candidate in sorted(scored) if -score >= at_least][:most]


@lru_cache(maxsize=8192)
def letter_pairs(word: str) -> frozenset[str]:
    """Neighbouring letters, with the word's two ends as letters of their own."""
    text = f" {word.casefold()} "
    return frozenset(text[n:n + 2] for n in range(len(text) - 1))


def likeness(one: frozenset[str], other: frozenset[str]) -> float:
    """Dice coefficient of two sets of letter pairs, 0 (nothing in common) to 1."""
    return 2 * len(one & other) / (len(one) + len(other))


def slips(one: str, other: str, most: int) -> int | None:
    """How many slips of the pen (a letter more, less, other, or two neighbours swapped) lie between two words; None
    when more than `most`. The optimal string alignment distance (Damerau 1964, Commun. ACM 7:171, from memory)."""
    if abs(len(one) - len(other)) > most:
        return None
    before, row = list[int](), list(range(len(other) + 1))
    for n, letter in enumerate(one, 1):
        earlier, before, row = before, row, [n]
        for m, its in enumerate(other, 1):
            row.append(min(before[m] + 1, row[m - 1] + 1, before[m - 1] + (letter != its)))
            if n > 1 < m and letter == other[m - 2] and one[n - 2] == its:
                row[m] = min(row[m], earlier[m - 2] + 1)
        if min(row) > most:
            return None
    return row[-1] if row[-1] <= most else None


def did_you_mean(word: str, candidates: Iterable[str]) -> str:
    """"Did you mean x or y?", or nothing when no candidate is near."""
    near = nearest(word, candidates, most=2)
    return f"Did you mean {' or '.join(near)}?" if near else ""


def one_of(names: Sequence[str]) -> str:
    """"a, b or c"."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"
