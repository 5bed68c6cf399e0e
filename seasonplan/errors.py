"""Everything that can go wrong, and the exit code each family ends in.

SeasonplanError                 never raised itself
├── InputFaults        exit 2   what the person wrote is wrong; carries every Fault found, not just the first
├── SourceUnavailable  exit 3   a source that was asked for (forecast, normals by URL) gave nothing usable
└── OutputBlocked      exit 2   results could not be written; the previous outputs are untouched
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

EXIT_FINE = 0
EXIT_INPUT = 2
EXIT_SOURCE = 3
EXIT_ALERTS = 10
MOST_PRINTED = 50
"""So many faults of one file are printed; the rest are counted."""
MOST_KEPT = 1000
"""After so many faults a file is not read any further."""
DIRECTION_MARKS = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
"""Characters that turn the direction of a line (Unicode Standard Annex 9, the Bidi_Control property)."""


def visible(text: str) -> str:
    """Text for a terminal: control characters, separators of lines and direction marks are written out."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(c.encode("unicode_escape").decode("ascii")
                   if c in DIRECTION_MARKS or unicodedata.category(c) in ("Cc", "Zl", "Zp", "Cs") else c for c in text)


@dataclass(frozen=True, order=True)
class Fault:
    """One thing wrong with the input.

    file: name as the person knows it ("plants.csv"); line: 1-based line in that file, 0 when the file as a whole
    is meant; place: the cell or key ("row 7 (July), tmin_c"); found: what stands there; allowed: what may stand
    there; cause: the likely reason, a short sentence or question, may be empty.
    """

    file: str
    line: int
    place: str
    found: str
    allowed: str
    cause: str = ""

    def __str__(self) -> str:
        where = f"{self.file}:{self.line}" if self.line else self.file
        text = f"{where}: {self.place}: {self.found}" if self.place else f"{where}: {self.found}"
        if self.allowed:
            text += f"; allowed: {self.allowed}"
        return visible(text + (f". {self.cause}" if self.cause else ""))


class SeasonplanError(Exception):
    """Base of every error that ends a command with a sentence instead of a traceback."""

    exit_code = EXIT_INPUT


class InputFaults(SeasonplanError):
    """All faults of one reading, in file and line order. `faults` keeps them as objects."""

    exit_code = EXIT_INPUT

    def __init__(self, faults: list[Fault] | tuple[Fault, ...]):
        self.faults = tuple(sorted(faults))
        super().__init__("\n".join(_printed(self.faults)))


def _printed(faults: Iterable[Fault]) -> Iterator[str]:
    for file, group in groupby(faults, key=lambda fault: fault.file):
        found = list(group)
        yield from map(str, found[:MOST_PRINTED])
        if rest := len(found[MOST_PRINTED:]):
            end = "; its rest was not read" if len(found) >= MOST_KEPT else ""
            yield f"{visible(file)}: and {rest} more{end}"


class SourceUnavailable(SeasonplanError):
    """A source that the command needs gave nothing usable. `source` names it, the message says what happened."""

    exit_code = EXIT_SOURCE

    def __init__(self, source: str, reason: str):
        self.source = source
        self.reason = reason
        super().__init__(visible(f"{source}: {reason}"))


class OutputBlocked(SeasonplanError):
    """Results could not be written; what stood there before still stands."""

    exit_code = EXIT_INPUT

    def __init__(self, reason: str):
        super().__init__(visible(reason))
