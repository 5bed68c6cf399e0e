"""Thousands of made-up gardens with made-up logs, planned again and again through their season, all promises checked.

    python tests/checker/many.py [GARDENS] [--from NUMBER] [--show N] [--logs N [--odd-logs]] [--into FILE]

This is the harness: it runs the program in this process to save its start. The checks themselves know nothing of it.
A plan over an earlier calendar must follow the rules of SEQUENCE, and every tenth garden is planned twice each time and
must be the same bytes. With --odd-logs the logs say what nobody should write. A log that is refused must be refused
line by line; it is planned again without those lines. --into appends what is broken to a file while it goes on, a line
each: garden, plants, day, promise, what (tab-separated); a garden that keeps everything has a line with "kept".
"""

from __future__ import annotations

import argparse
import json
import re
import sys
import tempfile
import time
import traceback
from collections import Counter, defaultdict
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from random import Random

if __name__ == "__main__":
    sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])]

from checker import events, gardens  # noqa: E402
from checker.check import broken  # noqa: E402
from checker.folder import Broken, read  # noqa: E402
from click.testing import CliRunner  # noqa: E402

from seasonplan.cli import main as program  # noqa: E402

NORTH = ("2027-05-10", "2027-06-20", "2027-08-15", "2027-10-01")
SOUTH = ("2027-11-10", "2027-12-20", "2028-02-15", "2028-04-01")


class Refused(Exception):
    """The program found the input wrong; the text is what it printed."""


def run(*args: object) -> str:
    """What a command prints. Refused where it says that the input is wrong, RuntimeError where it fails."""
    result = CliRunner().invoke(program, [str(each) for each in args])
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise RuntimeError("".join(traceback.format_exception(result.exception)[-4:]))
    if result.exit_code == 2:
        raise Refused(result.output)
    if result.exit_code != 0:
        raise RuntimeError(result.output)
    return result.stdout


def planned(folder: Path, today: str, kept: bool = False, twice: bool = True) -> tuple[list[Broken], dict]:
    """Plans a folder and checks all promises. kept: by the log. twice: also that a second plan changes nothing."""
    out, before = folder / "out", None
    if (out / "calendar.ics").exists():
        before = (out / "calendar.ics").read_bytes()
    plan = ("plan", folder, "--today", today, "--no-page", "--quiet")
    run(*plan)
    first = {path.name: path.read_bytes() for path in out.iterdir()}
    garden = read(folder, light_of(folder, today), CATALOGUE(), today=date.fromisoformat(today) if kept else None)
    found = broken(garden)
    if before is not None:
        found += events.replanned(before, first["calendar.ics"])
    if twice:
        run(*plan)
        found += _same(first, {path.name: path.read_bytes() for path in out.iterdir()})
    return found, garden.plan


def _same(first: dict[str, bytes], again: dict[str, bytes]) -> list[Broken]:
    """What a second plan of the same day changed."""
    same = all(again.get(name) == data for name, data in first.items() if name != "calendar.ics")
    found = [] if same and again.keys() == first.keys() else [Broken("bytes", "a second plan on the same day differs")]
    return [*found, *events.replanned(first["calendar.ics"], again["calendar.ics"])]


def light_of(folder: Path, today: str, known: dict[tuple[Path, str], dict] = {}) -> dict:  # noqa: B006
    """`light --json`, asked once of a garden while its scenario.toml (with its year) stays; kept of the last garden."""
    key = folder, (folder / "scenario.toml").read_text(encoding="utf-8")
    if key not in known:
        known.clear()
        known[key] = json.loads(run("light", folder, "--json", "--today", today))
    return known[key]


def CATALOGUE(kept: dict[str, dict] = {}) -> dict:  # noqa: B006, N802
    """`catalogue --json`, asked once."""
    if not kept:
        kept.update(json.loads(run("catalogue", "--json")))
    return kept


def planned_oddly(folder: Path, today: str, log: str, twice: bool) -> tuple[list[Broken], dict, str]:
    """The same with a log of which lines may be refused: (what is broken, the plan, the log without them)."""
    while True:
        (folder / "log.csv").write_text(log, encoding="utf-8")
        try:
            return *planned(folder, today, True, twice), log
        except Refused as refused:
            wrong = {int(line) for line in re.findall(r"log\.csv:(\d+)", str(refused))}
            if not wrong:
                raise RuntimeError(f"refused without a line: {refused}") from None
            log = "".join(line for n, line in enumerate(log.splitlines(keepends=True), start=1) if n not in wrong)


def one(number: int, most_logs: int = 4, odd: bool = False, twice: bool = True) -> Iterator[tuple[str, Broken]]:
    """What is broken in a garden's season, with the day on which it was planned.

    most_logs: days of the season on which it is planned by its log. odd: its logs are. twice: each plan is made again.
    """
    keys = [taxon["key"] for taxon in CATALOGUE()["taxa"]]
    files, chance = gardens.made_up(number, keys), Random(-number)
    with tempfile.TemporaryDirectory() as base:
        folder = Path(base)
        for name, text in files.items():
            (folder / name).write_text(text, encoding="utf-8")
        south = "latitude = -" in files["scenario.toml"]
        found, plan = planned(folder, "2027-03-01" if not south else "2027-08-01", twice=twice)
        yield from (("paper", each) for each in found)
        log, every = "", SOUTH if south else NORTH
        for today in every[:most_logs] if number < gardens.SMALL_FROM else sorted(chance.sample(every, most_logs)):
            log = gardens.done_until(plan, today, chance, log)
            if odd:
                places = re.findall(r'(?m)^name = "(?!Made-up)(.*)"', files["scenario.toml"])
                log += gardens.odd_lines(plan, today, places, chance)
            found, plan, log = planned_oddly(folder, today, log, twice)
            yield from ((today, each) for each in found)


def told(number: int, found: list[tuple[str, Broken]]) -> str:
    """What is broken in a garden as lines of text for --into."""
    plants = gardens.made_up(number, [t["key"] for t in CATALOGUE()["taxa"]])["plants.csv"].count("\n") - 1
    return "".join(f"{number}\t{plants}\t{when}\t{each.promise}\t{' | '.join(each.what.splitlines())}\n"
                   for when, each in found or [("", Broken("kept", ""))])


def options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("gardens", type=int, nargs="?", default=1000)
    parser.add_argument("--from", type=int, default=0, dest="first")
    parser.add_argument("--show", type=int, default=3)
    parser.add_argument("--logs", type=int, default=4, choices=range(5), help="days of the season planned with a log")
    parser.add_argument("--odd-logs", action="store_true")
    parser.add_argument("--seconds", type=float, default=1e9, help="begin no garden after so long")
    parser.add_argument("--into", type=Path, help="append what is broken to this file")
    return parser.parse_args()


def main() -> int:
    given = options()
    counts: Counter[str] = Counter()
    places: Counter[str] = Counter()
    shown: dict[str, list[str]] = defaultdict(list)
    begun, done = time.perf_counter(), 0
    for number in range(given.first, given.first + given.gardens):
        if time.perf_counter() - begun > given.seconds:
            break
        done += 1
        try:
            found = list(one(number, given.logs, given.odd_logs, twice=number % 10 == 0))
        except (RuntimeError, Refused) as error:
            found = [("run", Broken("failed", str(error)))]
        if given.into is not None:
            with given.into.open("a", encoding="utf-8") as file:
                file.write(told(number, found))
        places.update({each.promise for _, each in found})
        for when, each in found:
            counts[each.promise] += 1
            if len(shown[each.promise]) < given.show:
                shown[each.promise].append(f"garden {number} ({when}) {each}")
    for promise, count in counts.most_common():
        print(f"{promise}: {count} in {places[promise]} gardens", *shown[promise], sep="\n    ")
    print(f"{done} gardens from {given.first} on in {time.perf_counter() - begun:.0f} s: "
          f"{'every promise is kept' if not counts else f'{sum(counts.values())} broken'}")
    return 1 if counts else 0


if __name__ == "__main__":
    sys.exit(main())
