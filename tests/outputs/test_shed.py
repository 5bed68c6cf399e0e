"""The sheet for the shed door: every day from today, every plant's way, amounts, boxes, cautions in five lines."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta

from invented import make_plan, make_scenario, make_site, make_step

from seasonplan.outputs.shed import Day, Line, render_shed, type_size

PLAN = make_plan(today=date(2027, 3, 1))


def text_of(html: str) -> str:
    """What is read, in one line; words in bold stay in their sentence."""
    inline = re.sub(r"</?(?:b|sup)>", "", html.split("<main", 1)[1])
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", inline))


def test_it_says_date_what_from_where_to_where_and_how_much():
    text = text_of(render_shed(PLAN))
    for said in ("Invented town, 2027 12 plants in 21 pots.", "Sat 15 May 50 min Leach Lemon and Olive: 32 L of water",
                 "Sat 22 May 1 h 25 min Out to porch: Jade (2), Big fig (3), Umbrella, Ivy (2) from south window",
                 "50 % cloth until 29 May", "Sun 10 Oct"):
        assert said in text, said


def test_every_line_has_a_box_and_the_cautions_are_five_numbered_lines():
    html = render_shed(PLAN)
    days = html.split('<div class="days">')[1].split("</div>")[0]
    assert days.count("<li>") >= len(PLAN.steps) and "content: \"\"" in html
    notes = re.findall(r'<li value="(\d)">(.*?)</li>', html)
    assert [number for number, _ in notes] == list("12345") and all(len(note) < 190 for _, note in notes)
    assert "product label is the law" in notes[0][1] and "poison centre" in notes[2][1]
    assert re.search(r"<sup>[1-5](,[1-5])*</sup>", days)


def test_what_takes_no_time_is_one_line_of_its_day():
    kinds = ("turn", "quarantine", "feed-stop")
    steps = tuple(make_step(date(2027, 5, 15), kind, ("Jade", "Ivy"), minutes=0) for kind in kinds)
    html = render_shed(make_plan(steps=steps))
    assert html.count("<li>") == 1 and "Turn the pots weekly, keep 4 pots apart indoors, stop feeding 4" in html


def test_days_gone_by_are_left_out_and_said():
    text = text_of(render_shed(replace(PLAN, today=date(2027, 5, 16))))
    assert "Sat 15 May" not in text and "Sun 16 May" in text and "4 days before Sun 16 May left out." in text
    over = text_of(render_shed(replace(PLAN, today=date(2027, 12, 24))))
    assert "Sat 15 May" in over, "after the season the whole of it is shown"


def test_nights_and_stays_stand_in_small():
    html = render_shed(PLAN)
    assert 'class="picture nights"' in html and html.count('class="picture stay"') == 3
    assert "22 May to 26 Sep: Jade, Big fig, Umbrella and Ivy" in text_of(html)


def test_the_more_there_is_the_smaller_the_type_and_sixty_pots_may_take_two_sides():
    def days(count: int) -> list[Day]:
        lines = (Line("Leach eighteen pots of this and that", "12 L", (1,)),) * 4
        return [Day(f"Sat {n}", "", lines) for n in range(count)]

    sizes = [type_size(days(n), 40) for n in (0, 20, 40, 60, 90)]
    assert sizes[0] == 9.0 and sizes == sorted(sizes, reverse=True) and sizes[-1] < 6.5
    assert type_size(days(60), 60) > type_size(days(60), 59)


def crowded(pots_each: int, days: int):
    """An invented plan of so many days, each with a long line, and so many pots of each of its twelve plants."""
    plants = tuple(replace(p, plant=replace(p.plant, count=pots_each)) for p in PLAN.plants)
    steps = tuple(make_step(date(2027, 4, 1) + timedelta(days=n), "leach", ("Jade", "Ivy", "Umbrella"),
                            cautions=PLAN.steps[0].cautions) for n in range(days))
    return replace(make_plan(steps=steps, today=date(2027, 3, 1)), plants=plants)


def test_each_of_two_sides_has_the_cautions_at_its_foot_and_says_where_it_begins():
    """The numbers of the second side mean something at the door without turning it."""
    html = render_shed(crowded(6, 120))
    assert html.count('class="side"') == html.count("<aside") == 2
    one, two = html.split('class="side"')[1:]
    for side in (one, two):
        assert side.index('class="days"') < side.index("product label is the law") and side.count("<li value") == 5
    assert 'class="strip"' not in one and 'class="strip"' in two
    first = re.search(r"<h2>([^<]*?) <", two)[1]
    assert f"from {first} on" in two and first not in one
    assert render_shed(crowded(6, 20)).count("<aside") == render_shed(crowded(4, 120)).count("<aside") == 1


def test_reminders_go_where_the_type_would_be_too_small():
    def busy(count: int):
        days = [date(2027, 4, 1) + timedelta(days=n) for n in range(count)]
        return tuple(make_step(day, kind, ("Jade", "Ivy"), minutes=minutes) for day in days
                     for kind, minutes in (("leach", 30), ("wash", 20), ("repot", 20), ("turn", 0)))

    assert "Turn the pots weekly" in render_shed(make_plan(steps=busy(20), today=date(2027, 3, 1)))
    tight = render_shed(make_plan(steps=busy(90), today=date(2027, 3, 1)))
    assert "Turn the pots weekly" not in tight and tight.count("<li>") == 3 * 90


def test_names_are_text_and_nothing_else():
    name = "<script>alert(1)</script>"
    plants = tuple(replace(p, plant=replace(p.plant, name=f"{name}{n}")) for n, p in enumerate(PLAN.plants))
    names = tuple(p.plant.name for p in plants)
    steps = tuple(replace(step, plants=names[:2]) for step in PLAN.steps)
    html = render_shed(replace(PLAN, plants=plants, steps=steps, scenario=make_scenario(site=make_site(name=name))))
    assert "<script" not in html and "&lt;script&gt;" in html


def test_same_plan_same_bytes_and_nothing_is_fetched():
    html = render_shed(PLAN)
    assert html == render_shed(make_plan(today=date(2027, 3, 1)))
    assert "http" not in html and "<script" not in html and "url(#hatch)" not in html
    assert (date(2027, 3, 1) + timedelta(days=1)).day == 2


def test_the_type_is_the_largest_that_fits_by_the_widths_of_its_words():
    """A day with one short thing takes one line, so more of them fit; long words take more lines than short ones."""
    def days(what: str, count: int) -> list[Day]:
        return [Day(f"Sat {n}", "5 min", (Line(what, "", ()),)) for n in range(count)]

    assert type_size(days("Feed 8 pots", 110), 40) > type_size(days("Feed every one of the 8 pots there", 110), 40)
    narrow, wide = (type_size(days(letter * 30, 110), 40) for letter in "iW")
    assert narrow > wide
    notes = ("a note that is as long as any caution " * 4,) * 5
    assert type_size(days("W" * 30, 110), 40, notes, 30) < wide


def test_where_cloths_differ_each_plant_says_its_own():
    shade = next(stop.shade for p in PLAN.plants for stop in p.route if stop.shade)
    plants = tuple(replace(p, route=(replace(p.route[0], shade=replace(shade, percent=20 + 30 * n)), *p.route[1:]))
                   if p.route and n < 2 else p for n, p in enumerate(PLAN.plants))
    text = text_of(render_shed(replace(PLAN, plants=plants)))
    assert re.search(r"from [a-z ]+ \(20 % cloth until [^)]+\)", text)
    assert re.search(r"from [a-z ]+ \(50 % cloth until [^)]+\)", text)


def test_a_cloth_is_put_in_square_metres():
    steps = (make_step(date(2027, 5, 15), "cloth", ("Jade",), minutes=9, amounts=(("cloth_50_m2", 2.5),)),)
    assert "2.5 m² of 50 % cloth" in text_of(render_shed(make_plan(steps=steps)))


def test_of_a_cloth_the_sheet_says_what_is_done_where():
    steps = (make_step(date(2027, 5, 15), "cloth", ("Jade",), minutes=9, title="Take the shade cloth off the porch"),)
    assert "Take the shade cloth off the porch" in text_of(render_shed(make_plan(steps=steps)))
