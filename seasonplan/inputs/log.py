"""log.csv: what was really done."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Collection, Iterable, Mapping
from functools import lru_cache

from seasonplan.inputs.decoding import header_of, read_text, records, separator_of
from seasonplan.inputs.gathering import Faults, nearest, same_name, shown
from seasonplan.inputs.tables import Row, read_table
from seasonplan.inputs.values import line_of_text, notes_text, plain_day
from seasonplan.model import LogEntry, Reading
from seasonplan.model.life import part_of

LOG_HEADER = "date,step,plant,place,note"
COLUMNS = tuple(LOG_HEADER.split(","))
NEARLY = 0.75
"""Likeness (see gathering.nearest) from which an unknown name is taken for a slip. Our setting."""


def read_log(file: str, data: bytes, plants: Collection[str] | None, places: Collection[str] | None,
             faults: Faults) -> tuple[tuple[LogEntry, ...], list[str]]:
    """(entries by date, those of one day in file order; notes about entries that are not used).

    plants, places: the names there are; None when they could not be read, then names are not checked. A name that is
    nearly one of them is a fault; one that is like none (a plant given away since, a place of an earlier year) makes
    an entry that is not used, with a note. An empty file is an empty log.
    """
    text = read_text(file, data, Faults())
    if text is not None and not text.strip():
        return (), []
    rows = read_table(file, data, COLUMNS, ("date", "step"), faults)
    if rows is None:
        return (), []
    known = {"plant": _by_sameness(plants), "place": _by_sameness(places)}
    notes: list[str] = []
    entries = [entry for row in rows.rows if (entry := _entry(row, known, notes))]
    return tuple(sorted(entries, key=lambda entry: (entry.date, entry.line))), notes


def _by_sameness(names: Collection[str] | None) -> dict[str, str] | None:
    return None if names is None else {same_name(name): name for name in names}


def _entry(row: Row, known: dict[str, dict[str, str] | None], notes: list[str]) -> LogEntry | None:
    day = row.need("date", plain_day, "a date as YYYY-MM-DD")
    step = row.need("step", line_of_text, "a step's uid from the plan, or its kind (move-out, repot ...)")
    plant, place = (_name(row, column, known[column], notes) for column in ("plant", "place"))
    note = row.get("note", notes_text) or ""
    if day is None or step is None or plant is None or place is None:
        return None
    return LogEntry(day, step, plant, place, note, row.line)


def _name(row: Row, column: str, known: dict[str, str] | None, notes: list[str]) -> str | None:
    """The name as its own file writes it, "" for an empty cell; None when the entry cannot be used."""
    if not row.text(column):
        return ""
    name = row.get(column, line_of_text)
    if name is None or known is None or same_name(name) in known:
        return name if name is None or known is None else known[same_name(name)]
    whole, part = part_of(name)
    if column == "plant" and part > 1 and same_name(whole) in known:
        return f"{known[same_name(whole)]}{name[len(whole):]}"
    near = _nearest(name, tuple(known.values()))
    if near:
        row.fault(column, f'no {column} is called "{shown(name)}"',
                  f"a name from {'plants.csv' if column == 'plant' else 'scenario.toml'}, or nothing",
                  f"Did you mean {near[0]}?")
    else:
        notes.append(f"{row.table.file}:{row.line}: there is no {column} called {shown(name)} now, so this entry is "
                     "not used.")
    return None


@lru_cache(maxsize=1024)
def _nearest(name: str, known: tuple[str, ...]) -> list[str]:
    """A log names the same plants again and again, those that are gone too."""
    return nearest(name, known, most=1, at_least=NEARLY)


def without_entries(text: str, entries: Iterable[LogEntry | Reading]) -> str:
    """A table's text without some of its lines; everything else stays as it is, byte for byte."""
    separator, body = separator_of(text)
    lines = [line for line in re.split(r"(?<=\n)|(?<=\r)(?!\n)", text) if line]
    starts = [line for line, _ in records("", body, separator, Faults())]
    until = dict(zip(starts, [*starts[1:], len(lines) + 1], strict=False))
    gone = {n for entry in entries for n in range(entry.line, until[entry.line])}
    return "".join(line for n, line in enumerate(lines, start=1) if n not in gone)


def append_entry(text: str, entry: LogEntry) -> str:
    """The log's text with one more line; a header first when it is empty."""
    return append_row(text, LOG_HEADER, {"date": entry.date.isoformat(), "step": entry.step, "plant": entry.plant,
                                         "place": entry.place, "note": entry.note})


def append_row(text: str, header: str, values: Mapping[str, str]) -> str:
    """A table's text with one more line; a header first when it is empty.

    Its line ending, separator and order of columns are kept; a column that the line needs and the table lacks is added
    to its header.
    """
    ending = "\r\n" if "\r\n" in text else "\n"
    if not text.strip("\ufeff \t\r\n"):
        text = header + ending
    separator, names = separator_of(text)[0], [name.casefold() for name in header_of(text.encode())]
    missing = [name for name in values if values[name] and name not in names]
    text = _with_columns(text, separator, missing)
    out = io.StringIO()
    csv.writer(out, delimiter=separator, lineterminator=ending).writerow(
        [values.get(name, "") for name in (*names, *missing)])
    return text + ("" if text.endswith(("\n", "\r")) else ending) + out.getvalue()


def _with_columns(text: str, separator: str, names: list[str]) -> str:
    """The text with more names at the end of its header line."""
    lines = text.splitlines(keepends=True)
    at = next(n for n, line in enumerate(lines) if line.strip() and not line.casefold().startswith("sep="))
    bare = lines[at].rstrip("\r\n")
    lines[at] = separator.join([bare, *names]) + lines[at][len(bare):]
    return "".join(lines)
