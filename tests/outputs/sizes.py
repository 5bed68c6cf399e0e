"""What a person is handed, in numbers: lines on the terminal, events, sides of paper, kilobytes; and how long the live
page takes. Run: python tests/outputs/sizes.py   (needs Chromium for the sides of paper)"""

from __future__ import annotations

import re
import sys
import tempfile
import time
from datetime import date
from pathlib import Path

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE.parent), str(HERE.parents[1])]

from chromium import Browser, chromium_path  # noqa: E402
from pypdf import PdfReader  # noqa: E402

from seasonplan import build_plan, load_scenario  # noqa: E402
from seasonplan.outputs.calendar import render_calendar  # noqa: E402
from seasonplan.outputs.page import render_page  # noqa: E402
from seasonplan.outputs.shed import render_shed  # noqa: E402
from seasonplan.outputs.terminal import plan_summary  # noqa: E402

SCENARIOS = HERE.parents[1] / "scenarios"
PAPERS_IN = {"A4": (8.27, 11.69), "Letter": (8.5, 11.0)}
DAYS = (date(2027, 3, 1), date(2027, 6, 12))


def larger(base: Path, count: int) -> Path:
    """Fallowmere with its plants over again until there are so many pots, and room for them."""
    folder = base / f"{count}-pots"
    folder.mkdir()
    for file in (SCENARIOS / "fallowmere").iterdir():
        if file.is_file():
            (folder / file.name).write_bytes(file.read_bytes())
    toml = folder / "scenario.toml"
    toml.write_text(re.sub(r"^room_for.*\n", "", toml.read_text(), flags=re.MULTILINE)
                    .replace("Fallowmere", f"{count} pots"))
    head, *rows = (folder / "plants.csv").read_text().splitlines()
    chosen, pots, n = [], 0, 0
    while pots < count:
        name, taxon, many, rest = rows[n % len(rows)].split(",", 3)
        take = min(int(many), count - pots)
        chosen.append(f"{name}{'' if n < len(rows) else f' {n // len(rows) + 1}'},{taxon},{take},{rest}")
        pots, n = pots + take, n + 1
    (folder / "plants.csv").write_text("\n".join([head, *chosen]) + "\n")
    return folder


def sides(browser: Browser, base: Path, html: str) -> int:
    """Sides of the paper that takes more."""
    file = base / "print.html"
    file.write_text(html, encoding="utf-8")
    with browser.page(file) as page:
        found = []
        for paper in PAPERS_IN.values():
            (base / "print.pdf").write_bytes(page.pdf(*paper))
            found.append(len(PdfReader(base / "print.pdf").pages))
    return max(found)


def without_pictures(page: str) -> str:
    return re.sub(r'<div class="picture.*?</svg>', "", page, flags=re.DOTALL)


def row(browser: Browser, base: Path, folder: Path, today: date) -> str:
    plan = build_plan(load_scenario(folder), today)
    page, sheet = render_page(plan), render_shed(plan)
    bare = without_pictures(page)
    size = re.search(r"--size:([\d.]+)pt", sheet)
    pots = sum(each.plant.count for each in plan.plants)
    return (f"| {folder.name}, {today:%-d %b} | {len(plan.plants)} / {pots} | {len(plan.steps)} | "
            f"{render_calendar(plan, None).count(b'BEGIN:VEVENT')} | {plan_summary(plan).count(chr(10)) + 1} | "
            f"{sides(browser, base, page)} | {len(page.encode()) / 1000:.0f} / {len(bare.encode()) / 1000:.0f} | "
            f"{sides(browser, base, sheet)} at {size[1] if size else '?'} pt |")


def live(base: Path) -> None:
    """Milliseconds of the served today, and from a tick to the plan that follows from it, with forty pots."""
    from served import Client, fields

    from seasonplan.serve.app import application
    from seasonplan.serve.guard import Guard, hosts_of
    from seasonplan.serve.household import Household
    from seasonplan.workflow import Folders

    house = Household(Folders.of([larger(base, 40)]), lambda: date(2027, 6, 12), lambda: "10:00")
    house.start()
    client = Client(application(house, Guard(b"s" * 32, hosts_of(["127.0.0.1"], 8674), False), time.monotonic))
    client.get("/")
    shown = min(_seconds(lambda: client.get("/")) for _ in range(9))
    ticks = []
    for _ in range(3):
        form = fields(client.get("/").text, "/done")
        ticks.append(_seconds(lambda form=form: (client.post("/done", data=form), house.settled(30))))
    house.stop()
    print(f"\nserved today: {shown * 1000:.0f} ms; a tick to its new plan: {min(ticks):.2f} to {max(ticks):.2f} s")


def _seconds(work) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        base = Path(name)
        browser = Browser(chromium_path(), base / "profile") if (base / "profile").mkdir() is None else None
        print("| garden, seen on | plants / pots | steps | events | lines | page: sides | kB / without pictures | "
              "sheet |")
        print("|---|---|---|---|---|---|---|---|")
        gardens = sorted(path for path in SCENARIOS.iterdir() if (path / "scenario.toml").exists())
        for folder in [*gardens, larger(base, 40), larger(base, 60)]:
            for today in DAYS if folder.parent == base else DAYS[:1]:
                print(row(browser, base, folder, today), flush=True)
        browser.close()
        with tempfile.TemporaryDirectory() as other:
            live(Path(other))


if __name__ == "__main__":
    main()
