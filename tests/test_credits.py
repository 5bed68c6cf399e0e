"""Whatever is carried in the package's data has its credit, and the credits come along with the package."""

import re
from pathlib import Path

import seasonplan

DATA = Path(seasonplan.__file__).parent / "data"
CREDITS = (DATA / "CREDITS.md").read_text(encoding="utf-8")
ROWS = re.findall(r"^\| (`.*?) \| (.*?) \| (.*?) \| (.*?) \|$", CREDITS, re.MULTILINE)


def test_every_carried_file_is_credited_once_and_none_that_is_not_there():
    credited = [name for files, *_ in ROWS for name in re.findall(r"`([^`]+)`", files)]
    carried = sorted(p.name for p in DATA.iterdir() if p.suffix not in (".py", ".md") and p.is_file())
    assert sorted(credited) == carried


def test_every_credit_says_from_whom_and_on_what_terms():
    assert ROWS and all(len(cell) > 3 for row in ROWS for cell in row)
