"""scenario.toml: its values, and the line on which each key stands (the TOML reader gives none)."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from seasonplan.inputs.gathering import Faults, did_you_mean, shown

Value = TypeVar("Value")
KEY = re.compile(r"""\s*((?:[\w-]+|"[^"]*"|'[^']*')(?:\s*\.\s*(?:[\w-]+|"[^"]*"|'[^']*'))*)\s*=""")
HEADER = re.compile(r"""\s*(\[\[?)\s*([^\[\]]+?)\s*\]\]?\s*(?:#.*)?$""")
AT_LINE = re.compile(r"^(.*?) \(at (?:line (\d+), column \d+|end of document)\)$", re.DOTALL)


def parse_toml(file: str, text: str, faults: Faults) -> dict[str, Any] | None:
    """The document; None, with a fault at its line, when it is not TOML."""
    try:
        return tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError, ValueError) as wrong:
        told = AT_LINE.match(str(wrong))
        line = int(told[2]) if told and told[2] else text.count("\n") + 1
        why = shown(told[1] if told else str(wrong) or "nested too deep")
        faults.add(file, line, "", f"it cannot be read as TOML ({why})", 'lines such as name = "My garden"',
                   "Is a quotation mark or bracket missing?")
        return None


def key_lines(text: str) -> dict[tuple[str | int, ...], int]:
    """Line of every key and table header: ("site", "latitude"), ("place", 0, "faces"), ("place", 0)."""
    lines: dict[tuple[str | int, ...], int] = {}
    counts: Counter[tuple[str | int, ...]] = Counter()
    at: tuple[str | int, ...] = ()
    inside = ""
    for number, line in enumerate(re.split(r"\r\n|\n|\r", text), start=1):
        if inside:
            inside = "" if inside in line else inside
            continue
        header, key = HEADER.match(line), KEY.match(line)
        if header and not key:
            at = _parts(header[2])
            if header[1] == "[[":
                counts[at] += 1
                at += (counts[at] - 1,)
            lines.setdefault(at, number)
        elif key:
            lines.setdefault(at + _parts(key[1]), number)
        inside = next((mark for mark in ('"""', "'''") if line.count(mark) % 2), "")
    return lines


def _parts(dotted: str) -> tuple[str | int, ...]:
    return tuple(part.strip().strip("\"'") for part in dotted.split("."))


@dataclass(frozen=True)
class Section:
    """One table of the document: its values, its name for faults, and where its keys stand."""

    file: str
    name: str
    values: dict[str, Any]
    lines: dict[tuple[str | int, ...], int]
    at: tuple[str | int, ...]
    faults: Faults

    def line(self, key: str = "") -> int:
        """The line of a key, else of the table's header, else of the first line of the file."""
        return self.lines.get((*self.at, key)) or self.lines.get(self.at) or self.lines.get(self.at[:1]) or 1

    def fault(self, key: str, found: str, allowed: str = "", cause: str = "") -> None:
        self.faults.add(self.file, self.line(key), f"{self.name} {key}".strip(), found, allowed, cause)

    def get(self, key: str, check: Callable[[Any], Value]) -> Value | None:
        """The checked value of a key; None when it is not given or, with a fault noted, when it is wrong."""
        if key not in self.values:
            return None
        return self.faults.take(self.file, self.line(key), f"{self.name} {key}", lambda: check(self.values[key]))

    def need(self, key: str, check: Callable[[Any], Value], allowed: str, cause: str = "") -> Value | None:
        """Like `get`, for a key that must be given."""
        if key not in self.values:
            self.fault("", f"{key} is missing", allowed, cause)
        return self.get(key, check)

    def only(self, known: Sequence[str]) -> None:
        """Notes a fault for every key that is not known."""
        what = "key" if self.name else "table"
        for key in self.values:
            if key not in known:
                self.fault(key, f"unknown {what} {shown(key)}", f"the {what}s {', '.join(known)}",
                           did_you_mean(key, known))
