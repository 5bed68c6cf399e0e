"""What people call a pest: plurals and common spellings of the names in data/pest_words.csv, and "no"."""

from __future__ import annotations

import re
from functools import cache

from seasonplan.data import table
from seasonplan.inputs.gathering import Wrong, did_you_mean, one_of, shown


def text_pest(text: str) -> str:
    """The pest that a cell names, by its key; "none" for one that says there is none."""
    if found := pest_named(text):
        return found
    raise Wrong(f"found {shown(text)}", one_of(pest_keys()), did_you_mean(text, _words()) or
                "Another pest is written as unknown, with its name in the notes.")


def pest_keys() -> tuple[str, ...]:
    """The keys, "none" first."""
    return tuple(dict.fromkeys(_words().values()))


def pest_named(text: str) -> str | None:
    """The key that a word or two stand for, in the singular or plural, in any case, with hyphens or blanks."""
    word = plain(text)
    singular = [word, re.sub(r"s$", "", word), re.sub(r"(bug|mite|scale|insect|aphid)s\b", r"\1", word)]
    return next((_words()[each] for each in singular if each in _words()), None)


def plain(text: str) -> str:
    """Small letters, single blanks, no hyphens inside a word."""
    words = re.sub(r"(?<=\w)[\s_-]+(?=\w)", " ", text.strip().casefold())
    return words.rstrip(".!") or words


@cache
def _words() -> dict[str, str]:
    return {plain(row["word"]): row["pest"] for row in table("pest_words")}
