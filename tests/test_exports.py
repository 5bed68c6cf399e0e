"""What the package gives to somebody's own program: every name is there, typed, and imported only when asked for."""

import subprocess
import sys
from pathlib import Path

import pytest

import seasonplan

ROOT = Path(seasonplan.__file__).parents[1]
USER = '''
from datetime import date

from seasonplan import InputFaults, Plan, Scenario, Step, build_plan, load_scenario

def soon(plan: Plan, day: date) -> list[Step]:
    return [step for step in plan.steps if step.date >= day]

try:
    scenario: Scenario = load_scenario("my-garden")
except InputFaults as error:
    print(error.faults[0].file, error.faults[0].line)
else:
    plan = build_plan(scenario, date(2027, 4, 1))
    for plant in plan.plants:
        print(plant.plant.name, plant.status, plant.out.date, [stop.place for stop in plant.route])
    print(soon(plan, plan.today)[0].title, scenario.rules.policy, scenario.site.latitude_deg)
'''
SLIPS = {"import Scenario2": 'from seasonplan import Scenario2\n', "plan.plant": "plan.plant\n",
         "step.titel": "plan.steps[0].titel\n", "site.latitude": "scenario.site.latitude\n",
         "a text for a date": 'build_plan(scenario, "2027-04-01")\n', "route.place": "plan.plants[0].route.place\n"}
HEAVY = ("numpy", "pandas", "pvlib", "icalendar", "click", "jinja2", "requests")


@pytest.mark.parametrize("name", seasonplan.__all__)
def test_every_name_is_there(name):
    assert getattr(seasonplan, name) is not None


def test_a_name_that_is_not_there_is_an_attribute_error():
    with pytest.raises(AttributeError, match="has no attribute 'plam'"):
        _ = seasonplan.plam
    with pytest.raises(AttributeError):
        _ = seasonplan.Edge  # a name of the model that is not promised


def test_the_import_stays_light():
    code = f"import sys, seasonplan; print([n for n in {HEAVY} if n in sys.modules])"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout == "[]\n"


def test_a_user_s_own_file_is_checked_strictly(tmp_path, monkeypatch):
    """mypy --strict finds nothing in a right file and every slip in a wrong one (one run for both)."""
    pytest.importorskip("mypy")
    (tmp_path / "right.py").write_text(USER)
    lines = len(USER.splitlines())
    (tmp_path / "wrong.py").write_text(USER + "".join(f"    {line}" for line in SLIPS.values()))
    monkeypatch.setenv("PYTHONPATH", str(ROOT))
    monkeypatch.chdir(tmp_path)
    done = subprocess.run([sys.executable, "-m", "mypy", "--strict", "--cache-dir", str(ROOT / ".mypy_cache" / "user"),
                           "right.py", "wrong.py"], capture_output=True, text=True, check=False)
    assert "right.py" not in done.stdout, done.stdout
    told = {int(line.split(":")[1]) for line in done.stdout.splitlines() if line.startswith("wrong.py:")}
    assert told == set(range(lines + 1, lines + 1 + len(SLIPS))), done.stdout
