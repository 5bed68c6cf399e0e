"""Words of answers, and the question that an answer leaves open."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from functools import cache
from typing import TypeVar

from seasonplan.data import table
from seasonplan.inputs.catalogue import plain
from seasonplan.inputs.gathering import Wrong, one_of, shown

Value = TypeVar("Value")
SEPARATORS = re.compile(r"[,;\n](?![^(]*\))")
AND = re.compile(r"\s+(?:and|&|\+|plus)\s+(?![^(]*\))", re.IGNORECASE)


class Asks(Wrong):
    """An answer that leaves something open. question: what to ask; options: (label, what picking it stands for);
    complete: the whole answer anew, from what stands for the open part; said: whether the question needs the choices
    said before it."""

    def __init__(self, found: str, question: str, options: Sequence[tuple[str, str]],
                 complete: Callable[[str], str], cause: str = "", allowed: str = "", said: bool = False):
        names = [label for label, _ in options]
        super().__init__(found, allowed or (one_of(names) if names else question), cause)
        self.question, self.options, self.complete, self.said = question, tuple(options), complete, said


@cache
def meanings(use: str) -> dict[str, str]:
    """Plain word or phrase to what it means, of data/answer_words.csv."""
    return {plain(word) or word: row["means"] for row in table("answer_words") if row["use"] == use
            for word in row["words"].split("|")}


def says(use: str, text: str) -> bool:
    """Whether a whole answer is one of these phrases ("none", "unsure")."""
    return (plain(text) or text.strip()) in meanings(use)


def items(text: str) -> list[str]:
    """The parts of a list, at commas, semicolons and line ends outside of brackets, blanks taken off."""
    return [part.strip(" .") for part in SEPARATORS.split(text) if part.strip(" .")]


def listed(text: str) -> list[str]:
    """The parts of a list, at "and" too."""
    return [each.strip() for part in items(text) for each in AND.split(part) if each.strip()]


def with_item(parts: Sequence[str], at: int, between: str = ", ") -> Callable[[str], str]:
    """How a list is written when one of its parts is; without it, where that is empty."""
    return lambda new: between.join([*parts[:at], *([new] if new else []), *parts[at + 1:]])


def one_part(read: Callable[[], Value], part: str, anew: Callable[[str], str], alone: bool = False) -> Value:
    """What `read` gives of a part of a list. Where it is wrong, only that part is asked for anew, not the line."""
    try:
        return read()
    except Asks:
        raise
    except Wrong as wrong:
        if alone:
            raise
        raise Asks(wrong.found, f'What instead of "{shown(part)}" (Enter: leave it out)', (), anew, wrong.cause,
                   wrong.allowed, said=True) from None


def phrase_in(words: Sequence[str], phrases: Sequence[str]) -> tuple[str, list[str]]:
    """(the longest of some plain phrases that stands in the words, the words without it); "" where there is none."""
    for length in range(len(words), 0, -1):
        for start in range(len(words) - length + 1):
            if (phrase := " ".join(words[start:start + length])) in phrases:
                return phrase, [*words[:start], *words[start + length:]]
    return "", list(words)
