"""`start`: the same answers through a terminal and through options give the same folder, and it plans."""

import os
import pty
import select
import subprocess
import sys

import pytest
from click.testing import CliRunner

from seasonplan.cli import main
from seasonplan.cli.answers import place_from_text, plant_from_text, read_normals

LOWS = "-12,-10.5,-5,1,7.5,12.8,15.5,14.4,9.2,3.2,-3,-9"
OPTIONS = [
    "--name", "Invented nook", "--latitude", "44.5", "--longitude", "-93", "--elevation", "250",
    "--timezone", "America/Chicago", "--units", "metric", "--policy", "carry-in", "--move-days", "sat,sun",
    "--minutes", "120", "--no-children", "--pets", "--normals", LOWS,
    "--place", "south window: indoor, faces=south, window_width_m=1.2, window_height_m=1.2, distance_m=0.5, "
    "curtain=none",
    "--place", "porch: outdoor, faces=east, wall_behind=yes, roof_deg=55.0, room_for=6",
    "--plant", "Hall fig: ficus-elastica, count=1, pot=30, place=south window",
    "--plant", "pothos: epipremnum-aureum, count=2, pot=17, place=south window",
]
TYPED = ["metric", "Invented nook", "44.5", "-93", "250", "America/Chicago", LOWS, "carry-in", "sat,sun", "120",
         "n", "y",
         "south window", "south", "1.2", "1.2", "0.5", "none", "",
         "porch", "y", "east", "y", "55", "n", "6", "",
         "ficus elastica", "Hall fig", "1", "30", "golden pothos", "pothos", "2", "17", ""]


def files(folder):
    return {p.name: p.read_bytes() for p in folder.iterdir() if p.is_file()}


def typed_through_a_terminal(folder, lines) -> str:
    """Run `start` on a pseudo-terminal, one answer per prompt; everything it printed."""
    ours, theirs = pty.openpty()
    child = subprocess.Popen([sys.executable, "-m", "seasonplan", "start", str(folder)], stdin=theirs, stdout=theirs,
                             stderr=theirs, close_fds=True)
    os.close(theirs)
    printed, waiting = b"", list(lines)
    while True:
        ready, _, _ = select.select([ours], [], [], 30)
        try:
            piece = os.read(ours, 4096) if ready else b""
        except OSError:
            break
        if not piece:
            break
        printed += piece
        if waiting and printed.endswith(b": "):
            os.write(ours, waiting.pop(0).encode() + b"\n")
            printed += b"|"
    child.wait(30)
    os.close(ours)
    assert not waiting, (waiting, printed.decode())
    return printed.decode()


def test_terminal_and_options_give_the_same_folder_and_it_plans(tmp_path):
    printed = typed_through_a_terminal(tmp_path / "typed", TYPED)
    assert "Next: seasonplan plan" in printed
    result = CliRunner().invoke(main, ["start", str(tmp_path / "given"), "--no-ask", *OPTIONS])
    assert result.exit_code == 0, result.output
    assert files(tmp_path / "typed") == files(tmp_path / "given")
    planned = CliRunner().invoke(main, ["plan", str(tmp_path / "given"), "--today", "2027-04-01", "--no-page"])
    assert planned.exit_code == 0 and (tmp_path / "given" / "out" / "calendar.ics").exists(), planned.output


def test_it_never_overwrites(tmp_path):
    (tmp_path / "plants.csv").write_text("mine")
    result = CliRunner().invoke(main, ["start", str(tmp_path), "--no-ask", *OPTIONS])
    assert result.exit_code == 2 and "already there" in result.output
    assert files(tmp_path) == {"plants.csv": b"mine"}


def test_wrong_answers_leave_no_folder(tmp_path):
    wrong = [a.replace("ficus-elastica", "no such plant") for a in OPTIONS]
    result = CliRunner().invoke(main, ["start", str(tmp_path / "new"), "--no-ask", *wrong])
    assert result.exit_code == 2 and "no such plant" in result.output and not (tmp_path / "new").exists()


def test_a_missing_answer_names_its_option(tmp_path):
    result = CliRunner().invoke(main, ["start", str(tmp_path / "new"), "--no-ask", "--latitude", "44"])
    assert result.exit_code == 2 and "--longitude" in result.output


def test_imperial_answers_are_written_in_their_units(tmp_path):
    options = [a for a in OPTIONS]
    options[options.index("metric")] = "imperial"
    options[options.index(LOWS)] = "10,13,23,34,45,55,60,58,48,38,27,16"
    result = CliRunner().invoke(main, ["start", str(tmp_path / "new"), "--no-ask", *options])
    assert result.exit_code == 0, result.output
    assert "tmin_f" in (tmp_path / "new" / "normals.csv").read_text()
    assert "pot_in" in (tmp_path / "new" / "plants.csv").read_text()
    assert "elevation_m = 76.2" in (tmp_path / "new" / "scenario.toml").read_text()


def test_normals_may_be_a_file(tmp_path):
    (tmp_path / "table.csv").write_text("month,tmin_c\n" + "".join(f"{n},{n}\n" for n in range(1, 13)))
    assert read_normals(str(tmp_path / "table.csv")).startswith(b"month,tmin_c")
    assert read_normals("https://example.org/t.csv") == "https://example.org/t.csv"
    assert len(read_normals(LOWS)) == 12 and len(read_normals(LOWS.replace(",", " "))) == 12


@pytest.mark.parametrize("text", ["porch", "porch: ", ": outdoor", "porch: outdoor, faces"])
def test_unreadable_places_and_plants_are_refused(text):
    import click

    with pytest.raises(click.UsageError):
        place_from_text(text)
    with pytest.raises(click.UsageError):
        plant_from_text(text)
