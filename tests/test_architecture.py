"""The import table of DEVELOPERS.md as a test: who may import whom, who may open files, print, and read the clock."""

import ast
import re
from collections import defaultdict
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "seasonplan"
BASE = {"errors", "units", "dates", "wording", "model", "data"}
MAY_IMPORT = {
    "errors": set(), "units": {"errors"}, "dates": {"errors"}, "wording": {"units", "dates"}, "data": set(),
    "model": {"errors", "units", "dates"}, "atlas": BASE, "inputs": BASE | {"atlas"}, "climate": BASE, "sky": BASE,
    "decisions": BASE | {"climate", "sky"}, "care": BASE | {"climate"}, "weather": BASE | {"climate", "inputs"},
    "outputs": BASE | {"climate"},
    "pipeline": BASE | {"climate", "sky", "decisions", "care"}, "files": BASE | {"inputs"},
    "deeds": BASE | {"care", "inputs"},
    "workflow": BASE | {"deeds", "files", "pipeline", "outputs", "weather", "inputs"},
    "watching": BASE | {"files", "outputs", "weather", "workflow"},
    "cli": BASE | {"atlas", "climate", "sky", "weather", "outputs", "inputs", "files", "pipeline", "care", "decisions",
                   "deeds", "workflow", "watching", "serve"},
    "serve": BASE | {"inputs", "files", "deeds", "workflow", "outputs"},
}
FILES = sorted(p for p in PACKAGE.rglob("*.py") if p.name != "__main__.py" and p.parent != PACKAGE or
               p.stem in MAY_IMPORT)


def room_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imports_of(tree: ast.AST):
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module:
            names = [f"{node.module}.{alias.name}" for alias in node.names] if node.module == "seasonplan" else \
                [node.module]
            yield from names
        elif isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)


def test_every_module_is_in_a_known_room():
    assert len(FILES) > 40 and {room_of(p) for p in FILES} <= set(MAY_IMPORT)


@pytest.mark.parametrize("path", FILES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_rooms_import_only_what_they_may(path):
    room = room_of(path)
    allowed = MAY_IMPORT[room] | {room, "__version__"}
    wrong = [name for name in imports_of(ast.parse(path.read_text(encoding="utf-8")))
             if name.startswith("seasonplan.") and name.split(".")[1] not in allowed]
    assert not wrong


@pytest.mark.parametrize("path", FILES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_edges_stay_at_the_edge(path):
    room = room_of(path)
    calls = {ast.unparse(node.func) for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
             if isinstance(node, ast.Call)}
    if room != "files":
        assert not calls & {"open", "os.replace", "os.open"}
    if room != "cli":
        assert not calls & {"print", "click.echo"}
        assert not {c for c in calls if c.endswith((".now", ".utcnow", ".today")) or c == "time.time"}


@pytest.mark.parametrize("path", FILES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_only_the_door_knows_the_network(path):
    names = set(imports_of(ast.parse(path.read_text(encoding="utf-8"))))
    heavy = {n.split(".")[0] for n in names} & {"requests", "requests_cache", "urllib3", "socket", "http"}
    assert not heavy or path.name in ("door.py", "bounds.py") and room_of(path) == "weather" or \
        heavy == {"socket"} and path.name == "serve.py" and room_of(path) == "cli", "which listens, on this machine"


@pytest.mark.parametrize("path", FILES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_only_the_live_page_needs_its_extra(path):
    names = {n.split(".")[0] for n in imports_of(ast.parse(path.read_text(encoding="utf-8")))}
    assert not names & {"starlette", "uvicorn", "segno"} or room_of(path) == "serve" or path.name == "serve.py"


def test_modules_stay_short():
    long = {str(p.relative_to(PACKAGE)): n for p in FILES if (n := p.read_text(encoding="utf-8").count("\n")) > 400}
    assert not long


FROM_OUTSIDE = {
    "list_commands", "get_command", "resolve_command", "make_context", "invoke", "parse_args",   # click calls them
    "to_frame", "steps_frame",                                                     # promised in README.md
    "pack"}                                                                        # tests/atlas/build.py writes with it
"""Functions that nothing in the package calls, and who does."""


def test_nothing_in_the_package_is_for_tests_only():
    """Every function, class and constant of a module is used in another place of the package, or exported."""
    trees = {path: ast.parse(path.read_text(encoding="utf-8")) for path in PACKAGE.rglob("*.py")}
    templates = " ".join(path.read_text(encoding="utf-8") for path in PACKAGE.rglob("*.j2"))
    exported = set(re.findall(r'"(\w+)"', (PACKAGE / "__init__.py").read_text(encoding="utf-8")))
    free = set(re.findall(r"\w+", templates)) | exported | FROM_OUTSIDE
    used = [(node.id if isinstance(node, ast.Name) else node.attr, path, node.lineno)
            for path, tree in trees.items() for node in ast.walk(tree)
            if isinstance(node, ast.Attribute) or isinstance(node, ast.Name) and not isinstance(node.ctx, ast.Store)]
    where = defaultdict(list)
    for name, path, line in used:
        where[name].append((path, line))
    idle = []
    for path, tree in trees.items():
        for node in ast.walk(tree):
            if isinstance(node, (ast.FunctionDef, ast.ClassDef)) and not node.name.startswith("__") and not any(
                    "command" in ast.unparse(each) for each in node.decorator_list):
                idle += [(path, node.name)] * all(
                    at == path and node.lineno <= line <= node.end_lineno for at, line in where[node.name])
        idle += [(path, name.id) for node in tree.body if isinstance(node, ast.Assign) for name in node.targets
                 if isinstance(name, ast.Name) and not where[name.id] and not name.id.startswith("__")]
    assert [f"{path.relative_to(PACKAGE)}: {name}" for path, name in idle if name not in free] == []
