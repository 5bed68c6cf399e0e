"""The command line as a whole: help, version, wrong commands, and what stays light."""

import subprocess
import sys

import pytest
from click.testing import CliRunner

from seasonplan import __version__
from seasonplan.cli import COMMANDS, main


def run(*args: str):
    return CliRunner().invoke(main, list(args))


def test_help_names_every_command_and_fits_80_columns():
    text = run("--help").output
    assert all(name in text for name in COMMANDS)
    assert max(map(len, text.splitlines())) <= 80


@pytest.mark.parametrize("command", COMMANDS)
def test_each_command_helps_with_an_example(command):
    result = run(command, "--help")
    assert result.exit_code == 0 and "Example" in result.output and f"seasonplan {command}" in result.output
    assert max(map(len, result.output.splitlines())) <= 80


def test_version():
    assert run("--version").output.strip().endswith(__version__)


def test_a_wrong_command_gets_the_nearest_one():
    result = run("plam", "somewhere")
    assert result.exit_code == 2 and "Did you mean plan?" in result.output


def test_a_wrong_folder_gets_the_nearest_one(tmp_path):
    (tmp_path / "garden").mkdir()
    result = run("check", str(tmp_path / "gardn"))
    assert result.exit_code == 2 and "garden" in result.output and "Did you mean" in result.output


def test_all_folders_are_read_before_any_fault_is_told(tmp_path):
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "scenario.toml").write_text("[site]\nnam = 'x'\n")
    result = run("plan", str(tmp_path / "one"), str(tmp_path / "two"), str(tmp_path / "three"))
    assert result.exit_code == 2
    assert all(f"{tmp_path / n}" in result.output for n in ("one", "two", "three"))
    assert not (tmp_path / "one" / "out").exists()


def test_help_and_import_load_nothing_heavy():
    code = ("import sys, seasonplan; from seasonplan.cli import main\n"
            "try: main(['plan', '--help'])\nexcept SystemExit: pass\n"
            "heavy = {'numpy', 'pandas', 'pvlib', 'matplotlib', 'icalendar', 'jinja2', 'rich', 'requests'}\n"
            "print(sorted(heavy & set(sys.modules)))")
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip().endswith("[]")


def test_python_dash_m_runs_the_same_program():
    done = subprocess.run([sys.executable, "-m", "seasonplan", "--version"], capture_output=True, text=True, check=True)
    assert __version__ in done.stdout
