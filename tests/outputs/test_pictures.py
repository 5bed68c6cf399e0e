"""Pictures say what the plan says: shapes lie where the days and values are, and every one has its words."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from invented import make_daylight, make_night_climate, make_plan, make_scenario, make_site

from seasonplan.climate.at_plant import season_lift
from seasonplan.climate.process import night_chance
from seasonplan.dates import DAYS, day_index
from seasonplan.model import HungCloth, Rules
from seasonplan.outputs.daybook import DayBook
from seasonplan.outputs.page_groups import groups_that_go, spring_odds
from seasonplan.outputs.page_plants import summer_picture
from seasonplan.outputs.pictures import Field, blocks, weekly
from seasonplan.outputs.pictures_light import light_rows
from seasonplan.outputs.pictures_season import (
    group_rows,
    night_band,
    nights_picture,
    place_rows,
    season_span,
    work_picture,
)

PLAN = make_plan()
BOOK = DayBook(PLAN)
JADE = BOOK.plans["Jade"]


def points(path: str) -> list[tuple[float, float]]:
    """(x, y) of a path of straight lines, y as drawn (downwards)."""
    return [(float(x), float(y)) for x, y in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", path)]


def shape(picture, look: str) -> str:
    return next(each.path for each in picture.shapes if each.look == look)


def test_a_field_puts_days_and_values_where_its_ends_say():
    field = Field(date(2027, 5, 1), 100, -10.0, 30.0)
    assert field.x(date(2027, 5, 11)) == 10 and field.x(date(2026, 1, 1)) == 0 and field.x(date(2029, 1, 1)) == 100
    assert [field.y(value) for value in (-10, 10, 30, 99)] == [100, 50, 0, 0]
    assert points(field.line([(0, -10), (100, 30)])) == [(0, 100), (100, 0)]
    assert field.months() == ((31, "May"), (30, "Jun"), (39, "Jul"))


def test_weekly_keeps_both_ends_and_blocks_keep_every_change():
    assert weekly(0, 15) == [0, 7, 14, 15] and weekly(3, 3) == [3] and weekly(4, 3) == []
    assert blocks([0, 0, 2, 2, 1]) == [(0, 2, 0.0), (2, 4, 2.0), (4, 5, 1.0)]


def test_band_holds_eight_nights_in_ten_of_a_skewed_climate():
    climate = replace(make_night_climate(), details={"skew": np.full(DAYS, -0.4), "excess_kurtosis": 0.3})
    low, high = night_band(climate)
    for day in (20, 120, 220, 320):
        assert night_chance(climate, float(low[day]))[day] == pytest.approx(0.1, abs=2e-3)
        assert night_chance(climate, float(high[day]))[day] == pytest.approx(0.9, abs=2e-3)


def test_nights_show_what_marks_the_plants_while_they_are_out():
    picture = nights_picture(PLAN, groups_that_go(PLAN))
    first = PLAN.daylight.dates[0]
    lines = [points(each.path) for each in picture.shapes if each.look == "harm"]
    spans = {(line[0][0], line[-1][0]) for line in lines}
    assert ((date(2027, 5, 22) - first).days, (date(2027, 9, 26) - first).days) in spans
    assert {"marked at 7°", "0 °C"} <= {label.text for label in picture.labels}
    assert "Jade, Big fig and 2 more" in picture.alternative and "22 May to 26 Sep" in picture.alternative


def test_fahrenheit_where_the_person_reads_fahrenheit():
    plan = make_plan(make_scenario(rules=Rules(year=2027, units="imperial")))
    labels = [label.text for label in nights_picture(plan, groups_that_go(plan)).labels]
    assert "40 °F" in labels and not [text for text in labels if "°C" in text] and "marked at 45°" in labels


def test_a_groups_chance_falls_and_rises_as_the_tables_say():
    group = next(g for g in groups_that_go(PLAN) if "Jade" in g.names)
    row = next(row for row in group_rows(PLAN, [group]))
    curve = dict(points(shape(row.picture, "chance")))
    for n in (70, 105, 140):
        chance = float(spring_odds(group, [PLAN.daylight.dates[n]])[0][0])
        assert curve[n] == pytest.approx(100 * (1 - chance), abs=0.06)
    assert [label.text for label in row.picture.labels] == ["■", "■", "●", "●"]
    assert "chance of a night that marks them still to come then 42 %" in row.picture.alternative


def test_work_stands_on_its_days_as_high_as_its_minutes():
    picture, (first, _) = work_picture(BOOK), season_span(BOOK)
    budget = points(shape(picture, "limit"))[0][1]
    bars = re.findall(r"M(-?[\d.]+) ([\d.]+)H(-?[\d.]+)V([\d.]+)", shape(picture, "work"))
    heights = {round((float(left) + float(right)) / 2): 100 - float(top) for left, _, right, top in bars}
    for day in BOOK.days:
        if day.minutes:
            share = heights[(day.date - first).days] / (100 - budget)
            assert share == pytest.approx(day.minutes / PLAN.rules.minutes_per_day, abs=0.01)
    assert "6 h 40 min in all" in picture.alternative and "moved on 7 days" in picture.alternative


def test_places_show_how_many_pots_stand_there():
    [porch] = [row for row in place_rows(BOOK) if row.place == "porch"]
    first, days = season_span(BOOK)
    standing = [sum(p.plant.count for p in PLAN.plants for s in p.route
                    if s.place == "porch" and s.date <= first + timedelta(days=n) < s.until) for n in range(days)]
    boxes = re.findall(r"M([\d.]+) 100H([\d.]+)V([\d.]+)", shape(porch.picture, "pots"))
    drawn = [0.0] * days
    for left, right, top in boxes:
        drawn[int(float(left)):int(float(right))] = [100 - float(top)] * (int(float(right)) - int(float(left)))
    assert drawn == pytest.approx([100 * n / max(standing) for n in standing], abs=0.06)
    assert porch.most.startswith(f"{max(standing)} pots")


def test_a_summer_is_one_line_as_high_as_the_light_where_the_plant_stands():
    picture, (first, _) = summer_picture(BOOK, JADE), season_span(BOOK)
    line = points(shape(picture, "light"))
    light, stop = PLAN.daylight, JADE.route[1]
    day = stop.date
    height = {x: 100 - y for x, y in line}
    brightest = max(s.mean_dli for p in PLAN.plants for s in p.route) ** 0.5 * 1.25
    there = float(light.mean_dli[light.places.index(stop.place), (day - light.dates[0]).days])
    through = 1 - stop.shade.percent / 100 if stop.shade else 1
    assert height[(day - first).days] == pytest.approx(100 * (there * through) ** 0.5 / brightest, abs=0.06)
    assert [text.split()[0] for _, text in picture.stays if text] == [f"{n + 1}" for n in range(len(JADE.route))]
    assert all(stop.place in picture.alternative for stop in JADE.route)


def test_cloth_is_hatched_and_halves_the_light():
    assert JADE.route[0].shade is not None and JADE.route[0].shade.percent == 50
    under = points(shape(summer_picture(BOOK, JADE), "light"))
    bare = replace(JADE, route=(replace(JADE.route[0], shade=None), *JADE.route[1:]))
    picture = summer_picture(BOOK, bare)
    assert "cloth" not in [each.look for each in picture.shapes]
    at = (JADE.route[0].date - season_span(BOOK)[0]).days
    [low], [high] = ([100 - y for x, y in line if x == at][-1:] for line in (under, points(shape(picture, "light"))))
    assert low == pytest.approx(high * 0.5 ** 0.5, abs=0.1)


def test_rescues_are_ticks_as_tall_as_the_nights_to_expect():
    picture, (first, _) = summer_picture(BOOK, JADE), season_span(BOOK)
    ticks = {float(x): float(tall) for x, tall in re.findall(r"M([\d.]+) 100v-([\d.]+)", shape(picture, "rescue"))}
    [place] = [place for place in PLAN.places if place.name == JADE.route[0].place]
    day, lift = JADE.route[0].date, season_lift(place, PLAN.climate).harm_c
    nights = 7 * float(night_chance(PLAN.climate, JADE.plant.harm_c - lift)[day_index(day)])
    assert ticks[(day - first).days] == pytest.approx(60 * min(nights, 1), abs=0.6)
    assert 0 < len(ticks) < 30


def test_light_is_drawn_weekly_for_every_place_in_use():
    rows = light_rows(PLAN)
    assert [row.place for row in rows][:2] == ["south window", "porch"] or len(rows) > 2
    line = points(shape(rows[0].light, "light"))
    assert {b[0] - a[0] for a, b in zip(line, line[1:-1], strict=False)} == {7.0}
    assert all(row.light.alternative and row.clock.alternative for row in rows)


def test_polar_light_and_years_over_new_year():
    dark = tuple(tuple(() for _ in days) for days in PLAN.daylight.sun_spans)
    polar = replace(PLAN, daylight=replace(PLAN.daylight, sunrise_min=PLAN.daylight.sunrise_min * float("nan"),
                                           sun_spans=dark))
    assert light_rows(polar)[0].clock.labels[0].text == "no direct sun"
    south = replace(PLAN, daylight=make_daylight(year=2027, latitude_deg=-37.0),
                    scenario=replace(PLAN.scenario, site=make_site(latitude_deg=-37.0)))
    assert nights_picture(south, ()).months[0][1] == "Jul"


def test_a_cloth_of_the_season_is_hatched_over_its_place_and_said_once():
    plan = make_plan(today=date(2027, 3, 1))
    place = plan.plants[0].route[0].place
    hung = HungCloth(place, 40, date(2027, 6, 5), date(2027, 8, 14), 2.5, ("Jade", "Ivy"), True)
    rows = {row.place: row for row in place_rows(DayBook(replace(plan, cloths=(hung,))))}
    assert "40 % cloth of 2.5 m² over 2 plants, 5 Jun to 14 Aug" in rows[place].most
    assert "40 % cloth" in rows[place].picture.alternative
    [hatch] = [shape for shape in rows[place].picture.shapes if shape.look == "cloth"]
    assert hatch.path.count("M") == 1
    assert all(shape.look != "cloth" for row in place_rows(DayBook(plan)) for shape in row.picture.shapes)
