"""Every promise of a plan on the shipped scenarios and on whole invented ones, through the command line."""

import shutil
import tempfile
from pathlib import Path

import promises
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_odd_places import broken_promises, run, wave

from seasonplan.inputs.catalogue import catalogue

pytestmark = pytest.mark.usefixtures("remembered_plans")

SHIPPED = sorted(p for p in (Path(__file__).parent.parent / "scenarios").iterdir() if (p / "scenario.toml").exists())
KEYS = [taxon.key for taxon in catalogue()]
NASTY = ["Fig, the \"big\" one", "Farn; Ü", "\U0001F33F palm", "شجرة الليمون", "<b>Ivy</b> & co", "a/b\\c", "x" * 300]


@pytest.mark.parametrize("folder", SHIPPED, ids=lambda p: p.name)
def test_shipped_scenarios_keep_every_promise(folder, tmp_path):
    shutil.copytree(folder, tmp_path / folder.name, ignore=shutil.ignore_patterns("out"))
    broken, document = broken_promises(tmp_path / folder.name)
    assert not broken, broken[:5]
    assert document["steps"] and document["assumptions"] is not None


@st.composite
def outdoor_places(draw, number: int):
    keys = draw(st.fixed_dictionaries({}, optional={
        "faces": st.sampled_from(['"n"', '"e"', '"south-west"', "135"]),
        "wall_behind": st.sampled_from(["true", "false"]),
        "horizon_deg": st.sampled_from([5, 15, 30]), "roof_deg": st.sampled_from([45, 60]),
        "leaf_shade": st.sampled_from([0.1, 0.3, 0.6]), "room_for": st.sampled_from([1, 3, 10]),
        "night_lift_c": st.sampled_from([-1, 0.5, 2])}))
    if "wall_behind" in keys and "faces" not in keys:
        keys["faces"] = '"e"'
    lines = "\n".join(f"{k} = {v}" for k, v in keys.items())
    return f'[[place]]\nname = "spot {number}"\nkind = "outdoor"\n{lines}\n'


@st.composite
def scenarios(draw):
    """The files of an invented scenario."""
    latitude = draw(st.integers(-65, 68))
    warm_month = 1.0 if latitude < 0 else 7.0
    lows = wave(draw(st.integers(-2, 20)), draw(st.integers(1, 14)), warm_month)
    taxa = draw(st.lists(st.sampled_from(KEYS), min_size=1, max_size=8))
    names = [NASTY[n] if n < len(NASTY) and draw(st.booleans()) else f"plant {n}" for n in range(len(taxa))]
    places = [draw(outdoor_places(n)) for n in range(draw(st.integers(1, 4)))]
    policy = draw(st.sampled_from(["careful", "carry-in"]))
    days = draw(st.sampled_from(['["sat", "sun"]', "[]", '["wed"]']))
    rows = [f'"{name.replace(chr(34), chr(34) * 2)}",{taxon},{draw(st.integers(1, 4))},{draw(st.integers(10, 40))},'
            f'{draw(st.sampled_from(["yes", "no", ""]))},{draw(st.sampled_from(["none", "scale", "aphid", "unknown"]))}'
            for name, taxon in zip(names, taxa, strict=True)]
    return {
        "scenario.toml": f'[site]\nname = "Somewhere invented"\nlatitude = {latitude}\nlongitude = 20\n'
                         f'elevation_m = 50\nnormals = "normals.csv"\n[rules]\nyear = 2027\n'
                         f'policy = "{policy}"\nmove_days = {days}\n'
                         + "".join(places),
        "normals.csv": "month,tmin_c,tmax_c\n" + "".join(f"{m},{t},{t + 10}\n" for m, t in enumerate(lows, 1)),
        "plants.csv": "name,taxon,count,pot_cm,root_bound,pests\n" + "\n".join(rows) + "\n"}


@settings(deadline=None, max_examples=12, derandomize=True)
@given(scenarios())
def test_whole_invented_scenarios_keep_every_promise(files):
    with tempfile.TemporaryDirectory() as base:
        folder = Path(base)
        for name, text in files.items():
            (folder / name).write_text(text, encoding="utf-8")
        broken, _ = broken_promises(folder)
        assert not broken, broken[:5]


def test_names_of_any_kind_are_safe_in_every_output(tmp_path):
    text = "name,taxon,count,pot_cm\n" + "".join(
        f'"{name.replace(chr(34), chr(34) * 2)}",pothos,1,15\n' for name in [*NASTY, "y" * 10_000])
    (tmp_path / "plants.csv").write_text(text, encoding="utf-8")
    (tmp_path / "scenario.toml").write_text('[site]\nname = "<i>Nasty</i>; (invented)"\nlatitude = 45\nlongitude = 9\n'
                                            'elevation_m = 50\nnormals = "normals.csv"\n')
    (tmp_path / "normals.csv").write_text("month,tmin_c\n" + "".join(f"{m},{t}\n" for m, t in enumerate(wave(9, 8), 1)))
    run("plan", tmp_path, "--today", "2027-03-01")
    page = (tmp_path / "out" / "plan.html").read_text(encoding="utf-8")
    assert "<b>Ivy</b>" not in page and "&lt;b&gt;Ivy&lt;/b&gt;" in page and "<i>Nasty" not in page
    import icalendar

    events = icalendar.Calendar.from_ical((tmp_path / "out" / "calendar.ics").read_bytes()).walk("VEVENT")
    assert events and all("\n" not in str(e["SUMMARY"]) for e in events)
    assert any("شجرة الليمون" in str(e["DESCRIPTION"]) for e in events)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["normals.csv", "out", "plants.csv", "scenario.toml"]


def test_the_promises_notice_what_is_broken(tmp_path):
    """The checks themselves: each sees red on a plan that is spoiled on purpose."""
    shutil.copytree(SHIPPED[0], tmp_path / "garden", ignore=shutil.ignore_patterns("out"))
    import json

    from seasonplan.files import load_scenario

    folder = tmp_path / "garden"
    document = json.loads(run("plan", folder, "--no-page", "--json", "--today", "2027-03-01"))
    light = json.loads(run("light", folder, "--json", "--today", "2027-03-01"))
    scenario = load_scenario(folder)
    moving = next(p for p in document["plants"] if p["status"] == "moves" and len(p["route"]) > 1)
    for place in light["places"]:
        for day in place["days"]:
            day["clear_dli"] *= 4
    assert promises.broken_light(document, light, scenario)
    moving["route"][1]["date"] = moving["route"][1]["until"]
    assert promises.unaccounted(document)
    moving["count"] = 500
    assert promises.crowded(document, scenario)
    document["steps"].append(document["steps"][0])
    assert promises.twice(document)
