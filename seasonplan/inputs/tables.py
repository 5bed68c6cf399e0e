"""CSV tables as people and spreadsheet programs save them.

Taken as they come, because nothing has to be guessed: any encoding that carries its mark, else UTF-8, any line ending
and separator (see decoding), column names in any case, empty rows and empty columns, blanks around cells, decimal
commas where no reading as thousands is possible. Everything else is a fault with its line.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import TypeVar

from seasonplan.inputs.decoding import read_text, records, separator_of
from seasonplan.inputs.gathering import Faults, Wrong, did_you_mean, shown
from seasonplan.inputs.values import COMMA_NUMBER

Value = TypeVar("Value")
MOST_ROWS = 100_000
"""Rows of a table that are read: 20,000 pots, or 270 years of nights, are fewer. Our setting."""
MOST_COLUMNS = 200
"""A header with more is not looked at name by name. Our setting."""
POINT_THOUSANDS = re.compile(r"[-+−]?[1-9]\d{0,2}\.\d{3}")


@dataclass
class Row:
    """One line of a table that is not empty. number: counted from 1 below the header; line: where it starts; cells: by
    column, None when they cannot be told apart (a fault that is noted already); label: what it is about, for faults."""

    table: Table
    number: int
    line: int
    cells: dict[str, str] | None
    label: str = ""

    def place(self, column: str = "") -> str:
        row = f"row {self.number}{f' ({self.label})' if self.label else ''}"
        return f"{row}, {column}" if column else row

    def fault(self, column: str, found: str, allowed: str = "", cause: str = "") -> None:
        self.table.faults.add(self.table.file, self.line, self.place(column), found, allowed, cause)

    def text(self, column: str) -> str:
        """What stands in a cell; nothing when it is empty or not there."""
        return "" if self.cells is None else self.cells.get(column, "")

    def get(self, column: str, check: Callable[[str], Value]) -> Value | None:
        """The checked value of a cell; None when the cell is empty or, with a fault noted, when it is wrong."""
        text = self.text(column)
        if not text:
            return None
        try:
            return check(text)
        except Wrong as wrong:
            self.fault(column, wrong.found, wrong.allowed, wrong.cause)
            return None

    def need(self, column: str, check: Callable[[str], Value], allowed: str) -> Value | None:
        """Like `get`, for a cell that may not be empty. (A column that is not there is told once, by its table.)"""
        if self.cells is not None and not self.text(column) and column in self.table.columns:
            self.fault(column, "it is empty", allowed)
        return self.get(column, check)


@dataclass(frozen=True)
class Table:
    """A table with known columns; `rows` are those that are not empty."""

    file: str
    columns: tuple[str, ...]
    rows: list[Row]
    faults: Faults
    header_line: int = 1

    def fault(self, found: str, allowed: str = "", cause: str = "") -> None:
        """Notes a fault of the header."""
        self.faults.add(self.file, self.header_line, "header", found, allowed, cause)

    def either(self, one: str, other: str, missing: str = "", cause: str = "") -> str | None:
        """The one of two columns that is there (`one` when both are, which is a fault); None when neither is, which is
        a fault where `missing` says what is missing."""
        there = [name for name in (one, other) if name in self.columns]
        if len(there) == 2:
            self.fault(f"both {one} and {other}", "one of the two")
        elif not there and missing:
            self.fault(f"{missing} missing", f"a column {one} or {other}", cause)
        return there[0] if there else None


def commas_are_decimal(cells: Iterable[str]) -> bool:
    """Whether commas inside numbers are decimal commas beyond doubt: one of them cannot be read as thousands, because
    it has other than three digits after its comma (1,5), a leading zero (0,125) or more than three before (1234,567).
    """
    found = [cell.lstrip("+-−").split(",") for cell in cells if COMMA_NUMBER.fullmatch(cell.replace("−", "-"))]
    return any(len(after) != 3 or before.startswith("0") or len(before) > 3 for before, after in found)


def read_table(file: str, data: bytes, known: Sequence[str], required: Sequence[str], faults: Faults,
               numeric: Sequence[str] = ()) -> Table | None:
    """The table in `data`, its columns among `known` with all of `required`; None when it cannot be read at all.

    `numeric`: columns in which decimal commas are turned into points where that is beyond doubt.
    """
    text = read_text(file, data, faults)
    if text is None:
        return None
    separator, text = separator_of(text)
    lines = records(file, text, separator, faults)
    header_line, header = next(((n, cells) for n, cells in lines if any(cells)), (0, []))
    if not header:
        faults.add(file, 0, "", "the file is empty", f"a first line with the columns {', '.join(required)}")
        return None
    if len(header) > MOST_COLUMNS:
        faults.add(file, header_line, "header", f"{len(header)} columns", f"the columns {', '.join(known)}")
        return None
    names = [name.casefold() for name in header]
    table = Table(file, tuple(name for name in names if name), [], faults, header_line)
    body = [*islice(((line, cells) for line, cells in lines if any(cells)), MOST_ROWS + 1)]
    if len(body) > MOST_ROWS:
        faults.add(file, body.pop()[0], "", f"more than {MOST_ROWS} rows", f"at most {MOST_ROWS}; no more were read")
    _check_header(table, header, known, required, body)
    for number, (line, cells) in enumerate(body, start=1):
        row = Row(table, number, line, {name: cell for name, cell in zip(names, cells, strict=False) if name})
        if any(cells[len(names):]):
            _refuse_width(row, len(cells), len(names), separator)
        table.rows.append(row)
    _take_commas(table, numeric)
    return table


def _take_commas(table: Table, numeric: Sequence[str]) -> None:
    cells = [(row, name, cell) for row in table.rows for name in numeric if (cell := row.text(name))]
    if not commas_are_decimal(cell for _, _, cell in cells):
        return
    for row, name, cell in cells:
        if COMMA_NUMBER.fullmatch(cell.replace("−", "-")):
            row.cells = {**(row.cells or {}), name: cell.replace(",", ".")}
        elif POINT_THOUSANDS.fullmatch(cell):
            row.fault(name, f"found {cell} in a file with decimal commas", "one way to write decimals",
                      "The point could mean thousands.")


def _check_header(table: Table, header: list[str], known: Sequence[str], required: Sequence[str],
                  body: list[tuple[int, list[str]]]) -> None:
    allowed = f"the columns {', '.join(known)}"
    for position, name in enumerate(header):
        if name and name.casefold() not in known:
            missing = [column for column in known if column not in table.columns]
            table.fault(f"unknown column {shown(name)}", allowed, did_you_mean(name, missing))
        elif not name and any(position < len(cells) and cells[position] for _, cells in body):
            table.fault(f"column {position + 1} has no name", allowed)
    for name, times in Counter(table.columns).items():
        if times > 1:
            table.fault(f"the column {shown(name)} stands there {times} times", "each column once")
    for name in required:
        if name not in table.columns:
            table.fault(f"the column {name} is missing", f"a first line with the columns {', '.join(required)}")


def _refuse_width(row: Row, cells: int, columns: int, separator: str) -> None:
    cause = ("A comma inside a cell needs quotation marks round the cell; decimal commas need semicolons between the "
             "cells.") if separator == "," else ""
    row.fault("", f"{cells} cells under {columns} columns", f"{columns} cells", cause)
    row.cells = None


@dataclass(frozen=True)
class Loose:
    """A table of someone else's making: its columns, in capitals, are what they are, and most of them unused.

    rows: row numbers from 0; a cell that is not there is empty.
    """

    file: str
    columns: dict[str, int]
    body: list[tuple[int, list[str]]]

    @property
    def rows(self) -> range:
        return range(len(self.body))

    def line(self, row: int) -> int:
        return self.body[row][0]

    def cell(self, row: int, column: str) -> str:
        position = self.columns.get(column, -1)
        cells = self.body[row][1]
        return cells[position] if 0 <= position < len(cells) else ""


def read_loose(file: str, data: bytes, faults: Faults, columns: Sequence[str] | None = None) -> Loose | None:
    """A table with whatever columns it has; `columns` names them where the file has no header."""
    text = read_text(file, data, faults)
    if text is None:
        return None
    separator, text = separator_of(text)
    body = [(line, cells) for line, cells in records(file, text, separator, faults) if any(cells)]
    header = columns or (body.pop(0)[1] if body else [])
    return Loose(file, {name.upper(): n for n, name in reversed(list(enumerate(header)))}, body)
