"""scenario.toml: its values, and the line on which each key stands.

The TOML reader gives no lines. They are found by a walk over the document's tokens, which need not be right about
anything but where keys begin: a document that is not TOML has been refused before.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from seasonplan.inputs.gathering import Faults, did_you_mean, shown

Value = TypeVar("Value")
Path = tuple[str | int, ...]
TOKEN = re.compile(r'''
    (?P<text>"""(?:\\.|[^\\])*?"""(?!")|\'\'\'.*?\'\'\'(?!\'))
    |(?P<quoted>"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\')
    |(?P<comment>\#[^\n]*)
    |(?P<blank>[ \t\r]+)
    |(?P<sign>[\[\]{},=.\n])
    |(?P<bare>[^\s"\'\#\[\]{},=.]+)
    |(?P<odd>.)''', re.DOTALL | re.VERBOSE)
KEY_KINDS = ("bare", "quoted")
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


def key_lines(text: str) -> dict[Path, int]:
    """Line of every key, table header and list entry of a TOML document: ("site", "latitude"), ("place", 0, "faces"),
    ("place", 0). Of text that is not TOML, whatever was understood."""
    return _Reader(text).lines


class _Reader:
    """Walks through the tokens of a document and notes where keys stand."""

    def __init__(self, text: str):
        self.lines: dict[Path, int] = {}
        self._last: dict[Path, int] = {}              # of every list of tables, the entry that was begun last
        self._tokens = _tokens(text)
        self._next()
        at: Path = ()
        while self.kind:
            if self.word == "[":
                at = self._header()
            elif self.kind in KEY_KINDS:
                self._entry(at)
            else:
                self._next()

    def _next(self) -> None:
        self.kind, self.word, self.line = next(self._tokens, ("", "", 0))

    def _header(self) -> Path:
        line, brackets = self.line, 0
        while self.word == "[":
            brackets += 1
            self._next()
        at: Path = ()
        names = self._key()
        for n, name in enumerate(names):
            at += (name,)
            if brackets == 2 and n == len(names) - 1:
                self._last[at] = self._last.get(at, -1) + 1
                self.lines.setdefault(at, line)
            if at in self._last:
                at += (self._last[at],)
        self.lines.setdefault(at, line)
        while self.word == "]":
            self._next()
        return at

    def _key(self) -> list[str]:
        """The parts of a key, dots between them."""
        parts = []
        while self.kind in KEY_KINDS or self.word == ".":
            if self.word != ".":
                parts.append(self.word.strip("\"'"))
            self._next()
        return parts

    def _entry(self, at: Path) -> None:
        """key = value"""
        line, path = self.line, at
        for part in self._key():
            path += (part,)
            self.lines.setdefault(path, line)
        if self.word == "=":
            self._next()
            self._value(path)

    def _value(self, at: Path) -> None:
        if self.word not in ("[", "{"):
            while self.kind in KEY_KINDS or self.kind == "text" or self.word == ".":
                self._next()
            return
        closing, n = "]" if self.word == "[" else "}", 0
        self._next()
        while self.kind and self.word != closing:
            if closing == "}" and self.kind in KEY_KINDS:
                self._entry(at)
            elif closing == "]" and self.word not in (",", "\n"):
                self.lines.setdefault((*at, n), self.line)
                self._value((*at, n))
                n += 1
            else:
                self._next()
        self._next()


def _tokens(text: str) -> Iterator[tuple[str, str, int]]:
    """(kind, word, line) of everything but blanks and comments."""
    line = 1
    for found in TOKEN.finditer(text):
        kind = found.lastgroup or ""
        if kind not in ("blank", "comment"):
            yield kind, found[0], line
        line += found[0].count("\n")


@dataclass(frozen=True)
class Section:
    """One table of the document: its values, its name for faults, and where its keys stand."""

    file: str
    name: str
    values: dict[str, Any]
    lines: dict[Path, int]
    at: Path
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
