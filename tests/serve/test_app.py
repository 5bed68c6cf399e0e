"""The live page without a browser: every screen answers, every form writes what it says, two phones lose nothing."""

from __future__ import annotations

import re
import threading
import time
from dataclasses import replace
from datetime import date

import pytest

pytest.importorskip("starlette", reason="the live page needs its extra: pip install '.[serve]'")

from served import TODAY, Client, fields, served  # noqa: E402

from seasonplan import workflow  # noqa: E402
from seasonplan.deeds import Deed, as_seen  # noqa: E402
from seasonplan.errors import SeasonplanError  # noqa: E402
from seasonplan.model import SeenStep  # noqa: E402

pytestmark = pytest.mark.usefixtures("remembered_plans")


def page(garden, path: str = "/") -> str:
    answer = garden.client.get(path)
    assert answer.status_code == 200, answer.text[:300]
    return answer.text


def up_to_date(garden) -> None:
    """Until the plan is of the files as they are: one may be under way that read them before."""
    for _ in range(3):
        garden.house.look()
        assert garden.house.settled(30)


def test_every_screen_answers(garden):
    for path in ("/", "/plants", "/tell", "/places", "/plants/0/3", "/plants/0/3/edit", "/plants/0/new", "/places/0/0",
                 "/places/0/new", "/page/0", "/sheet/0", "/live.js"):
        assert len(page(garden, path)) > 200


def test_today_shows_the_days_jobs_by_place_and_what_comes(garden):
    text = page(garden)
    assert "Sat 29 May 2027" in text and "Planned at 10:32." in text and "Nothing is logged this season." in text
    due = [step for step in garden.house.look().plans[0].steps if step.date == TODAY]
    assert due and text.count('class="card') >= len(due)
    places = re.findall(r"<h3>([^<]+)</h3>\n<article", text)
    assert places[0] == "Carrying" and len(set(places)) == len(places)
    assert re.search(r'class="later"><summary><h3>Sun 30 May, tomorrow</h3>', text)
    assert re.search(r"Nights from normals\.csv, their spread [a-z ]+: dates ±\d+ days two times in three\.", text)


def test_today_says_when_the_nights_ahead_were_looked_at(garden, monkeypatch):
    look = garden.house.look
    monkeypatch.setattr(garden.house, "look", lambda: replace(look(), plans=tuple(
        replace(plan, alerts_issued="2027-05-28T18:00", alerts=()) for plan in look().plans)))
    assert "Nights looked at yesterday, Fri 28 May at 18:00; no alert for the nights ahead." in page(garden)


def test_a_day_to_come_without_work_is_no_empty_drawer(garden, monkeypatch):
    """A habit that begins then is told on its day."""
    look, alone = garden.house.look, date(2027, 5, 31)

    def with_habit():
        now = look()
        plan = now.plans[0]
        return replace(now, plans=(replace(plan, habits=(replace(plan.habits[0], date=alone),)),))

    assert alone not in {step.date for step in look().plans[0].steps}
    monkeypatch.setattr(garden.house, "look", with_habit)
    drawers = re.findall(r'<details class="later">(.*?)</summary>(.*?)</details>\n', page(garden), re.DOTALL)
    assert drawers and all("<article" in inside for _, inside in drawers) and "Mon 31 May" not in page(garden)


def test_a_tick_is_one_line_for_each_plant_and_a_new_plan(garden, log):
    form = fields(page(garden), "/done")
    version = garden.house.look().version
    answer = garden.client.post("/done", data=form)
    assert answer.status_code == 303
    step = next(s for s in garden.house.look().plans[0].steps if s.uid == form["step"])
    assert len(log()) == len(step.plants) and log()[0].startswith(f"2027-05-29,{step.kind},{step.plants[0]}")
    shown = page(garden)
    assert "Noted today" in shown and ("Planning again" in shown or garden.house.look().version > version)
    assert garden.house.settled(20) and garden.house.look().version > version
    assert "Nothing is logged this season." not in page(garden)


def test_the_same_form_twice_counts_once(garden, log):
    form = fields(page(garden), "/done")
    for _ in range(3):
        garden.client.post("/done", data=form, headers={"x-live": "1"})
    assert len(log()) == len(set(log())) > 0


def test_only_two_of_them_with_a_note(garden, log):
    plan = garden.house.look().plans[0]
    pot = next(each.plant for each in plan.plants if each.plant.count > 2)
    step = next(s for s in plan.steps if pot.name in s.plants and s.kind == "leach")
    form = fields(page(garden), "/done") | {"step": step.uid, "plant": pot.name, "pots": "2", "note": "the small, ones"}
    assert garden.client.post("/done", data=form).status_code == 303
    assert log() == [f'2027-05-29,leach,{pot.name},,"2 pots; the small, ones"']


@pytest.mark.parametrize(("more", "said"), [
    ({"pots": "99"}, "99 pots"), ({"pots": "two"}, "a whole number"), ({"on": "yesterday"}, "a date such as"),
    ({"step": "2027-nothing"}, "no longer part of it"), ({"garden": "7"}, "0 to 0")])
def test_what_cannot_be_is_refused_with_reason(garden, log, more, said):
    plan = garden.house.look().plans[0]
    step = next(s for s in plan.steps if s.kind == "leach")
    form = fields(page(garden), "/done") | {"step": step.uid, "plant": step.plants[0]} | more
    answer = garden.client.post("/done", data=form, headers={"x-live": "1"})
    assert answer.status_code == 422 and said in answer.json()["fault"] and log() == []
    assert said in garden.client.post("/done", data=form).text


def test_undo_takes_it_back(garden, log):
    garden.client.post("/done", data=fields(page(garden), "/done"))
    assert garden.house.settled(20)
    taken = fields(page(garden), "/undo")
    plants = re.findall(r'name="plant" value="([^"]+)"', page(garden).split('action="/undo"')[1].split("</form>")[0])
    assert garden.client.post("/undo", data=taken | {"plant": plants}).status_code == 303
    assert log() == []


def test_the_other_phones_page_is_from_before_the_plan_and_its_ticks_count_once(garden, log):
    """A second tick of what the log tells already adds nothing and is no fault; of what the plan has dropped since, it
    is told by its kind and plants."""
    old = page(garden)
    first = fields(old, "/done")
    garden.client.post("/done", data=first)
    up_to_date(garden)
    lines = log()
    again = garden.client.post("/done", data=first | {"once": "another"})
    assert lines and again.status_code == 303 and log() == lines
    up_to_date(garden)
    gone = dict(garden.house.shown(0))
    step = next(each for each in gone.values() if each.kind == "leach")
    gone[f"old-{step.uid}"] = step
    garden.house.shown = lambda number: gone
    told = garden.client.post("/done", data=first | {"once": "third", "step": f"old-{step.uid}"})
    assert told.status_code == 303 and {line.split(",")[2] for line in log()[len(lines):]} == set(step.plants)
    assert all(line.split(",")[1] == "leach" for line in log()[len(lines):])


def test_a_move_to_two_places_that_the_plan_has_dropped_since_went_where_the_old_page_said(garden, log, monkeypatch):
    first = fields(page(garden), "/done")
    old = SeenStep("old-move", "move", (TODAY,), ("Gardenia", "Window pothos"),
                   {"Gardenia": ("lawn", 50), "Window pothos": ("under the old maple", 0)})
    monkeypatch.setattr(garden.house, "shown", lambda number: {"old-move": old})
    assert garden.client.post("/done", data=first | {"step": "old-move"}).status_code == 303
    assert log() == [f"{TODAY},move,Gardenia,lawn,cloth 50 %",
                     f"{TODAY},move,Window pothos,under the old maple,no cloth"]


def test_a_page_keeps_where_each_plant_of_a_move_goes(garden):
    plan = garden.house.look().plans[0]
    moves = [step for step in plan.steps if step.kind == "move" and " + " in step.place]
    for step in moves:
        stands = as_seen(step, plan).stands
        assert set(stands) == set(step.plants) and {place for place, _ in stands.values()} == set(
            step.place.split(" + "))
    assert moves


def test_the_same_card_ticked_on_two_phones_before_there_is_a_new_plan_counts_once(garden, log):
    """Twice on a plan that stands, and once more while another is made: the plan in hand still has the step."""
    form = fields(page(garden), "/done")
    for number in ("one", "two", "three"):
        assert garden.client.post("/done", data=form | {"once": number}).status_code == 303
    lines = log()
    assert lines and len(lines) == len(set(lines))
    up_to_date(garden)
    assert garden.client.post("/done", data=form | {"once": "four"}).status_code == 303 and log() == lines
    step = next(each for each in garden.house.look().plans[0].steps if each.kind == "leach")
    for number in ("five", "six"):
        garden.house.note(0, Deed("leach", TODAY, step.plants[:1]), number, step)
    assert len(log()) == len(lines) + 1


def test_two_things_of_a_kind_are_taken_back_one_by_one(garden, log):
    plan = garden.house.look().plans[0]
    names = [each.plant.name for each in plan.plants[:2]]
    for name in names:
        form = fields(page(garden, "/tell"), "/told")
        assert garden.client.post("/told", data=form | {"what": "pest-clear", "plant": name}).status_code == 303
    assert garden.house.settled(30) and len(log()) == 2
    forms = page(garden).split('action="/undo"')[1:]
    assert len(forms) == 2
    taken = fields(page(garden), "/undo", 1)
    assert garden.client.post("/undo", data=taken).status_code == 303
    assert [line.split(",")[2] for line in log()] == [names[1]]


def test_not_today_puts_it_off_until_tomorrow(garden, log):
    before = page(garden)
    form = fields(before, "/later")
    assert garden.client.post("/later", data=form).status_code == 303
    after = page(garden)
    assert "<h3>Not today</h3>" in after and log() == []
    assert after.index("<h3>Not today</h3>") < after.index(form["step"])


@pytest.mark.parametrize(("what", "more", "line"), [
    ("found", {"pest": "scale"}, "found-scale,Big lemon,,"), ("given-away", {}, "given-away,Big lemon,,"),
    ("died", {}, "died,Big lemon,,"), ("pest-clear", {}, "pest-clear,Big lemon,,"),
    ("rescue", {"place": "stair landing"}, "rescue,Big lemon,stair landing,"),
    ("back", {"place": "lawn"}, "move-out,Big lemon,lawn,")])
def test_what_no_step_asks_for_can_be_told(garden, log, what, more, line):
    form = fields(page(garden, "/tell"), "/told") | {"what": what, "plant": "Big lemon", "on": "2027-05-29"} | more
    assert garden.client.post("/told", data=form).status_code == 303
    assert len(log()) == 1 and log()[0].startswith(f"2027-05-29,{line}")


def test_carried_out_goes_where_the_plan_has_it_that_day(garden, log):
    form = fields(page(garden, "/tell"), "/told") | {"what": "back", "plant": "Big lemon", "on": "2027-05-29"}
    [route] = [each.route for each in garden.house.look().plans[0].plants if each.plant.name == "Big lemon"]
    place = next((stop.place for stop in route if stop.date <= TODAY < stop.until), route[0].place)
    assert garden.client.post("/told", data=form).status_code == 303
    assert log()[0].startswith(f"2027-05-29,move-out,Big lemon,{place},")


def test_telling_of_nobody_is_refused(garden, log):
    form = fields(page(garden, "/tell"), "/told") | {"what": "died"}
    assert "at least one plant" in garden.client.post("/told", data=form).text and log() == []


def test_a_thermometer_is_noted(garden):
    form = fields(page(garden, "/tell"), "/reading") | {"low": "3,5", "place": "lawn", "on": "2027-05-29"}
    for _ in range(2):
        assert garden.client.post("/reading", data=form).status_code == 303
    assert (garden.folder / "readings.csv").read_text() == "date,place,tmin_c\n2027-05-29,lawn,3.5\n"
    up_to_date(garden)


def test_a_plant_bought_is_a_row_and_is_planned(garden):
    form = fields(page(garden, "/plants/0/new"), "/plants/0/new") | {
        "name": "New fern", "taxon": "boston fern", "count": "1", "pot_cm": "18", "place": "east sill",
        "arrived": "2027-05-29"}
    assert garden.client.post("/plants/0/new", data=form).status_code == 303
    assert garden.house.settled(20)
    assert "New fern" in page(garden, "/plants")
    number = next(n for n, each in enumerate(garden.house.look().plans[0].plants) if each.plant.name == "New fern")
    path = f"/plants/0/{number}/edit"
    change = fields(page(garden, path), path) | {"name": "New fern", "taxon": "boston fern", "count": "1",
                                                 "place": "east sill", "pot_cm": "20"}
    answer = garden.client.post(path, data=change)
    assert answer.status_code == 303, answer.text
    assert garden.house.settled(20)
    assert garden.house.look().plans[0].plants[number].plant.pot_cm == 20


def test_a_wrong_row_is_told_as_the_files_tell_it_and_nothing_changes(garden):
    before = (garden.folder / "plants.csv").read_bytes()
    form = fields(page(garden, "/plants/0/new"), "/plants/0/new") | {
        "name": "Odd one", "taxon": "bostn fern", "count": "x", "place": "roof"}
    answer = garden.client.post("/plants/0/new", data=form)
    assert answer.status_code == 422 and "Nothing was changed." in answer.text
    for said in ("plants.csv", "bostn fern", "count", "roof"):
        assert said in answer.text
    assert 'value="Odd one"' in answer.text and (garden.folder / "plants.csv").read_bytes() == before


def test_a_place_is_changed_with_the_same_checks(garden):
    n, place = next((n, p) for n, p in enumerate(garden.house.look().plans[0].places) if p.outdoors)
    path = f"/places/0/{n}"
    form = fields(page(garden, path), path) | {"name": place.name, "kind": "outdoor", "room_for": "-3"}
    assert "room_for" in garden.client.post(path, data=form).text
    shown = page(garden, path)
    given = dict(re.findall(r'<input name="([^"]+)" value="([^"]*)"', shown)) | {"room_for": "17"}
    chosen = dict(re.findall(r'<select name="([^"]+)">.*?<option value="([^"]*)" selected>', shown, re.DOTALL))
    answer = garden.client.post(path, data=fields(shown, path) | given | chosen)
    assert answer.status_code == 303, (given, chosen, answer.text[1200:2200])
    assert garden.house.settled(20) and garden.house.look().plans[0].places[n].room_for == 17


def test_two_phones_at_once_lose_nothing(garden, log):
    """Ticks from two clients at the same time: every line is there, whole, once."""
    form = fields(page(garden, "/tell"), "/told")
    names = [each.plant.name for each in garden.house.look().plans[0].plants][:8]
    answers = []

    def phone(mine: list[str]) -> None:
        client = Client(garden.app)
        for name in mine:
            data = form | {"once": f"tick {name}", "what": "pest-clear", "plant": name, "on": "2027-05-29"}
            answers.append(client.post("/told", data=data).status_code)

    phones = [threading.Thread(target=phone, args=(names[k::2],)) for k in range(2)]
    for each in phones:
        each.start()
    for each in phones:
        each.join()
    assert answers == [303] * len(names)
    assert sorted(log()) == sorted(f"2027-05-29,pest-clear,{name},," for name in names)


def test_a_file_changed_by_hand_is_planned_again_and_a_broken_one_is_told(garden):
    toml = garden.folder / "scenario.toml"
    whole = toml.read_text()
    version = garden.house.look().version
    toml.write_text(whole.replace("minutes_per_day", "minutes_per_dya"))
    up_to_date(garden)
    assert "minutes_per_dya" in page(garden) and "Did you mean" in page(garden)
    toml.write_text(whole)
    up_to_date(garden)
    assert garden.house.look().version > version
    assert "cannot be planned" not in page(garden)


def test_what_is_saved_while_a_plan_fails_is_planned_again(garden, monkeypatch):
    """A file caught half written is no fault that stays."""
    toml = garden.folder / "scenario.toml"
    whole = toml.read_text()

    def half_read(*given, **named):
        monkeypatch.undo()
        toml.write_text(whole)
        raise SeasonplanError("half a file was read")

    up_to_date(garden)
    monkeypatch.setattr(workflow, "plan_folders", half_read)
    toml.write_text(whole)
    up_to_date(garden)
    assert "half a file" not in page(garden)


def test_a_new_day_is_planned_without_being_asked(garden):
    garden.clock["today"] = date(2027, 6, 5)
    up_to_date(garden)
    assert "Sat 5 Jun 2027" in page(garden)
    garden.clock["today"] = TODAY
    up_to_date(garden)


def test_several_gardens_are_one_page_and_one_calendar(tmp_path):
    found = served(tmp_path, ("heron-cay", "wattle-bend"))
    try:
        text = page(found)
        assert "Heron Cay" in text and "Wattle Bend" in text and text.count("The whole plan of") == 2
        calendar = page(found, f"/calendar/{found.guard.calendar_key}.ics")
        assert "Wattle Bend" in calendar and "Heron Cay" in calendar
    finally:
        found.house.stop()


def test_a_screen_takes_under_fifty_milliseconds(garden):
    page(garden)
    times = []
    for _ in range(5):
        start = time.perf_counter()
        page(garden)
        times.append(time.perf_counter() - start)
    assert min(times) < 0.05
