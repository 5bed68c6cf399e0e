"""What the README shows is what happens: its Python example, its scenario, its commands and its numbers of commands."""

import re
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner

from seasonplan.cli import COMMANDS, main

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


def blocks(language: str) -> list[str]:
    fences = re.findall(r"^```(\w*)\n(.*?)^```$", README, re.M | re.S)
    return [text for name, text in fences if name == language]


def test_python_example_runs(monkeypatch, capsys):
    monkeypatch.chdir(ROOT)
    (code,) = blocks("python")
    exec(compile(code, "README.md", "exec"), {})
    printed = capsys.readouterr().out
    assert printed.startswith("Big lemon moves 2027-05-") and "citrus-x-limon" in printed and "move  " in printed


def test_the_example_folder_plans(tmp_path):
    (toml,) = blocks("toml")
    plants = next(b for b in blocks("") if b.startswith("name,taxon"))
    normals = next(b for b in blocks("") if b.startswith("month,tmin_c"))
    lows = (0, 4, 8, 11, 13, 13, 10, 6, 1, -3)
    months = normals + "".join(f"{m},{t},4.5,{t + 9},5\n" for m, t in enumerate(lows, 3))
    for name, text in {"scenario.toml": toml, "plants.csv": plants, "normals.csv": months}.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    result = CliRunner().invoke(main, ["plan", str(tmp_path), "--no-page", "--today", "2027-04-01"])
    assert result.exit_code == 0, result.output
    assert "Hall fig" in result.output and "Pothos by the stairs" in result.output


def test_two_commands_set_everything_up_from_a_plain_python():
    lines = [line for line in README.splitlines() if line.startswith("python3 -m venv")]
    assert len(lines) == 3 and "seasonplan plan scenarios/" in lines[0] and "pytest" in lines[1]


def test_two_commands_make_a_calendar_of_ones_own_town(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    [block] = [block for block in blocks("") if "--town" in block and "python3 -m venv" in block]
    for command in re.findall(r"/seasonplan (.*)$", block, re.MULTILINE):
        result = CliRunner().invoke(main, [*shlex.split(command), "--today", "2027-03-01"])
        assert result.exit_code == 0, result.output
    assert "pothos" in (tmp_path / "mine" / "out" / "calendar.ics").read_text(encoding="utf-8")


@pytest.mark.parametrize("line", [line for block in blocks("") for line in block.splitlines()
                                  if line.startswith("seasonplan ")])
def test_every_command_shown_exists_with_its_options(line):
    words = shlex.split(line, comments=True)
    assert words[1] in COMMANDS
    known = CliRunner().invoke(main, [words[1], "--help"]).output
    assert all(option in known for option in words if option.startswith("-"))


def test_the_first_paragraph_is_the_job():
    first = README.split("\n\n")[1]
    assert all(word in first for word in ("out", "scorch", "flush salts", "rescue", "comes in", "location", "calendar"))
