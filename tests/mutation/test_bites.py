"""The faults of bites.csv can still be made: their text stands once in the file, and the tests named are there."""

import csv

import pytest
from mutation import bites

with bites.TABLE.open(encoding="utf-8", newline="") as file:
    ROWS = list(csv.DictReader(file))


@pytest.mark.parametrize("row", ROWS, ids=[row["name"] for row in ROWS])
def test_a_fault_can_still_be_made(row):
    assert bites.file_of(bites.ROOT, row) and row["was"] != row["becomes"]
    assert all((bites.ROOT / test.split("::")[0]).exists() for test in row["tests"].split())
