"""Command lines that a slip, a script or a stranger makes: each is told what it says, and nothing in it is obeyed."""

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from seasonplan.cli import main

pytestmark = pytest.mark.usefixtures("remembered_plans")

SHIPPED = Path(__file__).parent.parent.parent / "scenarios" / "fallowmere"
NASTY = "gar\x1b[31mden\u202e\x07"
TOLD = "gar\\x1b[31mden\\u202e\\x07"


def run(*args, exit_code=2):
    result = CliRunner().invoke(main, [str(a) for a in args])
    assert result.exit_code == exit_code, result.output
    return result.output


def raw(text: str) -> set[str]:
    return set(text) & {"\x1b", "\u202e", "\x07"}


@pytest.mark.parametrize("args", [
    (NASTY,), ("plan", NASTY), ("check", "x", NASTY), ("nights", NASTY), ("start", "x", "--time", NASTY),
    ("plan", "x", "--" + NASTY), ("plan", "x", "--today", NASTY), ("nights", "x", "-t", NASTY), ("plan", NASTY, NASTY),
    ("done", NASTY, NASTY), ("watch", SHIPPED, "--today", "2027-05-01", "--forecast", NASTY)])
def test_escapes_and_direction_marks_are_written_out(args, monkeypatch):
    output = run(*args)
    assert not raw(output) and "den\\u202e" in output


def test_a_folder_with_such_a_name_works_and_its_name_is_written_out(tmp_path):
    folder = tmp_path / NASTY
    shutil.copytree(SHIPPED, folder)
    (folder / f"{NASTY}.csv").write_text("date,tmin_c\n2027-05-02,15\n")
    for args in (("check", folder), ("plan", folder, "--no-page", "--today", "2027-05-01"),
                 ("watch", folder, "--today", "2027-05-01", "--forecast", folder / f"{NASTY}.csv")):
        assert not raw(run(*args, exit_code=0)), args
    assert TOLD in run("check", folder, exit_code=0).replace("\n", "")


@pytest.mark.parametrize("day", ["0001-01-01", "1949-12-31", "2200-01-01", "9999-12-31"])
def test_a_day_too_far_away_is_refused_with_the_reason(day):
    output = run("plan", SHIPPED, "--today", day)
    assert f"{day} is too far away" in output and "allowed: 1950-01-01 to 2199-12-31" in " ".join(output.split())


@pytest.mark.parametrize("day", ["1950-01-01", "2199-12-31"])
def test_the_first_and_last_day_are_planned(day, tmp_path):
    shutil.copytree(SHIPPED, tmp_path / "garden")
    toml = tmp_path / "garden" / "scenario.toml"
    toml.write_text("\n".join(line for line in toml.read_text().splitlines() if not line.startswith("year")))
    assert "season of" in run("plan", tmp_path / "garden", "--no-page", "--today", day, exit_code=0)


@pytest.mark.parametrize("name", ["", "  "])
@pytest.mark.parametrize("command", [["plan"], ["check"], ["nights"], ["watch"], ["start"]])
def test_an_empty_name_is_not_the_folder_one_is_in(command, name, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert "the name of the folder is empty" in run(*command, name)
    assert list(tmp_path.iterdir()) == []


def test_the_same_folder_twice_and_a_file_for_a_folder(tmp_path):
    shutil.copytree(SHIPPED, tmp_path / "a")
    assert "the same folder twice" in run("plan", tmp_path / "a", f"{tmp_path}/b/../a")
    assert "the same folder twice" in run("watch", tmp_path / "a", tmp_path / "a")
    for command in (("plan",), ("check",), ("nights",), ("light",), ("watch",)):
        assert "it is a file, not a folder" in run(*command, tmp_path / "a" / "plants.csv")
    assert not (tmp_path / "a" / "out").exists()


def test_a_calendar_with_odd_digits_in_our_own_mark_is_merged(tmp_path):
    shutil.copytree(SHIPPED, tmp_path / "garden")
    plan = ("plan", tmp_path / "garden", "--no-page", "--today", "2027-05-01", "--quiet")
    run(*plan, exit_code=0)
    path = tmp_path / "garden" / "out" / "calendar.ics"
    clean = path.read_bytes()
    odd = "".join(f"X-SEASONPLAN-{name}:{value}\r\n" for name in ("LEFT-OUT", "ODD") for value in
                  ("²", "2027-x-²", "²027-x-1", "2027-x-99999999999999999999", "", "-"))
    path.write_bytes(clean.replace(b"VERSION:2.0\r\n", b"VERSION:2.0\r\n" + odd.encode()))
    run(*plan, exit_code=0)
    assert set(clean.splitlines()) <= set(path.read_bytes().splitlines())


@pytest.mark.parametrize("level", ["nan", "1e400", "1e400f"])
def test_a_level_that_is_no_number_is_not_taken_for_fahrenheit(level):
    output = run("nights", SHIPPED, "-t", level)
    assert "allowed -70 to 45" in " ".join(output.split()) and "Did you mean" not in output
