"""From bytes to text, and from text to the records of a CSV table."""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections.abc import Iterator

from seasonplan.inputs.gathering import Faults

MARKS = ((codecs.BOM_UTF32_LE, "utf-32"), (codecs.BOM_UTF32_BE, "utf-32"), (codecs.BOM_UTF8, "utf-8-sig"),
         (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16"))
SEPARATORS = (",", ";", "\t")


def encoding_of(data: bytes) -> str:
    """The encoding that a file's byte-order mark tells, else UTF-8."""
    return next((name for mark, name in MARKS if data.startswith(mark)), "utf-8")


def read_text(file: str, data: bytes, faults: Faults) -> str | None:
    """The text of a file; None, with a fault at the first bad byte's line, when it is not the encoding it should be."""
    encoding = encoding_of(data)
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError as wrong:
        line = data[:wrong.start].count(b"\n") + 1
        byte = data[wrong.start:wrong.start + 1].hex().upper()
        faults.add(file, line, "", f"byte 0x{byte} cannot be read as {encoding.removesuffix('-sig').upper()}",
                   "UTF-8 text", "Save the file again with the encoding UTF-8.")
        return None
    if "\0" in text:
        faults.add(file, text[:text.index("\0")].count("\n") + 1, "", "found a NUL character", "UTF-8 text",
                   "Is it UTF-16 without its mark, or not a text file at all?")
        return None
    return text


def records(file: str, text: str, separator: str, faults: Faults) -> Iterator[tuple[int, list[str]]]:
    """(line on which it starts, cells) of every record, cells stripped. Stops, with a fault, where quoting breaks."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    start = 1
    try:
        for cells in reader:
            yield start, [cell.strip() for cell in cells]
            start = reader.line_num + 1
    except csv.Error as wrong:
        faults.add(file, start, "", f"the row cannot be read ({wrong})", "cells with closed quotation marks",
                   "Is a quotation mark missing, or one too many?")


def separator_of(text: str) -> tuple[str, str]:
    """(separator, text without a `sep=` line). The separator is the one that splits the first line most often."""
    told = re.match(r"\ufeff?sep=([,;\t])\r?\n?", text, re.IGNORECASE)
    if told:
        return told[1], "\n" + text[told.end():]
    first = next((line for line in io.StringIO(text, newline=None) if line.strip()), "")
    return max(SEPARATORS, key=first.count), text


def header_of(data: bytes) -> list[str]:
    """The cells of the first line that is not empty, as they stand; nothing when it cannot be read. Notes no fault."""
    text = read_text("", data, Faults())
    if text is None:
        return []
    separator, text = separator_of(text)
    return next((cells for _, cells in records("", text, separator, Faults()) if any(cells)), [])
