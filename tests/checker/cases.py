"""The gardens of the suite whose every promise is checked, and the list of promises that are not kept yet.

    python tests/checker/cases.py            what each case breaks, and which rows of not_yet.csv are out of date
    python tests/checker/cases.py --write    takes the rows out that are kept by now
    python tests/checker/cases.py --write --worse    and writes down what has become broken, for a commit to answer for

not_yet.csv has a row for each case and promise that the program breaks today. The suite is red for a promise that is
broken without a row and for a row whose promise is kept, so that the list only gets shorter unless somebody says so.
"""

from __future__ import annotations

import argparse
import csv
import shutil
import sys
import tempfile
from pathlib import Path

if __name__ == "__main__":
    sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])]

from checker import gardens, many, seasons  # noqa: E402
from checker.folder import Broken  # noqa: E402

NOT_YET = Path(__file__).with_name("not_yet.csv")
SHIPPED = tuple(sorted(path.parent.name for path in seasons.SHIPPED.glob("*/scenario.toml")))
MADE_UP = 5
PLANNED_TWICE = 2
"""So many of the made-up gardens are planned twice, by their logs too; the shipped ones are by test_scenarios.py, and
hundreds by many.py."""
TWO_SEASONS_OF = 2
CASES = (*SHIPPED, *(f"made up {n}" for n in range(MADE_UP)), "two seasons")


def found(case: str) -> list[Broken]:
    """All that is broken in a case: a shipped garden on paper, a made-up one also on a day of its season with a log."""
    if case.startswith("made up "):
        number = int(case.split()[-1])
        return [each for _, each in many.one(number, most_logs=1, twice=number < PLANNED_TWICE)]
    with tempfile.TemporaryDirectory() as base:
        folder = Path(base, "garden")
        if case in SHIPPED:
            shutil.copytree(seasons.SHIPPED / case, folder, ignore=shutil.ignore_patterns("out"))
            day = "2027-03-01" if not seasons.is_southern(folder) else "2027-08-01"
            return many.planned(folder, day, twice=False)[0]
        folder.mkdir()
        for name, text in gardens.made_up(TWO_SEASONS_OF, [t["key"] for t in many.CATALOGUE()["taxa"]]).items():
            (folder / name).write_text(text, encoding="utf-8")
        return [each for _, _, broken in seasons.lived(folder, 2, twice=False) for each in broken]


def not_yet() -> set[tuple[str, str]]:
    """(case, promise) of every row."""
    with NOT_YET.open(encoding="utf-8", newline="") as file:
        return {(row["case"], row["promise"]) for row in csv.DictReader(file)}


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--write", action="store_true")
    parser.add_argument("--worse", action="store_true")
    given = parser.parse_args()
    listed, now = not_yet(), set()
    for case in CASES:
        broken = found(case)
        now |= {(case, each.promise) for each in broken}
        for promise in sorted({each.promise for each in broken}):
            mark = "     " if (case, promise) in listed else "WORSE"
            print(mark, case, *[each for each in broken if each.promise == promise][:1], sep=" | ", flush=True)
    for case, promise in sorted(listed - now):
        print(f"kept by now: {case}, {promise}")
    if given.write:
        rows = sorted(now if given.worse else listed & now)
        with NOT_YET.open("w", encoding="utf-8", newline="") as file:
            csv.writer(file, lineterminator="\n").writerows([("case", "promise"), *rows])
    return 1 if listed != now else 0


if __name__ == "__main__":
    sys.exit(main())
