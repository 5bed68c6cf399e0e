"""CSV tables that ship with the package: one header line, a `source` column, no plant numbers in Python code."""

from __future__ import annotations

import csv
from functools import cache
from importlib import resources


@cache
def table(name: str) -> tuple[dict[str, str], ...]:
    """Rows of `data/<name>.csv` as dictionaries, in file order."""
    text = resources.files(__name__).joinpath(f"{name}.csv").read_text(encoding="utf-8")
    header, *rows = csv.reader(text.splitlines())
    return tuple(dict(zip(header, row, strict=True)) for row in rows if row)
