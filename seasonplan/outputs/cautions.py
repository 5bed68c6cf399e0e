"""Cautions said once: five numbered themes, to which every job refers by number."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache

from seasonplan.data import table
from seasonplan.model import Step

LIFTING = 2
"""The theme of cautions that name a single pot and its weight; they stand in no table."""


@dataclass(frozen=True)
class Theme:
    """Cautions of one subject. short: all of it in a line or two; sentences: those that a plan's steps carry."""

    number: int
    title: str
    short: str
    sentences: tuple[str, ...] = ()


def themes_of(step: Step) -> tuple[int, ...]:
    """Numbers of the themes that a step's cautions belong to."""
    return tuple(sorted({_theme_of(sentence) for sentence in step.cautions}))


def themes(steps: Iterable[Step]) -> tuple[Theme, ...]:
    """Every theme, with each sentence that the steps carry once."""
    found: dict[int, dict[str, None]] = {int(row["theme"]): {} for row in table("caution_themes")}
    for step in steps:
        for sentence in step.cautions:
            found[_theme_of(sentence)][sentence] = None
    return tuple(Theme(int(row["theme"]), row["title"], row["short"], tuple(found[int(row["theme"])]))
                 for row in table("caution_themes"))


def _theme_of(sentence: str) -> int:
    return _by_sentence().get(sentence, LIFTING)


@cache
def _by_sentence() -> Mapping[str, int]:
    themes_by_key = {key: int(row["theme"]) for row in table("caution_themes") for key in row["keys"].split()}
    return {row["text"]: themes_by_key.get(row["key"], LIFTING) for row in table("cautions")}
