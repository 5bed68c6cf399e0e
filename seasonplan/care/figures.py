"""The figures that rules use, by name, from the tables in `data`, where each stands once with its source."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

from seasonplan.data import table


@cache
def _numbers(name: str) -> Mapping[str, float]:
    return {row["key"]: float(row["value"]) for row in table(name)}


@cache
def figure(key: str) -> float:
    """A figure of data/care_figures.csv, in the unit its row names."""
    return _numbers("care_figures")[key]


@cache
def days(key: str) -> int:
    """A whole number of days (or months) of data/care_figures.csv."""
    return int(figure(key))


@cache
def pot_figure(key: str) -> float:
    """A figure of data/pot_figures.csv, in the unit its row names."""
    return _numbers("pot_figures")[key]


@cache
def words(use: str) -> tuple[str, ...]:
    """The words of data/care_words.csv that stand for something: "windy", "clay", "dusty", "leggy", "before"."""
    return tuple(row["word"] for row in table("care_words") if row["use"] == use)


def mentions(text: str, use: str) -> bool:
    """Whether one of those words stands in somebody's text, upper or lower case alike."""
    return bool(text) and _pattern(use).search(text.lower()) is not None


@cache
def _pattern(use: str) -> re.Pattern[str]:
    """Any of the words of a use at the beginning of a word ("dusty", not "industrial")."""
    return re.compile(r"\b(?:" + "|".join(map(re.escape, words(use))) + ")")


@cache
def taxon_traits(taxon_key: str) -> frozenset[str]:
    """Traits of a taxon from data/care_taxa.csv, by its own key or its genus: "vine", "no-wash", "sap", "edible",
    "no-pot", "short-of-light"."""
    return frozenset(row["trait"] for row in table("care_taxa")
                     if taxon_key == row["taxon"] or taxon_key.startswith(f"{row['taxon']}-"))
