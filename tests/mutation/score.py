"""How many deliberate faults in the middle the tests notice, printed by one command:

    python tests/mutation/score.py [module ...] [--every N] [--slow] [--list]

cosmic-ray's operators make the mutants: one change each to a module in a copy of the tree, never in the tree itself.
The module's tests then run in a fork of a process that has the rest loaded already, those that run the changed line
first (chosen.py; `--slow` runs them as they come). A mutant is killed by a test that fails, by an import that fails, or
by running many times longer than the tests do. Annotations, docstrings and
changes that leave the same program are no mutants. Modules are named by the end of their path ("windows",
"care/level"); without any, all of MIDDLE is tested. Of large modules every Nth mutant is taken (MIDDLE's number, or
`--every N`; `--every 1` takes all), and the line then says that it is a sample.

Survivors with a row in equivalent.csv are "explained": the row says why no test should notice them.
Needs a Unix (fork) and the "test" extra.
"""

from __future__ import annotations

import argparse
import ast
import csv
import importlib
import json
import os
import resource
import shutil
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import redirect_stdout, suppress
from dataclasses import dataclass
from datetime import date
from difflib import SequenceMatcher
from io import StringIO
from pathlib import Path

import pytest
from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.plugins import get_operator
from hypothesis import Phase, settings

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[1]))

from mutation.chosen import Only, Tests, rejoin, statement, warm  # noqa: E402

ROOT = Path(__file__).parent.parent.parent
EXPLAINED = Path(__file__).with_name("equivalent.csv")
LIBRARIES = ("numpy", "pandas", "pvlib", "seasonplan")

MIDDLE: dict[str, tuple[int, tuple[str, ...]]] = {
    "pipeline": (1, ("tests/test_pipeline.py",)),
    "dates": (1, ("tests/test_dates.py",)),
    "units": (1, ("tests/test_units.py",)),
    "wording": (1, ("tests/test_wording.py",)),
    "climate/highs": (1, ("tests/climate/test_highs.py",)),
    "decisions/windows": (1, ("tests/decisions/test_windows.py",)),
    "decisions/guesses": (1, ("tests/decisions/test_guesses.py",)),
    "climate/exposure": (1, ("tests/climate/test_exposure.py", "tests/decisions/test_windows.py")),
    "climate/crossings": (1, ("tests/climate/test_crossings.py",)),
    "climate/lowest": (3, ("tests/climate/test_lowest.py",)),
    "climate/process": (2, ("tests/climate/test_process.py", "tests/climate/test_nights.py",
                            "tests/climate/test_passage.py")),
    "decisions/route/light_rule": (1, ("tests/decisions/route/test_light_rule.py",)),
    "decisions/route/cloth": (1, ("tests/decisions/route/test_cloth.py",)),
    "decisions/route/waves": (1, ("tests/decisions/route/test_waves.py", "tests/decisions/route/test_good_summer.py")),
    "decisions/route/garden": (1, ("tests/decisions/route/test_garden.py",)),
    "decisions/route/groups": (1, ("tests/decisions/route/test_groups.py",)),
    "decisions/route/past": (1, ("tests/decisions/route/test_past.py",)),
    "decisions/route/stops": (1, ("tests/decisions/route/test_stops.py",)),
    "decisions/route/telling": (1, ("tests/decisions/route/test_telling.py",)),
    "decisions/route/compare": (1, ("tests/decisions/route/test_compare.py",)),
    "decisions/route/sharing": (2, ("tests/decisions/route/test_sharing.py",)),
    "decisions/route/aim": (3, ("tests/decisions/route/test_aim.py", "tests/decisions/route/test_search.py",
                                "tests/decisions/route/test_every_way.py")),
    "decisions/route/search": (4, ("tests/decisions/route/test_search.py", "tests/decisions/route/test_every_way.py")),
    "decisions/route/shared": (8, ("tests/decisions/route/test_shared.py",)),
    "decisions/route/choice": (2, ("tests/decisions/route/test_choice.py",)),
    "decisions/route/daily": (3, ("tests/decisions/route/test_aim.py",)),
    "decisions/arrivals": (1, ("tests/decisions/test_arrivals.py",)),
    "decisions/going": (1, ("tests/decisions/test_going.py",)),
    "decisions/lived": (1, ("tests/decisions/test_lived.py",)),
    "decisions/outings": (1, ("tests/decisions/test_outings.py",)),
    "decisions/steady": (1, ("tests/decisions/test_steady_choice.py",)),
    "deeds": (1, ("tests/cli/test_done.py",)),
    "watching": (1, ("tests/test_watching.py",)),
    "workflow": (1, ("tests/test_workflow.py",)),
    "care/things": (1, ("tests/care/test_things.py",)),
    "care/treatment": (1, ("tests/care/test_treatment.py",)),
    "care/place_by_place": (1, ("tests/care/test_place_by_place.py", "tests/care/test_things.py",
                                 "tests/care/test_workplace.py")),
    "weather/rescue": (1, ("tests/weather/test_rescue.py",)),
    "weather/standing": (1, ("tests/weather/test_standing.py",)),
    "weather/spells": (1, ("tests/weather/test_spells.py",)),
    "weather/alerts": (1, ("tests/weather/test_alerts_facts.py", "tests/weather/test_alerts.py")),
    "weather/evening": (1, ("tests/weather/test_evening_words.py", "tests/weather/test_evening.py")),
    "weather/skill": (1, ("tests/weather/test_skill.py", "tests/weather/test_outlook.py")),
    "weather/learning": (1, ("tests/weather/test_learning_exact.py", "tests/weather/test_learning.py")),
    "weather/advice": (1, ("tests/weather/test_advice.py",)),
    "weather/outlook": (1, ("tests/weather/test_outlook.py",)),
    "weather/night_hours": (1, ("tests/weather/test_night_hours.py", "tests/weather/test_gridpoints.py",
                                "tests/weather/test_locationforecast.py")),
    "climate/at_plant": (1, ("tests/climate/test_at_plant.py",)),
    "weather/danger": (1, ("tests/weather/test_danger.py", "tests/weather/test_alerts.py")),
    "model/life": (1, ("tests/model/test_life.py", "tests/decisions/test_arrivals.py",
                       "tests/inputs/test_previous.py")),
    "care/amounts": (1, ("tests/care/test_amounts.py", "tests/truth/test_pot_volumes.py")),
    "care/lifting": (1, ("tests/care/test_lifting.py", "tests/truth/test_niosh_94_110.py")),
    "care/sessions": (1, ("tests/care/test_sessions.py", "tests/care/test_level*.py")),
    "care/level": (1, ("tests/care/test_level*.py", "tests/care/test_replan.py")),
    "care/agenda": (1, ("tests/care/test_agenda.py", "tests/care/test_replan.py")),
}
"""Module of seasonplan -> (every Nth mutant is taken, its tests with the quickest first)."""

SWAPS = {"Add": "Sub", "Sub": "Add", "Mul": "Div", "Div": "Mul", "FloorDiv": "Mul", "Mod": "Add", "Pow": "Mul",
         "BitOr": "BitAnd", "BitAnd": "BitOr", "BitXor": "BitAnd", "LShift": "RShift", "RShift": "LShift"}
COMPARISONS = {"Eq": ("NotEq",), "NotEq": ("Eq",), "Is": ("IsNot",), "IsNot": ("Is",), "Lt": ("LtE", "GtE"),
               "LtE": ("Lt", "Gt"), "Gt": ("GtE", "LtE"), "GtE": ("Gt", "Lt")}
"""Each arithmetic sign is swapped for one other, each comparison denied and moved by its boundary: cosmic-ray's other
replacements (+ for ** and so on) are noticed by any test that notices these."""
OPERATORS = (
    *(f"core/ReplaceBinaryOperator_{a}_{b}" for a, b in SWAPS.items()),
    *(f"core/ReplaceComparisonOperator_{a}_{b}" for a, others in COMPARISONS.items() for b in others),
    *(f"core/ReplaceUnaryOperator_{name}" for name in ("USub_UAdd", "Delete_Invert", "Delete_Not")),
    *(f"core/{name}" for name in (
        "AddNot", "ReplaceTrueWithFalse", "ReplaceFalseWithTrue", "ReplaceAndWithOr", "ReplaceOrWithAnd",
        "ReplaceBreakWithContinue", "ReplaceContinueWithBreak", "ExceptionReplacer", "NumberReplacer",
        "RemoveDecorator", "ZeroIterationForLoop")))

LONGER, GRACE_S = 5, 3
"""A mutant may take so many times the processor time of the sound module, and so many seconds more."""
MEMORY_BYTES = 4 * 2**30


@dataclass(frozen=True)
class Mutant:
    """One changed module. line: of the change, from 1; was, becomes: that line before and after, stripped."""

    line: int
    was: str
    becomes: str
    code: str


class _Bare(ast.NodeTransformer):
    """A program without what does nothing: annotations and text that stands alone."""

    def visit_arg(self, node: ast.arg) -> ast.arg:
        node.annotation = None
        return node

    def visit_FunctionDef(self, node: ast.FunctionDef) -> ast.AST:
        node.returns = None
        return self.generic_visit(node)

    def visit_AnnAssign(self, node: ast.AnnAssign) -> ast.AST:
        node.annotation = ast.Name("_", ast.Load())
        return self.generic_visit(node)

    def visit_Expr(self, node: ast.Expr) -> ast.AST:
        return ast.Pass() if isinstance(node.value, ast.Constant) else self.generic_visit(node)


def program(code: str) -> str | None:
    """What a module does, for comparison; None when it is not Python. Type aliases (X = A | B) count as annotations."""
    try:
        tree = _Bare().visit(ast.parse(code))
    except SyntaxError:
        return None
    return ast.dump(tree)


def mutants(code: str, every: int = 1) -> list[Mutant]:
    """The mutants of a module that are another program, by line; every: of each Nth change only."""
    seen, found = {program(code), None}, []
    for changed in _changes(code, every):
        what = program(changed)
        if what not in seen:
            seen.add(what)
            found.append(_mutant(code, changed))
    return sorted(found, key=lambda m: (m.line, m.becomes, m.code))


def _changes(code: str, every: int) -> Iterator[str]:
    nodes = list(ast_nodes(get_ast(code)))
    operators = [get_operator(name)() for name in OPERATORS]
    positions = [(operator, n) for operator in operators
                 for n in range(sum(len(list(operator.mutation_positions(node))) for node in nodes))]
    for operator, n in positions[::every]:
        with suppress(AttributeError):                # an exception named by its module: the operator cannot
            yield mutate_code(code, operator, n)


def _mutant(code: str, changed: str) -> Mutant:
    before, after = code.splitlines(), changed.splitlines()
    edits = SequenceMatcher(None, before, after, autojunk=False).get_opcodes()
    _, a0, a1, b0, b1 = next(edit for edit in edits if edit[0] != "equal")
    line = next((n for n in range(a0, a1) if before[n].strip()), a0)
    becomes = next((text.strip() for text in after[b0:b1] if text.strip()), "(gone)")
    return Mutant(line + 1, before[line].strip(), becomes, changed)


def run_tests(tests: list[str], cpu_s: float | None = None, plugin: object = None) -> tuple[int, float, str]:
    """(exit code of pytest or -signal, processor seconds, text) of the tests, in a fork.

    cpu_s: it is stopped after these. text: what `said` gives of the plugin at the end of the run.
    """
    read, write = os.pipe()
    pid = os.fork()
    if pid == 0:
        try:
            code = _in_fork(tests, cpu_s, plugin)
            with os.fdopen(write, "w", encoding="utf-8") as file:
                file.write(said(plugin))
            os._exit(code)
        finally:
            os._exit(70)
    os.close(write)
    with os.fdopen(read, encoding="utf-8") as file:
        text = file.read()
    _, status, usage = os.wait4(pid, 0)
    return os.waitstatus_to_exitcode(status), usage.ru_utime + usage.ru_stime, text


def said(plugin: object) -> str:
    """What a plugin found: the test that failed, or each test's seconds and lines."""
    if isinstance(plugin, Only):
        return plugin.failed
    return json.dumps({test: [plugin.seconds[test], sorted(plugin.lines[test])] for test in plugin.seconds}) \
        if isinstance(plugin, Tests) else ""


def _in_fork(tests: list[str], cpu_s: float | None, plugin: object) -> int:
    sys.dont_write_bytecode = cpu_s is not None
    if cpu_s is not None:
        resource.setrlimit(resource.RLIMIT_CPU, (int(cpu_s) + 1, int(cpu_s) + 2))
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, 1)
        os.dup2(nowhere, 2)
    settings.register_profile("mutation", derandomize=True, database=None, deadline=None,
                              phases=(Phase.explicit, Phase.generate))
    settings.load_profile("mutation")
    rejoin()
    return int(pytest.main(["-x", "-q", "--no-header", "--tb=no", "--assert=plain", "-p", "no:cacheprovider", *tests],
                           plugins=None if plugin is None else [plugin]))


@dataclass(frozen=True)
class Score:
    """The outcome of one module."""

    module: str
    every: int  # 1: all mutants; 0: a sum of several modules
    mutants: int
    killed: int
    explained: int
    left: tuple[Mutant, ...]
    seconds: float

    def __str__(self) -> str:
        sample = f"1 in {self.every}" if self.every > 1 else "all" if self.every else ""
        return (f"{self.module:<26}{sample:>9}{self.mutants:>9}{self.killed:>8}{self.explained:>11}{len(self.left):>7}"
                f"{100 * self.killed / max(self.mutants, 1):>8.1f} %{self.seconds:>7.0f} s")


def together(scores: list[Score]) -> Score:
    """The sums of several scores."""
    return Score("together", 0, sum(s.mutants for s in scores), sum(s.killed for s in scores),
                 sum(s.explained for s in scores), sum((s.left for s in scores), ()), sum(s.seconds for s in scores))


HEADER = f"{'module':<26}{'taken':>9}{'mutants':>9}{'killed':>8}{'explained':>11}{'left':>7}{'score':>10}{'time':>9}"


def reasons(module: str) -> dict[tuple[str, str], str]:
    """equivalent.csv's reasons of a module ("*": of any), by (line, changed line)."""
    with EXPLAINED.open(encoding="utf-8", newline="") as rows:
        return {(r["line"], r["change"]): r["reason"] for r in csv.DictReader(rows) if r["module"] == module}


def score(copy: Path, module: str, every: int, patterns: list[str], slow: bool = False) -> Score:
    """Test a module's mutants in a copy of the tree. Raises SystemExit when its tests fail on the sound module."""
    start = time.monotonic()
    path = copy / "seasonplan" / f"{module}.py"
    sound = path.read_text(encoding="utf-8")
    tests = sound_run(copy, module, patterns)
    for stale in path.parent.glob(f"__pycache__/{path.stem}.*.pyc"):
        stale.unlink()
    taken = mutants(sound, every)
    alive = []
    for mutant in taken:
        path.write_text(mutant.code, encoding="utf-8")
        if survives(tests, patterns, range(0) if slow else statement(sound, mutant.line)):
            alive.append(mutant)
    path.write_text(sound, encoding="utf-8")
    _report_wrong_rows(module, taken, alive)
    known = reasons(module) | reasons("*")
    left = tuple(m for m in alive if (m.was, m.becomes) not in known)
    return Score(module, every, len(taken), len(taken) - len(alive), len(alive) - len(left), left,
                 time.monotonic() - start)


def sound_run(copy: Path, module: str, patterns: list[str]) -> Tests:
    """What the tests of a sound module run, with everything imported that does not import it."""
    name = f"seasonplan.{module.replace('/', '.')}"
    warm(copy, name)
    path = copy / "seasonplan" / f"{module}.py"
    tests = Tests(str(path))
    outcome, _, text = run_tests(patterns, plugin=tests)
    if outcome:
        raise SystemExit(f"{module}: its own tests fail (pytest ended with {outcome}); no score")
    for test, (seconds, lines) in json.loads(text).items():
        tests.seconds[test], tests.lines[test] = seconds, set(lines)
    return tests


def survives(tests: Tests, patterns: list[str], lines: range) -> bool:
    """Whether no test notices what stands in the file now; lines: which tests go first run one of these."""
    for group in tests.first(lines):
        if not group:
            continue
        outcome, _, failed = run_tests(patterns, LONGER * sum(tests.seconds[t] for t in group) + GRACE_S, Only(group))
        if outcome:
            tests.kills[failed] += bool(failed)
            return False
    return True


def _report_wrong_rows(module: str, taken: list[Mutant], alive: list[Mutant]) -> None:
    """Rows of equivalent.csv that say of a killed mutant that nothing can kill it."""
    living = {(m.was, m.becomes) for m in alive}
    for was, becomes in {(m.was, m.becomes) for m in taken} & reasons(module).keys() - living:
        print(f"{module}: equivalent.csv explains what a test kills: {was}  ->  {becomes}")


def wanted(names: list[str]) -> list[str]:
    """The modules of MIDDLE that the names end, all without names. Raises SystemExit for a name of none."""
    for name in names:
        if not any(f"/{m}".endswith(f"/{name}") for m in MIDDLE):
            raise SystemExit(f"no module of the middle is called {name}; there are: {', '.join(MIDDLE)}")
    return [m for m in MIDDLE if not names or any(f"/{m}".endswith(f"/{name}") for name in names)]


def main() -> None:
    options = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    options.add_argument("module", nargs="*")
    options.add_argument("--every", type=int, help="take every Nth mutant (else as MIDDLE says)")
    options.add_argument("--slow", action="store_true", help="run every test in its place on every mutant")
    options.add_argument("--list", action="store_true", help="only count the mutants")
    given = options.parse_args()
    modules = wanted(given.module)
    if given.list:
        for module in modules:
            print(module, len(mutants((ROOT / "seasonplan" / f"{module}.py").read_text(encoding="utf-8"))))
        return
    print(f"{date.today()}  mutants of the middle and the tests that should notice them\n{HEADER}")
    scores = []
    for found in scores_of(modules, given.every, given.slow):
        scores.append(found)
        print(found, *(f"    seasonplan/{found.module}.py:{m.line}: {m.was}  ->  {m.becomes}" for m in found.left),
              sep="\n", flush=True)
    print(together(scores))


def scores_of(modules: list[str], every: int | None, slow: bool = False) -> Iterator[Score]:
    """The scores of modules, one after the other, in one copy of the tree; every: instead of MIDDLE's."""
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder, "tree")
        shutil.copytree(ROOT, copy, ignore=shutil.ignore_patterns(".*", "__pycache__", "out", "*.egg-info"))
        _enter(copy)
        for module in modules:
            usual, patterns = MIDDLE[module]
            tests = [str(p.relative_to(copy)) for pattern in patterns for p in sorted(copy.glob(pattern))]
            yield score(copy, module, every or usual, tests, slow)
        os.chdir(ROOT)


def _enter(copy: Path) -> None:
    """Make the copy what is imported, with the libraries loaded once for all forks, and one thread each."""
    os.environ["OPENBLAS_NUM_THREADS"] = "1"
    os.chdir(copy)
    sys.path[:0] = [str(copy), str(copy / "tests")]
    os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"
    for name in LIBRARIES:
        importlib.import_module(name)
    with redirect_stdout(StringIO()):
        pytest.main(["--help"])
    where = Path(sys.modules["seasonplan"].__file__ or "").resolve()
    assert where.is_relative_to(copy.resolve()), f"the tests would import {where.parent}, not the copy"


if __name__ == "__main__":
    main()
