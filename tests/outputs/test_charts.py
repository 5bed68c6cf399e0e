"""Charts as inline SVG: text as text, the page's colours, names that cannot harm, the same bytes every time."""

from __future__ import annotations

import os
import subprocess
import sys
import warnings
from dataclasses import replace
from datetime import date, timedelta
from xml.etree import ElementTree

import matplotlib
import numpy as np
import pytest
from invented import make_night_climate, make_plan

from seasonplan.climate.nights import night_chance
from seasonplan.dates import day_index
from seasonplan.model import MoveDate
from seasonplan.outputs.charts import STAND_INS, draw, our_style
from seasonplan.outputs.charts_chance import chance_days, paint_chance
from seasonplan.outputs.charts_light import MOST_PLACES, light_size, paint_light, shown_places
from seasonplan.outputs.charts_nights import glance_size, night_band, paint_glance
from seasonplan.outputs.charts_panel import Box, Panel
from seasonplan.outputs.page import render_page
from seasonplan.outputs.page_charts import MOST_GROUPS, chance_chart, glance_chart, light_chart, shown_groups
from seasonplan.outputs.page_groups import threshold_groups

AWKWARD = "<b>$\\frac{1}{2}$ & “🌵” \u05d0\u05d1 @0@"


def glance(plan, narrow=False) -> str:
    groups = shown_groups(threshold_groups(plan))
    with our_style():
        return draw("glance", glance_size(groups, narrow), lambda s: paint_glance(s, plan, groups), "Title", "Desc",
                    narrow)


def light(plan, narrow=False) -> str:
    places = shown_places(plan)
    with our_style():
        return draw("light", light_size(places, narrow), lambda s: paint_light(s, plan, places), "Title", "Desc",
                    narrow)


def words_of(svg: str) -> list[str]:
    return ["".join(node.itertext()) for node in ElementTree.fromstring(svg).iter("text")]


def test_is_well_formed_and_named():
    root = ElementTree.fromstring(glance(make_plan()))
    assert root.get("role") == "img" and root.get("aria-labelledby") == "glance-title glance-desc"
    assert [(n.tag, n.get("id"), n.text) for n in root[:2]] == [("title", "glance-title", "Title"),
                                                                 ("desc", "glance-desc", "Desc")]
    assert root.get("width") is None and root.get("viewBox").startswith("0 0 800 ")


def test_text_stays_text_without_a_font_of_its_own():
    svg = glance(make_plan())
    assert {"May", "today", "A", "B", "C", "0°", "1 May to 10 Oct · 7 pots"} <= set(words_of(svg))
    assert "font-family" not in svg and "DejaVu" not in svg


def test_fahrenheit_where_the_person_reads_fahrenheit():
    plan = make_plan()
    rules = replace(plan.rules, units="imperial")
    assert "60°" in words_of(glance(replace(plan, scenario=replace(plan.scenario, rules=rules))))
    assert "60°" not in words_of(glance(plan))


def test_every_colour_is_a_variable_of_the_page():
    svg = glance(make_plan()) + light(make_plan())
    assert "#" not in svg.replace("url(#", "").replace('href="#', "")
    assert "var(--night)" in svg and "var(--sun-pale)" in svg
    assert len(set(STAND_INS.values())) == len(STAND_INS)


def test_ids_are_its_own():
    wide, narrow = glance(make_plan()), glance(make_plan(), narrow=True)
    ids = [{node.get("id") for node in ElementTree.fromstring(svg).iter() if node.get("id")} for svg in (wide, narrow)]
    assert ids[0] and not ids[0] & ids[1]
    assert all(each.startswith("glance-narrow-") for each in ids[1])
    used = {part.split(")")[0] for part in wide.split("url(#")[1:]}
    assert used <= ids[0]


def test_names_cannot_reach_markup_mathtext_or_fonts():
    plan = make_plan()
    places = tuple(replace(p, name=AWKWARD) if p.name == "porch" else p for p in plan.places)
    named = tuple(AWKWARD if n == "porch" else n for n in plan.daylight.places)
    plants = tuple(replace(p, route=tuple(replace(s, place=AWKWARD) if s.place == "porch" else s for s in p.route))
                   for p in plan.plants)
    plan = replace(plan, scenario=replace(plan.scenario, places=places), plants=plants,
                   daylight=replace(plan.daylight, places=named))
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        svg = light(plan)
    assert AWKWARD in words_of(svg)
    assert "<b>" not in svg


def test_long_names_are_cut_in_charts_only():
    plan = make_plan()
    long = "tree " * 2000
    plants = tuple(replace(p, plant=replace(p.plant, place=long)) for p in plan.plants)
    places = (*plan.places, replace(plan.places[0], name=long))
    light_of = plan.daylight
    plan = replace(plan, plants=plants, scenario=replace(plan.scenario, places=places), daylight=replace(
        light_of, places=(*light_of.places, long), sun_spans=(*light_of.sun_spans, light_of.sun_spans[0]),
        clear_dli=np.vstack([light_of.clear_dli, light_of.clear_dli[:1]]),
        mean_dli=np.vstack([light_of.mean_dli, light_of.mean_dli[:1]])))
    shown = [word for word in words_of(light(plan)) if word.startswith("tree")]
    assert len(shown) == 1 and len(shown[0]) <= 44 and shown[0].endswith("…")


def test_the_users_own_settings_change_nothing():
    before = glance(make_plan())
    with matplotlib.rc_context({"font.size": 30, "svg.fonttype": "path", "lines.scale_dashes": False}):
        assert glance(make_plan()) == before


def test_same_bytes_in_another_process():
    code = ("import sys; from invented import make_plan; from seasonplan.outputs.page import render_page;"
            "sys.stdout.buffer.write(render_page(make_plan()).encode())")
    path = os.pathsep.join(p for p in sys.path if p)
    other = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True,
                           env={**os.environ, "PYTHONPATH": path, "PYTHONHASHSEED": "1"}).stdout
    assert other == render_page(make_plan()).encode() and len(other) > 100_000


def test_band_holds_eight_nights_in_ten_of_a_skewed_climate():
    """Checked against the chances that climate.nights itself gives for the band's edges."""
    climate = replace(make_night_climate(), details={"skew": np.full(365, -0.4), "excess_kurtosis": -0.2})
    low, high = night_band(climate)
    assert [night_chance(climate, low[d])[d] for d in (0, 100, 200)] == pytest.approx([0.1] * 3, abs=1e-3)
    assert [night_chance(climate, high[d])[d] for d in (0, 100, 200)] == pytest.approx([0.9] * 3, abs=1e-3)
    assert climate.mean_c[10] - low[10] > high[10] - climate.mean_c[10]


def test_a_panel_puts_data_where_its_scales_say():
    def paint(sheet):
        panel = Panel(sheet, Box(100, 50, 300, 150), (0, 10), (0, 4))
        panel.boxes([(0, 0, 5, 4)], "sun")

    with our_style():
        svg = draw("box", (400, 200), paint, "t", "d")
    path = next(node for node in ElementTree.fromstring(svg).iter("path") if "var(--sun)" in node.get("style"))
    numbers = [float(n) for n in path.get("d").replace("M", " ").replace("L", " ").replace("z", " ").split()]
    assert (min(numbers[::2]), max(numbers[::2])) == (100.0, 200.0)
    assert (min(numbers[1::2]), max(numbers[1::2])) == (50.0, 150.0)


def test_glance_marks_each_group_at_its_dates():
    """The ends of group B's harm line lie on its days and its threshold, by the axis labels drawn beside them."""
    svg = ElementTree.fromstring(glance(make_plan()))
    lines = [node for node in svg.iter("path") if "var(--alarm)" in node.get("style", "")]
    assert len(lines) == 3
    left, right = (float(part.split()[0]) for part in lines[1].get("d").replace("M", "").split("L"))
    width = 800 - 14 - 36
    assert left == pytest.approx(36 + width * 141 / 365, abs=0.2)      # 22 May is day 141 of the year, counted from 0
    assert right == pytest.approx(36 + width * 268 / 365, abs=0.2)     # 26 September is day 268


def test_chance_chart_spans_every_policys_dates():
    plan = make_plan()
    groups = shown_groups(threshold_groups(plan))
    spring, autumn = chance_days(groups, plan)
    for group in groups:
        assert spring[0] <= group.leader.out.carry_in <= group.leader.out.careful <= spring[-1]
        assert autumn[0] <= group.leader.back.careful <= group.leader.back.carry_in <= autumn[-1]
    with our_style():
        svg = draw("chance", (800, 380), lambda s: paint_chance(s, plan, groups), "t", "d")
    assert {"Spring: chance of any harmful night", "Autumn: harmful nights to expect", "50 %"} <= set(words_of(svg))


def test_chance_chart_keeps_to_the_half_of_the_year_its_curves_speak_of():
    plan = make_plan()
    early = MoveDate(date(2027, 1, 20), date(2027, 2, 1), date(2027, 1, 20), 0.3, 1.0, "harm")
    plants = tuple(replace(p, out=early) if p.status == "moves" else p for p in plan.plants)
    spring, autumn = chance_days(shown_groups(threshold_groups(replace(plan, plants=plants)))[:1], plan)
    assert day_index(spring[0]) == plan.site_tables.cold_index == 15
    assert autumn[-1] <= plan.daylight.dates[-1]


def test_no_dates_no_chance_chart():
    plan = make_plan()
    none = MoveDate(None, None, None, None, None)
    plants = tuple(replace(p, status="stays-in", out=none, back=none, route=()) for p in plan.plants)
    plan = replace(plan, plants=plants)
    groups = threshold_groups(plan)
    with our_style():
        assert chance_chart(plan, groups) is None
        assert "C · stays indoors" in words_of(glance_chart(plan, groups).wide)


def test_charts_show_the_largest_groups_and_say_so():
    plan = make_plan()
    plants = tuple(replace(p, plant=replace(p.plant, harm_c=p.plant.harm_c + n / 10, count=n + 1))
                   for n, p in enumerate(plan.plants))
    groups = threshold_groups(replace(plan, plants=plants))
    shown = shown_groups(groups)
    assert len(shown) == MOST_GROUPS < sum(g.moves for g in groups)
    assert min(g.pots for g in shown) >= max(g.pots for g in groups if g.moves and g not in shown)
    with our_style():
        assert f"the {MOST_GROUPS} largest groups" in glance_chart(replace(plan, plants=plants), groups).caption


def test_light_chart_caps_places_and_survives_polar_light():
    plan = make_plan()
    dark = np.full(len(plan.daylight.dates), np.nan)
    plan = replace(plan, daylight=replace(plan.daylight, sunrise_min=dark, sunset_min=dark,
                                          clear_dli=0 * plan.daylight.clear_dli, mean_dli=0 * plan.daylight.mean_dli))
    with our_style():
        assert light_chart(plan).wide.startswith("<svg")
    assert len(shown_places(plan)) == 4 <= MOST_PLACES


def test_a_year_that_runs_over_new_year_starts_in_july():
    plan = make_plan()
    dates = tuple(date(2027, 7, 1) + timedelta(days=n) for n in range(366))
    south = replace(plan, daylight=replace(plan.daylight, dates=dates), plants=())
    months = [word for word in words_of(glance(south)) if word in ("Jan", "Jul", "Dec")]
    assert months == ["Jul", "Dec", "Jan"]
    assert day_index(dates[0]) == 181
