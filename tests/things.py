"""Things and hours that a plan asks for in each month, and in how many days of work. A thing is what a person does in
one go: see seasonplan/care/things.py.

What may be left out counts, and is also counted alone. Run: python tests/things.py [FOLDER ...] [--kinds]
(the shipped gardens seen on 1 March when none is named; --kinds: how many steps of each kind)
"""

from __future__ import annotations

import sys
from calendar import month_abbr
from collections import Counter
from datetime import date
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from seasonplan import build_plan, load_scenario  # noqa: E402
from seasonplan.model import Plan  # noqa: E402


def row(plan: Plan) -> str:
    """One row of the table: things / hours by month, and both in all."""
    months = {load.first.month: f"{load.things} / {load.minutes / 60:.1f}" for load in plan.months}
    things, hours = _things(plan, False), sum(step.minutes for step in plan.steps) / 60
    spare, days = things - _things(plan, True), len({step.date for step in plan.steps})
    spare_hours = sum(step.minutes for step in plan.steps if step.optional) / 60
    return (f"| {plan.scenario.site.name} | " + " | ".join(months.get(month, "-") for month in range(1, 13))
            + f" | {things} / {hours:.1f} | {spare} / {spare_hours:.1f} | {days} | {len(plan.steps)} |")


def _things(plan: Plan, without_spare: bool) -> int:
    return len({step.thing for step in plan.steps if step.minutes and not (without_spare and step.optional)})


def main(arguments: list[str]) -> None:
    """Print the table."""
    folders = [Path(each) for each in arguments if not each.startswith("--")] or sorted((ROOT / "scenarios").iterdir())
    print("| garden | " + " | ".join(month_abbr[1:])
          + " | year | if there is time | days | steps |")
    print("|---" * 17 + "|")
    for folder in folders:
        scenario = load_scenario(folder)
        plan = build_plan(scenario, date(2027, 3, 1))
        print(row(plan))
        if "--kinds" in arguments:
            print(", ".join(f"{kind} {n}" for kind, n in Counter(step.kind for step in plan.steps).most_common()))


if __name__ == "__main__":
    main(sys.argv[1:])
