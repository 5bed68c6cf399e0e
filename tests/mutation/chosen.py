"""What makes a score quick and changes none: warm imports, and first the tests that run the changed line.

A mutant is tested in a fork of a process that has imported everything but the mutated module and whatever imports that
(by any way, from within a function too), so the mutated file is read anew and nothing holds the sound one.
The tests that run a line of the changed statement go first, those that killed before at their head; when all of these
pass, the others run in a fork of their own. So every test runs on a survivor, as it would without any of this.
"""

from __future__ import annotations

import ast
import gc
import importlib
import sys
import threading
from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from time import process_time
from types import FrameType
from typing import Any

import pytest


def imports(path: Path, name: str) -> set[str]:
    """Modules that a file names in imports anywhere in it, with the packages above them. name: of its own module."""
    found: set[str] = set()
    package = name if path.name == "__init__.py" else name.rpartition(".")[0]
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = ".".join(package.split(".")[:len(package.split(".")) + 1 - node.level]) if node.level else ""
            base = ".".join(each for each in (base, node.module) if each)
            found |= {base} | {f"{base}.{alias.name}" for alias in node.names}
    return found | {".".join(each.split(".")[:n]) for each in found for n in range(1, each.count(".") + 1)}


def modules(tree: Path) -> dict[str, Path]:
    """The program's modules by name, and the tests' own helpers."""
    found = {}
    for base in (tree, tree / "tests"):
        for path in sorted((tree / "seasonplan").rglob("*.py") if base == tree else base.glob("*.py")):
            parts = path.relative_to(base).with_suffix("").parts
            found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return found


def touched(tree: Path, module: str) -> set[str]:
    """A module and all that import it, directly or by others. A package that only contains one does not import it."""
    named = {name: imports(path, name) for name, path in modules(tree).items()}
    found, more = set(), {module}
    while more:
        found |= more
        more = {name for name, others in named.items() if others & more} - found
    return found


def warm(tree: Path, module: str) -> None:
    """Import the program but for a module and what imports it; of these nothing stays imported."""
    apart = touched(tree, module)
    for name in modules(tree):
        if name.startswith("seasonplan") and name not in apart and "__main__" not in name:
            importlib.import_module(name)
    for name in [each for each in sys.modules if each in apart]:
        package, _, last = name.rpartition(".")
        del sys.modules[name]
        if package in sys.modules and hasattr(sys.modules[package], last):
            delattr(sys.modules[package], last)
    assert not apart & sys.modules.keys(), apart & sys.modules.keys()
    gc.unfreeze()
    gc.collect()
    gc.freeze()                    # else each fork walks over all of this more than once


def rejoin() -> None:
    """In the fork: packages that were let go of are imported again and have what stayed of them as attributes."""
    for name in sorted(each for each in sys.modules if each.startswith("seasonplan.")):
        package, _, last = name.rpartition(".")
        above = importlib.import_module(package)
        if not hasattr(above, last):
            setattr(above, last, sys.modules[name])


@dataclass
class Tests:
    """The tests of a module: what each runs, and which killed. Also a pytest plugin that writes that down.

    lines: test -> lines of the module that it runs; seconds: of the processor, with its fixtures.
    """

    file: str
    lines: dict[str, set[int]] = field(default_factory=lambda: defaultdict(set))
    seconds: Counter[str] = field(default_factory=Counter)
    kills: Counter[str] = field(default_factory=Counter)

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item, nextitem: pytest.Item | None) -> Any:
        ran = self.lines[item.nodeid]

        def line(frame: FrameType, event: str, _: object) -> Any:
            ran.add(frame.f_lineno)
            return line

        def call(frame: FrameType, event: str, _: object) -> Any:
            return line if frame.f_code.co_filename == self.file else None

        begun = process_time()
        sys.settrace(call)
        threading.settrace(call)
        try:
            return (yield)
        finally:
            sys.settrace(None)
            threading.settrace(None)    # type: ignore[arg-type]
            self.seconds[item.nodeid] = process_time() - begun

    def first(self, lines: range) -> tuple[list[str], list[str]]:
        """(tests that run one of the lines, the others), the likeliest to kill and the quickest first."""
        order = sorted(self.seconds, key=lambda test: (-self.kills[test], self.seconds[test]))
        running = [test for test in order if not lines or self.lines[test] & set(lines)]
        return running, [test for test in order if test not in set(running)]


@dataclass
class Only:
    """A pytest plugin: runs these tests in this order, and says which failed."""

    wanted: Iterable[str]
    failed: str = ""

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        known = {item.nodeid: item for item in items}
        items[:] = [known[test] for test in self.wanted if test in known]

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed and not self.failed:
            self.failed = report.nodeid


def statement(code: str, line: int) -> range:
    """Lines of the innermost statement a line is part of (of one with a body: of its head); none outside functions.

    What stands outside functions runs when the module is imported: any test may notice it.
    """
    best, inside = range(0), False
    for node in ast.walk(ast.parse(code)):
        if isinstance(node, ast.FunctionDef) and node.body[0].lineno <= line <= (node.end_lineno or 0):
            inside = True
        if isinstance(node, ast.stmt):
            body = getattr(node, "body", None)
            last = node.end_lineno if not body else max(body[0].lineno - 1, node.lineno)
            lines = range(node.lineno, (last or 0) + 1)
            if line in lines and (not best or len(lines) <= len(best)):
                best = lines
    return best if inside else range(0)
