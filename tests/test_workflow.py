"""What a command does with folders: the race of two runs, events saved meanwhile, several folders all or none."""

from __future__ import annotations

import threading
from datetime import date
from pathlib import Path

import pytest
from invented_files import NORMALS, PLACES, PLANTS, SITE, ZONE, texts
from one_folder import plan_folder, watch_folder

from seasonplan import workflow
from seasonplan.errors import InputFaults, OutputBlocked
from seasonplan.files import sets
from seasonplan.weather.sources import read_forecast

APRIL, JUNE = date(2027, 4, 1), date(2027, 6, 20)
OWN = (b"BEGIN:VEVENT\r\nUID:mine@example.org\r\nDTSTAMP:20270101T000000Z\r\nDTSTART;VALUE=DATE:20270605\r\n"
       b"SUMMARY:Birthday\r\nEND:VEVENT\r\n")


def laid_out(folder: Path, name: str = "Invented yard", plants: str = PLANTS) -> Path:
    folder.mkdir()
    for file, data in texts(SITE.replace("Invented yard", name) + ZONE + PLACES, plants, NORMALS).items():
        (folder / file).write_bytes(data)
    return folder


def frost(scenario):
    return read_forecast(b"date,tmin_c\n2027-06-20,9\n2027-06-21,-4\n2027-06-22,12\n", scenario.site, "frost.csv")


def calendar(folder: Path) -> bytes:
    return (folder / "out" / "calendar.ics").read_bytes()


@pytest.fixture
def garden(tmp_path):
    return laid_out(tmp_path / "garden")


def test_a_watch_that_begins_while_a_plan_runs_keeps_the_new_plan(garden, monkeypatch):
    """The plan is held back until the watch has begun; what stands there in the end is what plan, then watch, give."""
    import seasonplan.pipeline as pipeline

    plan_folder(garden, JUNE, page=False)
    more = PLANTS + "Late fig,Ficus carica,1,40,south window\n"
    (garden / "plants.csv").write_text(more)
    real, planning, looking = pipeline.build_plan, threading.Event(), threading.Event()

    def held_back(*args):
        made = real(*args)
        if threading.current_thread() is plan:
            planning.set()
            looking.wait(5)
        return made

    def forecast(scenario):
        threading.Timer(0.3, looking.set).start()    # by then the watch has read all that it can get at
        return frost(scenario)

    monkeypatch.setattr(pipeline, "build_plan", held_back)
    plan = threading.Thread(target=lambda: plan_folder(garden, JUNE, page=False))
    plan.start()
    planning.wait(10)
    assert watch_folder(garden, JUNE, forecast=forecast).act
    plan.join()
    other = laid_out(garden.parent / "other")
    plan_folder(other, JUNE, page=False)
    (other / "plants.csv").write_text(more)
    plan_folder(other, JUNE, page=False)
    watch_folder(other, JUNE, forecast=frost)
    assert b"Late fig" in calendar(garden) and b"UID:watch-" in calendar(garden)
    assert calendar(garden) == calendar(other)


def test_an_event_saved_by_another_program_while_we_merge_is_kept(garden, monkeypatch):
    import seasonplan.outputs.calendar as module

    real, saved = module.render_calendar, []

    def render(plan, previous, file):
        made = real(plan, previous, file)
        if not saved:
            saved.append((garden / "out" / "calendar.ics").write_bytes(
                calendar(garden).replace(b"END:VCALENDAR", OWN + b"END:VCALENDAR")))
        return made

    plan_folder(garden, APRIL, page=False)
    monkeypatch.setattr(module, "render_calendar", render)
    (garden / "plants.csv").write_text(PLANTS.replace("Ferns", "Old ferns"))
    plan_folder(garden, APRIL, page=False)
    assert OWN in calendar(garden) and b"Old ferns" in calendar(garden)


def test_a_calendar_behind_a_link_is_written_through(garden, tmp_path):
    far = tmp_path / "synced.ics"
    (garden / "out").mkdir()
    (garden / "out" / "calendar.ics").symlink_to(far)
    plan_folder(garden, APRIL, page=False)
    watch_folder(garden, JUNE, forecast=frost)
    assert (garden / "out" / "calendar.ics").is_symlink() and b"UID:watch-" in far.read_bytes()


def test_a_watch_without_a_calendar_plans_first(garden):
    watched = watch_folder(garden, JUNE, forecast=frost)
    assert watched.act and sorted(p.name for p in (garden / "out").iterdir()) == [
        "calendar.ics", "forecasts.csv", "plan.html", "plan.json", "sheet.html"]


def test_several_folders_are_written_all_or_none(garden, tmp_path, monkeypatch):
    other = laid_out(tmp_path / "other", "Second yard")
    folders = workflow.Folders.of([garden, other])
    workflow.plan_folders(folders, APRIL, page=False)
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    (garden / "plants.csv").write_text(PLANTS.replace("Ferns", "Old ferns"))
    before[garden / "plants.csv"] = (garden / "plants.csv").read_bytes()
    real = sets.os.replace

    def fails_at_the_combined_one(source, target):
        if Path(target) == tmp_path / "out" / "calendar.ics":
            raise OSError(28, "No space left on device", str(target))
        return real(source, target)

    monkeypatch.setattr(sets.os, "replace", fails_at_the_combined_one)
    with pytest.raises(OutputBlocked, match="out: the disk is full"):
        workflow.plan_folders(folders, APRIL, page=False)
    assert {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()} == before


def test_a_faulty_folder_leaves_no_trace_in_any(garden, tmp_path):
    other = laid_out(tmp_path / "other", "Second yard", PLANTS.replace("Lemon,Citrus", "Lemon,Cirtus"))
    with pytest.raises(InputFaults, match="other/plants.csv:2"):
        workflow.plan_folders(workflow.Folders.of([garden, other]), APRIL)
    assert not (garden / "out").exists() and not (other / "out").exists() and not (tmp_path / "out").exists()


def test_where_files_go(tmp_path):
    a, b = tmp_path / "a", tmp_path / "x" / "b"
    assert workflow.Folders.of([a]) == workflow.Folders((a,), (a / "out",), None)
    assert workflow.Folders.of([a], tmp_path) == workflow.Folders((a,), (tmp_path,), None)
    assert workflow.Folders.of([a, b]) == workflow.Folders((a, b), (a / "out", b / "out"), tmp_path / "out")
    assert workflow.Folders.of([a, b], tmp_path / "o") == workflow.Folders(
        (a, b), (tmp_path / "o" / "a", tmp_path / "o" / "b"), tmp_path / "o")


def test_the_output_folder_may_be_the_scenario_itself(garden):
    assert workflow.plan_folders(workflow.Folders.of([garden], garden), APRIL, page=False).written == (garden,)
    assert (garden / "calendar.ics").exists()


def test_what_is_no_folder_of_its_own_is_told(garden, tmp_path, monkeypatch):
    (tmp_path / "link").symlink_to(garden)
    with pytest.raises(InputFaults, match="link: the same folder twice; allowed: each folder once"):
        workflow.Folders.of([garden, tmp_path / "link"])
    with pytest.raises(InputFaults) as caught:
        workflow.load_all([garden / "plants.csv", tmp_path / "gardn", tmp_path / "nothing like it"])
    assert [(fault.found, fault.cause) for fault in caught.value.faults] == [
        ("it is a file, not a folder", f"Did you mean '{garden}'?"),
        ("there is no such folder", f"Did you mean '{garden}'?"),
        ("there is no such folder", f"Make one with: seasonplan start {tmp_path / 'nothing like it'}")]
    with pytest.raises(InputFaults, match="again; allowed: a name of its own for each site") as caught:
        workflow.load_all([garden, laid_out(tmp_path / "twin"), laid_out(tmp_path / "triplet")])
    assert [f'name = "{name}" under [site]' in fault.cause for name, fault in
            zip(("triplet", "twin"), caught.value.faults, strict=True)] == [True, True]
