"""Printing ends well: whatever the code page, with a reader that has gone, on a full disk, with nowhere to print to."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

GARDEN = Path(__file__).parents[2] / "scenarios" / "fallowmere"
COLD = "date,tmin_c\n2027-06-12,3\n2027-06-13,2\n2027-06-14,4\n"
WATCH = ("watch", "--forecast", "cold.csv", "--today", "2027-06-12")
PLAN = ("plan", "--no-page", "--today", "2027-06-12")


@pytest.fixture(scope="module")
def garden(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("printing")
    shutil.copytree(GARDEN, folder / "garden")
    toml = folder / "garden" / "scenario.toml"
    toml.write_text(toml.read_text().replace('"Fallowmere', '"Fallowmere \u0141\u0105ka \u6f22', 1), encoding="utf-8")
    rows = (folder / "garden" / "plants.csv").read_text(encoding="utf-8").splitlines(keepends=True)
    (folder / "garden" / "plants.csv").write_text("".join(rows[:4]), encoding="utf-8")
    (folder / "cold.csv").write_text(COLD)
    return folder


def run(garden: Path, command, out=subprocess.PIPE, shell_tail: str = "", **environment):
    words = [sys.executable, "-m", "seasonplan", command[0], "garden", *command[1:]]
    keep = {k: v for k, v in os.environ.items() if k not in ("PYTHONIOENCODING", "PYTHONUTF8")}
    keep |= {"PYTHONPATH": str(GARDEN.parents[1]), "COLUMNS": "80"} | environment
    if shell_tail:
        words = ["bash", "-c", f'"$@" {shell_tail}; exit "${{PIPESTATUS[0]}}"', "bash", *words]
    return subprocess.run(words, cwd=garden, env=keep, stdout=out, stderr=subprocess.PIPE, timeout=60)


@pytest.mark.parametrize(("page", "command", "code"), [("cp437", PLAN, 0), ("cp1252", WATCH, 10), ("ascii", PLAN, 0)],
                         ids=["cp437-plan", "cp1252-watch", "ascii-plan"])
def test_any_code_page_gets_the_whole_answer(garden, page, command, code):
    done = run(garden, command, PYTHONIOENCODING=page)
    assert (done.returncode, done.stderr) == (code, b"")
    text = done.stdout.decode("utf-8" if page == "ascii" else page)    # click itself takes UTF-8 for ASCII
    assert "Fallowmere" in text and ("Next: " in text or command is WATCH)
    if page != "ascii":
        assert "?" in text and "Laka" in text, "an L with a stroke goes to L, what no letter stands for to a ?"


@pytest.mark.parametrize(("command", "code"), [((*PLAN, "--all"), 0), (WATCH, 10)], ids=["plan", "watch"])
def test_a_reader_that_goes_does_no_harm(garden, command, code):
    done = run(garden, command, shell_tail="| head -c 0")
    assert (done.returncode, done.stderr) == (code, b"")


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="there is no /dev/full here")
def test_a_full_disk_is_told_and_the_files_still_stand(garden):
    with open("/dev/full", "wb") as full:
        done = run(garden, PLAN, out=full)
    assert done.returncode == 2 and b"could not be printed (No space left on device)" in done.stderr
    assert b"Traceback" not in done.stderr and (garden / "garden" / "out" / "plan.json").exists()


def test_a_closed_output_is_no_fault(garden):
    done = run(garden, WATCH, shell_tail=">&-")
    assert (done.returncode, done.stderr) == (10, b"")
