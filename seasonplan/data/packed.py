"""Large tables of the package as small binary files: columns of whole numbers or text, each compressed on its own.

A file is one line of JSON that names the columns in order, then their bytes. Numbers are kept as differences along the
first axis where that packs better, their bytes of equal weight beside each other, and compressed by zlib: LZMA would
save a seventh of the megabyte and cost every plan 20 to 40 ms. A column is unpacked when it is first asked for.
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Mapping, Sequence
from importlib import resources

import numpy as np

LETTERS = "text"
Column = np.ndarray | Sequence[str]


class Packed:
    """The columns of one packed table: numbers as arrays of the shape they were packed in, text as a list."""

    def __init__(self, data: bytes) -> None:
        header, _, self._body = data.partition(b"\n")
        self._columns: dict[str, tuple[list, int]] = {}
        start = 0
        for name, *how, length in json.loads(header):
            self._columns[name] = ([*how, length], start)
            start += length
        self._unpacked: dict[str, Column] = {}

    def numbers(self, name: str) -> np.ndarray:
        """A column of whole numbers."""
        if name not in self._unpacked:
            (kind, shape, steps, _), raw = self._columns[name][0], self._raw(name)
            width = np.dtype(kind).itemsize
            values = np.frombuffer(raw, np.uint8).reshape(width, -1).T.copy().view(kind).reshape(shape)
            self._unpacked[name] = np.cumsum(values, axis=0, dtype=kind) if steps else values
        return np.asarray(self._unpacked[name])

    def text(self, name: str) -> str:
        """A column of text as one string, its rows by line."""
        return self._raw(name).decode("utf-8")

    def _raw(self, name: str) -> bytes:
        how, start = self._columns[name]
        return zlib.decompress(self._body[start:start + how[-1]])


def read_packed(name: str) -> Packed:
    """The table `data/<name>.bin`."""
    return Packed(resources.files("seasonplan.data").joinpath(f"{name}.bin").read_bytes())


def pack(columns: Mapping[str, Column]) -> bytes:
    """The columns as one packed table; arrays of whole numbers in the kind they have, text by line."""
    header, body = [], b""
    for name, column in columns.items():
        if isinstance(column, np.ndarray):
            steps = np.concatenate([column[:1], column[1:] - column[:-1]])
            packed, differences = min(((_squeezed(_planes(values)), differ)
                                       for values, differ in ((column, False), (steps, True))), key=lambda p: len(p[0]))
            header.append([name, column.dtype.str, list(column.shape), differences, len(packed)])
        else:
            packed = _squeezed("\n".join(column).encode("utf-8"))
            header.append([name, LETTERS, len(packed)])
        body += packed
    return json.dumps(header, separators=(",", ":")).encode() + b"\n" + body


def _planes(values: np.ndarray) -> bytes:
    return np.ascontiguousarray(values).view(np.uint8).reshape(-1, values.dtype.itemsize).T.tobytes()


def _squeezed(raw: bytes) -> bytes:
    return zlib.compress(raw, 9)
