"""Faults that once went by unnoticed, or must never: each is put into a copy of the tree, and a test must turn red.

    python tests/mutation/bites.py [WORD ...]

bites.csv: what the fault is, the file (or files: climate/*.py), the text that stands in one of them once, what it
becomes, the tests that should see it.
Exit code 1 when one is not noticed.
"""

from __future__ import annotations

import csv
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

ROOT = Path(__file__).parents[2]
TABLE = Path(__file__).with_name("bites.csv")


def file_of(tree: Path, row: dict[str, str]) -> Path:
    """The file in which the text stands. ValueError when it does not stand there once."""
    paths = [path for path in sorted(tree.glob(f"seasonplan/{row['file']}"))
             for _ in range(path.read_text(encoding="utf-8").count(row["was"]))]
    if len(paths) != 1:
        raise ValueError(f"{row['name']}: {row['was']!r} stands {len(paths)} times in {row['file']}")
    return paths[0]


def noticed(copy: Path, row: dict[str, str]) -> str | None:
    """The first test that turns red, None when none does."""
    path = file_of(copy, row)
    sound = path.read_text(encoding="utf-8")
    path.write_text(sound.replace(row["was"], row["becomes"]), encoding="utf-8")
    try:
        done = subprocess.run([sys.executable, "-m", "pytest", "-x", "-q", "--tb=no", "-p", "no:cacheprovider",
                               *row["tests"].split()], cwd=copy, capture_output=True, text=True, check=False,
                              env=os.environ | {"PYTHONDONTWRITEBYTECODE": "1"})   # a stale one would be the sound one
    finally:
        path.write_text(sound, encoding="utf-8")
    red = [line for line in done.stdout.splitlines() if line.startswith(("FAILED", "ERROR"))]
    return red[0].split(" - ")[0].removeprefix("FAILED ") if done.returncode and red else None


def main(words: Sequence[str]) -> int:
    with TABLE.open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if not words or any(word in row["name"] for word in words)]
    missed = 0
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder, "tree")
        shutil.copytree(ROOT, copy, ignore=shutil.ignore_patterns(".git", "__pycache__", "out", ".*_cache"))
        for row in rows:
            by = noticed(copy, row)
            missed += by is None
            print(f"{row['name']:40} {by or 'NOT NOTICED'}", flush=True)
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
