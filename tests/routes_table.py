"""How the routes of every shipped garden and of six invented ones do, by what plan.json and light.json say.

    python tests/routes_table.py [--tree PATH]

--tree plans with the code of another checkout (its own light, too), so that before and after can be laid side by side.
A plant counts as reaching the sun when, four weeks after it went out, it stands in 70 % of the light of the brightest
place that it can bear: light_high, full-sun hours of its class, room; a place brighter than that counts with what it
can bear of it. Where cold nights keep the brightest place closed to it for longer, it is looked at two weeks after
that has opened. Only plants of class sun and part-sun count that are outdoors for six weeks or longer from then on.
"""

from __future__ import annotations

import argparse
import csv
import json
import subprocess
import sys
import tempfile
import tomllib
from datetime import date, timedelta
from pathlib import Path

ROOT = Path(__file__).parent.parent
sys.path.insert(0, str(ROOT / "tests"))
from gardens import GARDENS, write  # noqa: E402

CAPS = {"deep-shade": 0.5, "shade": 1.5, "part-sun": 4.0, "sun": 1e9}
HEAD = ("garden", "sun plants at 70 %", "their light", "stops", "most", "cloth-days", "moving days",
        "largest first rise", "ends over 3 rooms", "largest first peak, shade", "short stays")


def run(tree: Path, *words: str) -> str:
    """What a command of the package prints."""
    return subprocess.run([sys.executable, "-m", "seasonplan", *words], cwd=tree, capture_output=True, text=True,
                          env={"PYTHONPATH": str(tree), "PATH": "/usr/bin:/bin"}, check=True).stdout


class Planned:
    """One planned garden, as its files tell it."""

    def __init__(self, tree: Path, folder: Path, out: Path):
        run(tree, "plan", str(folder), "--out", str(out), "--no-page", "--today", "2027-03-01")
        self.plan = json.loads((out / "plan.json").read_text(encoding="utf-8"))
        self.light = {p["name"]: {d["date"]: d for d in p["days"]}
                      for p in json.loads(run(tree, "light", str(folder), "--json"))["places"]}
        self.taxa = {row["key"]: row for row in csv.DictReader(
            (tree / "seasonplan" / "data" / "catalogue.csv").open(encoding="utf-8"))}
        places = tomllib.loads((folder / "scenario.toml").read_text(encoding="utf-8"))["place"]
        self.room = {p["name"]: p.get("room_for", 10**6) for p in places if p["kind"] == "outdoor"}
        self.home = {row["name"]: row.get("place") for row in csv.DictReader(
            (folder / "plants.csv").open(encoding="utf-8"))}
        self.moving = [p for p in self.plan["plants"] if p["route"] and p["taxon"] in self.taxa]

    def day(self, place: str, day: date) -> dict:
        days = self.light[place]
        return days.get(day.isoformat()) or days[min(days, key=lambda d: abs((date.fromisoformat(d) - day).days))]

    def through(self, stop: dict) -> float:
        return 1 - (stop.get("shade") or {}).get("percent", 0) / 100

    def bearable(self, plant: dict, day: date) -> float:
        """Light of the brightest place that a plant can bear on a day [mol]."""
        taxon = self.taxa[plant["taxon"]]
        high, cap = float(taxon["light_high_mol"]), CAPS[taxon["sun"]]
        found = [0.0]
        for place, room in self.room.items():
            light = self.day(place, day)
            share = min(1.0, high / max(light["mean_dli"], 1e-6), cap / max(light["full_sun_h"], 1e-6))
            spans = {w["place"]: w for w in plant.get("windows", ())}
            window = spans.get(place)
            opened = window is None or window["when"] != "never" and (
                window["date"] is None or window["date"] <= day.isoformat() < window["until"])
            if room >= plant["count"] and opened:
                found.append(share * light["mean_dli"])
        return max(found)

    def best_opens(self, plant: dict, first: date) -> date:
        """The first day from which a plant could have four fifths of what it could have if no night were cold."""
        free = {**plant, "windows": []}
        for n in range(120):
            day = first + timedelta(days=n)
            if self.bearable(plant, day) >= 0.8 * self.bearable(free, day):
                return day
        return first

    def sun_shares(self) -> list[tuple[float, float]]:
        """(share of the brightest bearable light, light [mol]) four weeks after going out, per sun plant."""
        found = []
        for plant in self.moving:
            route, first = plant["route"], date.fromisoformat(plant["route"][0]["date"])
            sun = self.taxa[plant["taxon"]]["sun"] in ("sun", "part-sun")
            first = max(first, self.best_opens(plant, first) - timedelta(days=14))
            if not sun or (date.fromisoformat(route[-1]["until"]) - first).days < 42:
                continue
            day = first + timedelta(days=28)
            stop = [s for s in route if s["date"] <= day.isoformat()][-1]
            light = self.through(stop) * self.day(stop["place"], day)["mean_dli"]
            found.append((light / max(self.bearable(plant, day), 1e-6), light))
        return found

    def cloth_days(self) -> int:
        return sum((date.fromisoformat(s["until"]) - date.fromisoformat(s["date"])).days
                   for p in self.moving for s in p["route"] if s.get("shade"))

    def moving_days(self) -> int:
        """Days of moving with a stop's first day or, for a plant that comes in, its last."""
        ins = {p["route"][-1]["until"] for p in self.moving if p["status"] == "moves"}
        return len({s["date"] for p in self.moving for s in p["route"]} | ins)

    def rises(self) -> list[float]:
        """Light of the first stop over the room's, like for like, per plant."""
        return [p["route"][0]["mean_dli"] / max(self.day(self.home[p["name"]], date.fromisoformat(
            p["route"][0]["date"]))["mean_dli"], 0.05) for p in self.moving if self.home.get(p["name"])]

    def bright_ends(self) -> int:
        """Plants that come in out of more than three times the light of their room."""
        count = 0
        for p in self.moving:
            if p["status"] != "moves" or not self.home.get(p["name"]):
                continue
            last = p["route"][-1]
            day = date.fromisoformat(last["until"]) - timedelta(days=1)
            room = max(self.day(self.home[p["name"]], day)["mean_dli"], 0.05)
            count += self.through(last) * self.day(last["place"], day)["mean_dli"] > 3.001 * room
        return count

    def first_peaks(self) -> float:
        """Strongest light of a first week for a shade plant [umol]."""
        found = [0.0]
        for p in self.moving:
            first = date.fromisoformat(p["route"][0]["date"])
            if self.taxa[p["taxon"]]["sun"] not in ("shade", "deep-shade"):
                continue
            for n in range(7):
                day = (first + timedelta(days=n)).isoformat()
                stop = [s for s in p["route"] if s["date"] <= day][-1]
                if day < stop["until"]:
                    found.append(self.through(stop) * self.day(stop["place"], first + timedelta(days=n))["peak_ppfd"])
        return max(found)

    def short_stays(self) -> int:
        """Stays under five days that end later than three weeks after going out."""
        return sum((date.fromisoformat(s["until"]) - date.fromisoformat(s["date"])).days < 5 and
                   (date.fromisoformat(s["until"]) - date.fromisoformat(p["route"][0]["date"])).days > 21
                   for p in self.moving for s in p["route"])


def row(name: str, planned: Planned) -> tuple[str, ...]:
    """One line of the table."""
    shares = planned.sun_shares()
    stops = [len(p["route"]) for p in planned.moving] or [0]
    reached = sum(share >= 0.7 - 1e-3 for share, _ in shares)
    mean = sum(light for _, light in shares) / max(len(shares), 1)
    return (name, f"{reached} of {len(shares)}", f"{mean:.0f} mol", f"{sum(stops) / len(stops):.1f}", str(max(stops)),
            str(planned.cloth_days()), str(planned.moving_days()), f"{max(planned.rises(), default=0):.1f}",
            str(planned.bright_ends()), f"{planned.first_peaks():.0f}", str(planned.short_stays()))


def main() -> None:
    options = argparse.ArgumentParser()
    options.add_argument("--tree", type=Path, default=ROOT)
    tree = options.parse_args().tree.resolve()
    print("| " + " | ".join(HEAD) + " |\n|" + "---|" * len(HEAD))
    with tempfile.TemporaryDirectory() as base:
        folders = {p.name: p for p in sorted((ROOT / "scenarios").iterdir()) if p.is_dir()}
        for n, (name, garden) in enumerate(GARDENS.items()):
            folders[name] = write(Path(base) / f"g{n}", garden)
        for n, (name, folder) in enumerate(folders.items()):
            print("| " + " | ".join(row(name, Planned(tree, folder, Path(base) / f"out{n}"))) + " |", flush=True)


if __name__ == "__main__":
    main()
