"""The page as text: every section, every sentence escaped, the same bytes every time, usable for large collections."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta
from html import unescape
from html.parser import HTMLParser

import pytest
from invented import make_plan, make_plant, make_plant_plan, make_scenario, make_site, make_step, make_stop

from seasonplan import wording as w
from seasonplan.data import table
from seasonplan.model import HelperList, LogEntry, Plan, Rules, ShadeAdvice
from seasonplan.outputs.cautions import themes
from seasonplan.outputs.daybook import DayBook, is_noted
from seasonplan.outputs.page import render_index, render_page
from seasonplan.outputs.page_days import day_views, in_days, job_view, near_and_far, now_days
from seasonplan.outputs.page_groups import groups_that_go, spring_odds
from seasonplan.outputs.page_plants import cloth_line, plant_views

VOID = {"meta", "link", "br", "path", "use"}
HOSTILE = "<script>alert(1)</script> \"'&\u202e🌵"


class Outline(HTMLParser):
    """Checks that every tag is closed in order; gathers tags, attributes and texts."""

    def __init__(self, text: str):
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: list[tuple[str, dict]] = []
        self.texts: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag):
        if tag not in VOID:
            assert self.open.pop() == tag

    def handle_data(self, data):
        self.texts.append(data)

    @property
    def text(self) -> str:
        return re.sub(r"\s+", " ", " ".join(self.texts))


@pytest.fixture(scope="module")
def page() -> str:
    return render_page(make_plan())


@pytest.fixture(scope="module")
def outline(page) -> Outline:
    return Outline(page)


def section(page: str, name: str) -> str:
    """Text of one section."""
    return Outline(re.search(f'<section aria-labelledby="{name}".*?</section>', page, re.DOTALL)[0]).text


def with_names(plan: Plan, name: str) -> Plan:
    plants = tuple(replace(p, plant=replace(p.plant, name=f"{name}{n}")) for n, p in enumerate(plan.plants))
    steps = tuple(replace(s, title=name, detail=name, why=name, place=name, plants=(name,), cautions=(name,))
                  for s in plan.steps)
    return replace(plan, plants=plants, steps=steps, assumptions=(name,),
                   scenario=replace(plan.scenario, site=make_site(name=name)))


def test_every_tag_is_closed(outline):
    assert outline.open == []
    assert len(outline.tags) > 300


@pytest.mark.parametrize(("name", "words"), [
    ("now", ("Seen from Mon 10 May 2027", "Act: night of Tue 11 May, under the tree, frost possible", "62 %",
             "Low at the plants 1.5 °C", "Do it by 19:00 on Tue 11 May.", "Today, Mon 10 May",
             "Nothing to do.", "Sat 15 May, in 5 days 50 min", "Leach 3 pots: 32 L of water")),
    ("days", ("Sat 22 May 1 h 25 min", "Jade (2 pots), Big fig (3 pots), Umbrella, Ivy (2 pots): south window → porch",
              "Before today 3 days", "September 2 days", "mind 2")),
    ("cautions", ("1 Sprays and granules", "2 Heavy pots", "Heavy when wet: a dolly or a second person.")),
    ("nights", ("Jade, Big fig, Umbrella and Ivy 22 May to 26 Sep; marked at 7 °C, hardened at 5 °C, likes 12 °C",
                "normal night low, °C", "eight nights in ten", "■ careful dates")),
    ("garden", ("minutes of work", "porch at most")),
    ("skipped", ("Take cuttings of Ivy No free hour before its last day. Give 240 minutes per day.",)),
    ("shopping", ("potting mix 18 L Sat 22 May peat-free works", "water for leaching 32 L Sat 15 May")),
    ("plants", ("12 plants in 21 pots, of which 18 go out",
                "Out Sat 22 May, in Sun 26 Sep: 18 weeks outdoors. 8 pots, indoors at south window.",
                "chance 42 %, 1.6 such nights to expect, still to come when it goes out", "50 % cloth until Sat 29 May",
                "6.2 mol a day, used to 2 mol; clear days 10 mol of at most 12 mol",
                "Orchid", "Nights stay too cold", "African violet", "No summer here is warm enough.")),
    ("light", ("under the tree", "hours of direct sun", "12:00")),
    ("notes", ("Pot sizes not given are taken as 15 cm.", "Nights from normals.csv", "Faust and Logan 2018",
               "Inventia tenera : invented; light: invented")),
])
def test_section_says(page, name, words):
    text = section(page, name)
    for each in words:
        assert each in text


def test_units_of_the_person():
    scenario = make_scenario(rules=Rules(year=2027, units="imperial"))
    text = Outline(render_page(make_plan(scenario))).text
    assert "54 °F" in text and "°C" not in text


def test_self_contained(page, outline):
    assert not [tag for tag, _ in outline.tags if tag in ("script", "img", "iframe", "object", "embed", "form")]
    targets = [attrs[key] for _, attrs in outline.tags for key in ("src", "href", "xlink:href") if key in attrs]
    assert all(target.startswith(("#", "data:")) for target in targets)
    assert "http:" not in page and "https:" not in page and "@import" not in page and "@font-face" not in page


def test_names_are_text_and_nothing_else():
    text = render_page(with_names(make_plan(), HOSTILE))
    outline = Outline(text)
    assert not [tag for tag, _ in outline.tags if tag == "script"]
    assert "alert(1)" in outline.text and "<script" not in text
    assert all(not key.startswith("on") for _, attrs in outline.tags for key in attrs)


def test_very_long_names_keep_all_their_letters():
    text = render_page(with_names(make_plan(), "x" * 10_000))
    assert "x" * 10_000 in Outline(text).text
    assert "overflow-wrap: anywhere" in text


def test_same_plan_same_bytes(page):
    assert render_page(make_plan()) == page


def test_today_changes_only_what_is_past_or_due(page):
    """The days still to come keep their markup when the plan is asked for a day later."""
    later = render_page(make_plan(today=date(2027, 5, 11)))
    pattern = r'<div class="day" id="d-2027-05-22">.*?</div>'
    assert re.search(pattern, page, re.DOTALL)[0] == re.search(pattern, later, re.DOTALL)[0]
    assert page != later


def test_ids_are_unique_and_every_link_lands(outline):
    ids = [attrs["id"] for _, attrs in outline.tags if "id" in attrs]
    assert len(ids) == len(set(ids))
    assert {attrs["href"][1:] for tag, attrs in outline.tags if tag == "a"} <= set(ids)


def test_every_table_has_a_caption_and_scoped_heads(page, outline):
    assert page.count("<table") == page.count("<caption>") == 2
    assert all(attrs.get("scope") in ("col", "row", "rowgroup") for tag, attrs in outline.tags if tag == "th")


def test_an_empty_plan_is_still_a_page():
    plan = make_plan(plants=(), steps=(), shopping=(), skipped=(), alerts=(), assumptions=())
    text = Outline(render_page(plan)).text
    assert "Nothing to do." in text and "No jobs this season." in text and "Nothing to buy." in text


def test_the_page_begins_with_today_and_the_next_two_days_of_work():
    first = now_days(DayBook(make_plan()))
    assert [day.title for day in first] == ["Today, Mon 10 May", "Sat 15 May, in 5 days", "Sun 16 May, in 6 days"]
    [row] = first[1].rows
    assert row.what == "Leach 3 pots: 32 L of water" and row.where == "porch: Lemon, Olive"
    saturday = now_days(DayBook(make_plan(today=date(2027, 5, 15), alerts=())))
    assert saturday[0].title == "Today, Sat 15 May" and saturday[0].minutes == "50 min" and len(saturday) == 3
    assert [day.more for day in saturday] == [0, 0, 0] and saturday[2].rows[0].what == "Out to porch, 50 % cloth"


def test_what_is_more_than_a_first_screen_holds_is_counted_and_linked():
    steps = tuple(make_step(date(2027, 5, 15), kind, ("Jade",)) for kind in ("leach", "wash", "repot", "prune", "feed"))
    calm = now_days(DayBook(make_plan(steps=steps, alerts=())))
    assert (len(calm[1].rows), calm[1].more, calm[1].anchor) == (3, 2, "d-2027-05-15")
    assert len(now_days(DayBook(make_plan(steps=steps)))[1].rows) == 2, "an alert stands above and needs the room"


def test_the_first_screen_says_the_same_work_at_one_place_once():
    steps = tuple(make_step(date(2027, 5, 15), "feed-start", (name,)) for name in ("Jade", "Ivy"))
    [row] = now_days(DayBook(make_plan(steps=steps, alerts=())))[1].rows
    assert (row.what, row.where) == ("Start feeding 4 pots", "porch: Jade, Ivy")


def test_overdue_is_said_on_the_page_once_something_is_logged():
    plan = make_plan()
    assert "Overdue:" not in section(render_page(plan), "now")
    first = LogEntry(date(2027, 4, 24), plan.steps[0].uid)
    kept = replace(plan, scenario=replace(plan.scenario, log=(first,)), steps=plan.steps[1:])
    said = section(render_page(kept), "now")
    assert "Overdue: carry out 6 pots, move 6, since Sat 1 May; 1 h in all." in said


def test_what_is_open_can_wait_or_is_for_the_helper_is_said():
    late = replace(make_step(date(2027, 5, 15), "leach", ("Jade",)), open_since=date(2027, 5, 1))
    spare = replace(make_step(date(2027, 5, 15), "wash", ("Ivy",)), optional=True)
    away = HelperList(date(2027, 7, 3), date(2027, 7, 17), True, ("Water all.",),
                      ((date(2027, 7, 6), ("Olive: 2 L.",)),), "Two weeks without a look for pests.")
    page = render_page(make_plan(steps=(late, spare), helper=(away,)))
    days, said = section(page, "days"), section(page, "away")
    assert "open since Sat 1 May; 30 min" in days and "if there is time; 30 min" in days
    for words in ("3 Jul to 17 Jul, with a helper", "Two weeks without", "Before: Water all.", "Tue 6 Jul Olive: 2 L."):
        assert words in said


def test_noted_by_kind_needs_the_right_time_and_all_plants():
    step = make_step(date(2027, 5, 8), "wash", ("Ivy", "Jade"))
    assert is_noted(step, [LogEntry(date(2027, 5, 10), "wash")])
    assert is_noted(step, [LogEntry(date(2027, 5, 10), "wash", "Ivy"), LogEntry(date(2027, 5, 8), "wash", "Jade")])
    assert not is_noted(step, [LogEntry(date(2027, 5, 10), "wash", "Ivy")])
    assert not is_noted(step, [LogEntry(date(2027, 7, 10), "wash")])
    assert not is_noted(step, [LogEntry(date(2027, 5, 8), "leach")])


def test_words_for_days_ahead():
    today = date(2027, 5, 10)
    assert [in_days(today, today + timedelta(days=n)) for n in (0, 1, 2)] == ["today", "tomorrow", "in 2 days"]


def test_days_add_up_minutes_and_show_overload():
    steps = (make_step(date(2027, 5, 15), "repot", ("Ivy",), minutes=300),
             make_step(date(2027, 5, 19), "spray", ("Jade",), minutes=100))
    plan = replace(make_plan(), steps=steps)
    plan = replace(plan, scenario=replace(plan.scenario, rules=Rules(minutes_per_day=120)))
    days = day_views(DayBook(plan))
    assert [(day.title, day.minutes, day.over) for day in days] == [("Sat 15 May", "5 h", True),
                                                                   ("Wed 19 May", "1 h 40 min", False)]


def test_four_weeks_stand_open_and_the_rest_by_month():
    steps = tuple(make_step(date(2027, 5, 1) + timedelta(days=n), "wash", ("Ivy",)) for n in (0, 9, 36, 37, 62, 92))
    plan = replace(make_plan(), steps=steps)
    past, near, months = near_and_far(plan, day_views(DayBook(plan)))
    assert [day.date.day for day in past] == [1] and [day.date for day in near] == [date(2027, 5, 10), date(2027, 6, 6)]
    assert [(m.title, m.summary) for m in months] == [("June", "1 day, 30 min"), ("July", "1 day, 30 min"),
                                                      ("August", "1 day, 30 min")]
    assert all(day.jobs and not day.lines for day in near)
    assert [line.what for day in (*past, *months[0].days) for line in day.lines] == ["Wash Ivy", "Wash Ivy"]


def test_a_group_never_includes_a_plant_that_does_not_go():
    """Nor one that goes on other days or other odds: what the page says of a group holds for each of its plants."""
    plan = make_plan()
    stays = replace(plan.plants[0], status="stays-in", out=replace(plan.plants[0].out, date=None), route=())
    late = replace(plan.plants[1], out=replace(plan.plants[1].out, date=date(2027, 5, 8)))
    groups = groups_that_go(replace(plan, plants=(stays, late, *plan.plants[2:])))
    assert [group.names for group in groups if "Rosemary by the door" in group.names or "Olive" in group.names] == [
        ("Rosemary by the door",), ("Olive",)]
    assert all(stays.plant.name not in group.names for group in groups)
    assert all({(each.out, each.back) for each in group.plans} == {(group.out, group.back)} for group in groups)


def test_group_reads_the_nights_at_its_places_warmth():
    plan = make_plan()
    group = next(group for group in groups_that_go(plan) if "Jade" in group.names)
    assert group.lifts_c == (1.0, 1.0), "the porch is 1 °C warmer"
    lawn = replace(group, lifts_c=(0.0, 0.0))
    day = [group.stay[0]]
    assert spring_odds(group, day)[1][0] < spring_odds(lawn, day)[1][0]


def test_how_and_why_of_a_kind_are_said_once(page):
    steps = tuple(make_step(date(2027, 5, 15 + n), "leach", ("Jade",), detail=f"{n} L.\nSlowly.", why="Salts.")
                  for n in range(3))
    text = Outline(render_page(make_plan(steps=steps))).text
    assert text.count("Slowly.") == 1 and text.count("Salts.") == 1 and all(f"{n} L." in text for n in range(3))


def test_every_caution_is_said_once_under_its_theme():
    steps = (make_step(date(2027, 5, 15), "wash", ("Jade",),
                       cautions=("Wet steps and decks are slippery.", "Jade: 30 kg.")),
             make_step(date(2027, 5, 16), "wash", ("Jade",), cautions=("Wet steps and decks are slippery.",)))
    text = Outline(render_page(make_plan(steps=steps))).text
    assert text.count("Wet steps and decks are slippery.") == 1 and "mind 2 , 4" in text
    assert [len(theme.sentences) for theme in themes(steps)] == [0, 1, 0, 1, 0]


def test_every_key_of_the_cautions_has_its_theme():
    """A row of data/caution_themes.csv names it; one without would be taken for a heavy pot's."""
    named = [key for row in table("caution_themes") for key in row["keys"].split()]
    assert sorted(named) == sorted({row["key"] for row in table("cautions")})
    assert all(len(row["short"]) < 190 for row in table("caution_themes"))


def test_equal_answers_share_a_place_on_the_page():
    views = plant_views(DayBook(make_plan()))
    assert [len(view.names) for view in views if view.stops] == [3, 4, 2]
    assert sum(len(view.names) for view in views) == 12 and views[0].names[1] == "Olive (2 pots)"


def test_stay_to_the_end_of_the_year_is_drawn():
    plan = make_plan()
    stop = make_stop(date(2027, 1, 1), date(2028, 1, 1), "lawn", plan.daylight)
    each = make_plant_plan(make_plant("Houseleek"), date(2027, 1, 1), date(2028, 1, 1), (stop,), status="stays-out")
    text = Outline(render_page(replace(plan, plants=(each,)))).text
    assert "Stays outdoors." in text and "lawn 1 Jan to 1 Jan" in text


def test_cloth_words():
    until = date(2027, 6, 12)
    assert cloth_line(None) == ""
    assert cloth_line(ShadeAdvice("step", 50, until)) == "50 % cloth until Sat 12 Jun"


def large_plan(count: int) -> Plan:
    plan = make_plan()
    plants = tuple(replace(p, plant=replace(p.plant, name=f"Pot {n} {p.plant.name}"))
                   for n in range(count // len(plan.plants) + 1) for p in plan.plants)[:count]
    names = tuple(p.plant.name for p in plants)
    return replace(plan, plants=plants, steps=tuple(replace(s, plants=names) for s in plan.steps))


def test_two_thousand_plants_stay_one_readable_page():
    text = render_page(large_plan(2000))
    assert len(text) < 1_500_000
    assert text.count('class="plant"') == 6 and "All 668 plants" in text
    assert "Pot 165 Dumb cane" in text and "and 1960 more" in text


def test_index_hands_the_next_days_of_all_gardens_together():
    one, two = make_plan(), make_plan(make_scenario(site=make_site(name=HOSTILE)))
    text = render_index([("home/plan.html", one), ("a b#?/plan.html", two)])
    outline = Outline(text)
    assert outline.open == []
    links = [attrs["href"] for tag, attrs in outline.tags if tag == "a" and not attrs["href"].startswith("#")]
    assert set(links) == {"home/plan.html", "a%20b%23%3F/plan.html"}
    said = section(text, "next")
    assert re.search(r"Sat 15 May, in 5 days 1 h 40 min Invented town : Leach 3 pots .*: Leach 3 pots Sun 16 May", said)
    assert said.index("Act: night of Tue 11 May") < said.index("Sat 15 May")
    assert HOSTILE in unescape(outline.text) and "<script" not in text
    assert "2 gardens, 42 pots." in outline.text


def test_index_says_how_old_its_alerts_are_and_which_garden_nobody_looked_at():
    """No alert and no look are two things: a garden without an alert says when it was looked at."""
    warned, calm, alone = (make_plan(make_scenario(site=make_site(name=name))) for name in ("Cold", "Calm", "Alone"))
    looked = replace(warned, alerts_issued="2027-05-09T18:00")
    calm = replace(calm, alerts=(), alerts_issued="2027-05-10T07:30")
    said = section(render_index([("a", looked), ("b", calm), ("c", replace(alone, alerts=()))]), "next")
    assert said.index("Cold") < said.index("Act: night of") < said.index("looked at yesterday, Sun 9 May at 18:00")
    assert "Calm: Nights looked at today, Mon 10 May at 07:30; no alert for the nights ahead." in said
    assert "Alone: Nobody has looked at its nights lately" in said
    quiet = section(render_index([("c", replace(alone, alerts=()))]), "next")
    assert "looked" not in quiet


def test_index_link_cannot_be_a_script():
    links = [attrs["href"] for tag, attrs in Outline(render_index([("javascript:alert(1)", make_plan())])).tags
             if tag == "a"]
    assert not any(link.startswith("javascript:") for link in links) and "javascript%3Aalert%281%29" in links


def test_index_of_nothing():
    assert "0 gardens, 0 pots." in Outline(render_index([])).text


def test_what_two_jobs_of_a_day_share_is_said_at_the_first_of_them():
    """Sprays at five places of one day do not print the same sentence five times; the next day says it again."""
    long = "Wipe leaves, both sides, and stems with a damp cloth; what comes off goes in the bin."
    def treat(n: int, day: int, place: str, detail: str):
        return replace(make_step(date(2027, 5, day), "treat", ("Jade",)), uid=f"{n}@x", place=place, detail=detail)

    steps = (treat(1, 15, "porch", f"Scale.\n{long}"), treat(2, 15, "tree", f"Mite.\n{long}"),
             treat(3, 16, "porch", f"Scale.\n{long}"), treat(4, 16, "tree", "Aphid."))
    own = [job.own for day in day_views(DayBook(make_plan(steps=steps))) for job in day.jobs]
    assert own == [("Scale.", long), ("Mite.", "The rest as above."), ("Scale.", long), ("Aphid.",)]


def test_a_reminder_for_everything_names_a_few_and_where_pots_stand_is_said_once():
    names = tuple(p.plant.name for p in make_plan().plants)
    water = make_step(date(2027, 5, 15), "water-check", names, minutes=0)
    text = render_page(make_plan(steps=(water,)))
    said = re.search(r'<p class="where">(.*?)</p>', text)[1]
    assert said.count(",") == 3 and said.endswith(f"and {len(names) - 4} more"), said
    feed = replace(make_step(date(2027, 5, 15), "feed", names), place="porch + tree",
                   detail="They stand: 4 pots on the porch and 8 pots at the tree.")
    assert job_view(DayBook(make_plan(steps=(feed,))), feed).place == ""
    assert job_view(DayBook(make_plan(steps=(feed,))), replace(feed, detail="Half rate.")).place == "porch + tree"


def test_wording_of_light_and_time():
    assert [w.light(v) for v in (0.04, 6.25, 12.4, float("inf"))] == ["0 mol", "6.2 mol", "12 mol", "no limit"]
    assert [w.duration(v) for v in (0, 45, 60, 125)] == ["0 min", "45 min", "1 h", "2 h 5 min"]
    assert [w.hours(v) for v in (1.44, float("inf"))] == ["1.4 h", "no limit"]
    assert w.date_span(date(2027, 5, 9), date(2027, 9, 27)) == "9 May to 27 Sep"


def test_a_day_that_only_begins_a_habit_says_so_wherever_it_is_shown():
    turn = make_step(date(2027, 5, 12), "turn", ("Jade", "Olive"), minutes=0)
    plan = make_plan(habits=(turn,), steps=(make_step(date(2027, 5, 15), "leach", ("Jade",)),))
    page = section(render_page(plan), "now")
    assert "Wed 12 May, in 2 days From then on: turn the pots weekly Sat 15 May" in page, page
    assert "Invented town : Turn the pots weekly" in section(render_index([("a", plan)]), "next")


def test_a_habit_to_come_is_not_ticked_as_done():
    turn = make_step(date(2027, 5, 15), "turn", ("Jade",), minutes=0)
    plan = make_plan(habits=(turn,))
    assert not job_view(DayBook(plan), turn).noted
