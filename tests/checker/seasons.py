"""A hundred seasons in a row in one garden, each lived as planned and logged, all promises checked in every one.

    python tests/checker/seasons.py [DIR] [SEASONS]

DIR is a scenario (Fallowmere without one); it is copied, never changed. Each year it is planned in March (September in
the south), in the middle of its season and at its end, over the calendar and the log of all years before.
"""

from __future__ import annotations

import re
import shutil
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

if __name__ == "__main__":
    sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])]

from checker.folder import Broken  # noqa: E402
from checker.many import planned  # noqa: E402

SHIPPED = Path(__file__).parents[2] / "scenarios"
FIRST_YEAR = 2027


def lived(folder: Path, seasons: int, twice: bool = True) -> Iterator[tuple[int, float, list[Broken]]]:
    """(year, seconds, what is broken) of every season. twice: each plan of every tenth season is made again."""
    toml, log = folder / "scenario.toml", folder / "log.csv"
    south = is_southern(folder)
    if not log.exists():
        log.write_text("date,step,plant,place,note\n", encoding="utf-8")
    for year in range(FIRST_YEAR, FIRST_YEAR + seasons):
        begun = time.perf_counter()
        text = re.sub(r"(?m)^year\s*=\s*\d+", f"year = {year}", toml.read_text(encoding="utf-8"))
        toml.write_text(text, encoding="utf-8")
        days = [f"{year}-09-01", f"{year + 1}-01-10", f"{year + 1}-06-25"] if south else \
            [f"{year}-03-01", f"{year}-07-10", f"{year}-12-20"]
        found, plan = planned(folder, days[0], twice=twice and (year - FIRST_YEAR) % 10 == 0)
        for today in days[1:]:
            with log.open("a", encoding="utf-8") as file:
                file.writelines(_done(plan, today, log.read_text(encoding="utf-8")))
            more, plan = planned(folder, today, kept=True, twice=twice and (year - FIRST_YEAR) % 10 == 0)
            found += more
        yield year, time.perf_counter() - begun, found


def is_southern(folder: Path) -> bool:
    """Whether a scenario lies south of the equator, by its latitude."""
    text = (folder / "scenario.toml").read_text(encoding="utf-8")
    return re.search(r"^latitude\s*=\s*-", text, re.MULTILINE) is not None


def _done(plan: dict, today: str, log: str) -> list[str]:
    """Every step until today, done on its day, as lines for the log."""
    return [f"{step['date']},{step['uid']},{name},{'' if ' + ' in step['place'] else step['place']},\n"
            for step in sorted(plan["steps"], key=lambda step: step["date"])
            if step["date"] <= today and step["uid"] not in log for name in step["plants"]]


def main() -> int:
    source = Path(sys.argv[1]) if len(sys.argv) > 1 else SHIPPED / "fallowmere"
    seasons = int(sys.argv[2]) if len(sys.argv) > 2 else 100
    total = 0
    with tempfile.TemporaryDirectory() as base:
        folder = Path(base) / source.name
        shutil.copytree(source, folder, ignore=shutil.ignore_patterns("out"))
        for year, seconds, found in lived(folder, seasons):
            total += len(found)
            calendar = (folder / "out" / "calendar.ics").stat().st_size / 1024
            if found or (year - FIRST_YEAR) % 10 in (0, 9):
                print(f"{year}: {seconds:.1f} s, calendar {calendar:.0f} KiB, log "
                      f"{len((folder / 'log.csv').read_text(encoding='utf-8').splitlines())} lines", *found[:3],
                      sep="\n    ", flush=True)
    print(f"{seasons} seasons: {'every promise is kept' if not total else f'{total} broken'}")
    return 1 if total else 0


if __name__ == "__main__":
    sys.exit(main())
