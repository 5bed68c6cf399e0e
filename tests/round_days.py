"""How many days of a round hold one garden, and why the others hold several.

Three gardens alike, the second and third 20 and 40 minutes away: parts of the shipped Fallowmere (invented), on
Saturdays and Sundays, seen on 1 April. Run: python tests/round_days.py [--days]
"""

from __future__ import annotations

import sys
from dataclasses import replace
from datetime import date
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from seasonplan import load_scenario  # noqa: E402
from seasonplan.model import Round, Scenario  # noqa: E402
from seasonplan.pipeline import build_round, round_of  # noqa: E402

ROWS = ("Big lemon", "Hallway ficus", "Rubber plant", "Window pothos", "Snake plants", "Boston fern")
MOVES = ("move-out", "move", "move-in", "cloth", "secure-wind")
TODAY = date(2027, 4, 1)


def gardens() -> list[Scenario]:
    """The three of them."""
    whole = load_scenario(ROOT / "scenarios" / "fallowmere")
    plants = tuple(replace(p, pests="none", last_leached=None) for p in whole.plants if p.name in ROWS)
    return [replace(whole, plants=plants, site=replace(whole.site, name=f"Garden {n}", travel_minutes=20 * n))
            for n in range(3)]


def round_made() -> Round:
    """Their round."""
    return round_of(build_round(gardens(), [TODAY] * 3))


def shared_days(made: Round) -> tuple[int, int, int]:
    """(days, days with several gardens, of these days on which more than one garden moves plants)."""
    several = [day for day in made.days if len(day.gardens) > 1]
    moving = [day for day in several if sum(any(s.kind in MOVES for s in steps) for _, steps in day.gardens) > 1]
    return len(made.days), len(several), len(moving)


def main(arguments: list[str]) -> None:
    made = round_made()
    days, several, moving = shared_days(made)
    print(f"{days} days, {several} with several gardens, {moving} of them with moves in more than one; "
          f"{sum(day.minutes for day in made.days) / 60:.1f} h, "
          f"{sum(day.travel_min for day in made.days) / 60:.1f} h of it on the way")
    for day in made.days if "--days" in arguments else ():
        told = "; ".join(f"{name[-1]}: " + ", ".join(f"{s.kind} {s.minutes}" for s in steps)
                         for name, steps in day.gardens)
        print(f"{day.date:%a %d %b} {day.minutes:4d}  {told}")


if __name__ == "__main__":
    main(sys.argv[1:])
