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
from seasonplan.model import LogEntry, Plan, Rules, ShadeAdvice
from seasonplan.outputs.daybook import is_noted
from seasonplan.outputs.page import render_index, render_page
from seasonplan.outputs.page_groups import by_route, by_row, by_week, spring_odds, threshold_groups, waves
from seasonplan.outputs.page_routes import route_views, shade_words
from seasonplan.outputs.page_steps import in_days, step_views, weeks, what_next

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
    ("next", ("Seen from Mon 10 May 2027", "Sat 15 May (in 5 days)", "Leach: Lemon, Olive", "50 min", "Wear gloves.")),
    ("alerts", ("Act: night of Tue 11 May, under the tree, frost possible", "Expected low at the plants 1.5 °C",
                "62 %", "Do it by 19:00 on Tue 11 May.", "Rosemary by the door")),
    ("glance", ("normal night low eight nights in ten a night as cold as this",
                "Sat 22 May out 8 Jade , Big fig , Umbrella , Ivy",
                "B: Jade, Big fig, Umbrella and Ivy 8 7 °C, hardened 5 °C 12 °C 22 May 26 Sep")),
    ("chance", ("B: Jade, Big fig, Umbrella and Ivy 12 Jun to 12 Sep 20 May to 27 Sep 5.4",
                "2.8 in spring, 3.8 in autumn", "42 % in spring, 31 % in autumn", "■ careful date")),
    ("jobs", ("Weekend of Sat 15 May and Sun 16 May 1 h 15 min of work", "Why: Because the invented plan says so.",
              "Caution: Heavy when wet: a dolly or a second person.", "Jade , Big fig , Umbrella , Ivy How and why")),
    ("skipped", ("cuttings Ivy No free hour before its last day. Give 240 minutes per day.",)),
    ("shopping", ("potting mix 18 L Sat 22 May peat-free works", "water for leaching 32 L Sat 15 May")),
    ("routes", ("8 pots, indoors at south window. Out Sat 22 May, in Sun 26 Sep: 18 weeks outdoors.",
                "Only under 50 % shade cloth until Sat 29 May.",
                "used to 2 mol; average day 6.2 mol, clear day 10 mol (limit 12 mol)",
                "Orchid day trips Nights stay too cold")),
    ("light", ("under the tree June", "Direct sun by the clock", "07:00 to 16:00")),
    ("plants", ("12 plants, 21 pots", "Lemon Inventia dura (dura invented plant) goes out and comes back 1 Sat 1 May",
                "African violet", "stays indoors 1 12 °C 15 °C No summer here is warm enough.")),
    ("notes", ("Pot sizes not given are taken as 15 cm.", "it is the law, and it decides the dose",
               "mean from the normals (normals.csv)", "Faust and Logan 2018", "Inventia tenera invented")),
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
    """The jobs of weeks still to come keep their markup when the plan is asked for a day later."""
    later = render_page(make_plan(today=date(2027, 5, 11)))
    pattern = r'<h3 class="week">Sat 22 May.*?</section>'
    assert re.search(pattern, page, re.DOTALL)[0] == re.search(pattern, later, re.DOTALL)[0]
    assert page != later


def test_ids_are_unique_and_every_link_lands(outline):
    ids = [attrs["id"] for _, attrs in outline.tags if "id" in attrs]
    assert len(ids) == len(set(ids))
    assert {attrs["href"][1:] for tag, attrs in outline.tags if tag == "a"} <= set(ids)


def test_every_table_has_a_caption_and_scoped_heads(page, outline):
    assert page.count("<table") == page.count("<caption>") > 6
    assert all(attrs.get("scope") in ("col", "row", "rowgroup") for tag, attrs in outline.tags if tag == "th")


def test_an_empty_plan_is_still_a_page():
    plan = make_plan(plants=(), steps=(), shopping=(), skipped=(), alerts=(), assumptions=())
    text = Outline(render_page(plan)).text
    assert "Nothing more is planned for this season." in text
    assert "Nothing to weigh up" in text and "Nothing to buy." in text


def test_next_shows_open_steps_until_the_log_has_them():
    plan = make_plan()
    done = plan.steps[1]
    first = what_next(plan, step_views(plan))
    assert [v.step.kind for v in first.open] == ["inspect", "move-out", "move"]
    logged = replace(plan, scenario=replace(plan.scenario, log=(LogEntry(date(2027, 5, 2), done.uid),)))
    after = what_next(logged, step_views(logged))
    assert done not in [v.step for v in after.open]
    assert [heading for heading, _ in first.days] == ["Sat 15 May (in 5 days)", "Sun 16 May (in 6 days)",
                                                      "Sat 22 May (in 12 days)"]


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


def test_weeks_add_up_minutes_and_show_overload():
    plan = make_plan()
    steps = (make_step(date(2027, 5, 15), "repot", ("Ivy",), minutes=300),
             make_step(date(2027, 5, 19), "spray", ("Jade",), minutes=100))
    past, ahead = weeks(replace(plan, steps=steps), step_views(replace(plan, steps=steps)))
    assert past == [] and [(week.title, week.minutes, week.over) for week in ahead] == [
        ("Sat 15 May", "5 h of work", False), ("Wed 19 May", "1 h 40 min of work", False)]
    tight = replace(plan, steps=steps, scenario=replace(plan.scenario, rules=Rules(minutes_per_day=120)))
    assert [week.over for week in weeks(tight, step_views(tight))[1]] == [True, False]
    late = replace(plan, steps=steps, today=date(2027, 5, 17))
    assert [len(half) for half in weeks(late, step_views(late))] == [1, 1]


def test_weeks_start_on_monday():
    steps = [make_step(date(2027, 5, 16), "a", ()), make_step(date(2027, 5, 17), "b", ())]
    assert [monday for monday, _ in by_week(steps)] == [date(2027, 5, 10), date(2027, 5, 17)]


def test_groups_share_thresholds_and_are_lettered_by_hardiness():
    groups = threshold_groups(make_plan())
    assert [(g.letter, g.harm_c, g.comfort_c) for g in groups] == [("A", 2.0, 8.0), ("B", 7.0, 12.0), ("C", 12.0, 15.0)]
    assert [g.pots for g in groups] == [7, 8, 6]
    assert groups[2].out_days == (date(2027, 6, 12),)


def test_group_reads_the_nights_at_its_places_warmth():
    plan = make_plan()
    group = threshold_groups(plan)[1]
    assert group.lifts_c == (1.0, 1.0), "the porch is 1 °C warmer"
    lawn = replace(group, lifts_c=(0.0, 0.0))
    day = [group.stay[0]]
    assert spring_odds(plan, group, day)[1][0] < spring_odds(plan, lawn, day)[1][0]


def test_waves_in_date_order():
    assert [(way, day, len(plans)) for way, day, plans in waves(make_plan())] == [
        ("out", date(2027, 5, 1), 3), ("out", date(2027, 5, 22), 4), ("out", date(2027, 6, 12), 2),
        ("in", date(2027, 9, 5), 2), ("in", date(2027, 9, 26), 4), ("in", date(2027, 10, 10), 3)]


def test_equal_routes_share_a_strip():
    plan = make_plan()
    groups = by_route(p for p in plan.plants if p.route)
    assert [len(g) for g in groups] == [3, 4, 2]
    assert sum(len(g) for g in groups) == sum(bool(p.route) for p in plan.plants)
    elsewhere = replace(plan.plants[0], plant=replace(plan.plants[0].plant, place="cellar"))
    assert len(by_route([*plan.plants[:3], elsewhere])) == 2


def test_strip_tells_the_stops_in_true_proportion():
    view = route_views(make_plan())[0]
    lefts, widths = ([float(getattr(s, side)) for s in view.segments] for side in ("left", "width"))
    assert [s.number for s in view.segments] == [1, 2, 3, 4] == list(range(1, len(view.stops) + 1))
    assert lefts[1] == pytest.approx(lefts[0] + widths[0], abs=0.02)
    assert widths[0] / widths[1] == pytest.approx(7 / 14, abs=0.01)
    assert [s.kind.split()[0] for s in view.segments] == ["l1", "l1", "l3", "l0"]      # 5.4, 8.5, 31 and 4.9 mol


def test_strip_draws_light_only_where_the_plant_stands():
    plan = make_plan()
    view = route_views(plan)[1]
    days = [float(x) for x in re.findall(r"[ML](-?[\d.]+) ", view.clear)]
    first = min(p.route[0].date for p in plan.plants if p.route) - timedelta(days=4)
    assert min(days) == (date(2027, 5, 22) - first).days and max(days) == (date(2027, 9, 26) - first).days
    heights = [float(y) for y in re.findall(r"[ML]-?[\d.]+ (-?\d+)", view.clear)]
    assert min(heights) >= 0 and max(heights) <= 100


def test_stay_to_the_end_of_the_year_is_drawn():
    plan = make_plan()
    stop = make_stop(date(2027, 1, 1), date(2028, 1, 1), "lawn", plan.daylight)
    each = make_plant_plan(make_plant("Houseleek"), date(2027, 1, 1), date(2028, 1, 1), (stop,), status="stays-out")
    text = Outline(render_page(replace(plan, plants=(each,)))).text
    assert "Stays outdoors, 1 Jan to 1 Jan." in text


def test_shade_words():
    until = date(2027, 6, 12)
    assert shade_words(None) == ""
    assert shade_words(ShadeAdvice("step", 50, None, until)) == "Only under 50 % shade cloth until Sat 12 Jun."
    assert shade_words(ShadeAdvice("step", 50, ("07:00", "09:30"), until)) == \
        "Only under 50 % shade cloth until Sat 12 Jun (without one: 07:00 to 09:30)."


def large_plan(count: int) -> Plan:
    plan = make_plan()
    plants = tuple(replace(p, plant=replace(p.plant, name=f"Pot {n} {p.plant.name}"))
                   for n in range(count // len(plan.plants) + 1) for p in plan.plants)[:count]
    names = tuple(p.plant.name for p in plants)
    return replace(plan, plants=plants, steps=tuple(replace(s, plants=names) for s in plan.steps))


def test_two_thousand_plants_stay_one_readable_page():
    plan = large_plan(2000)
    text = render_page(plan)
    assert len(text) < 2_500_000
    assert text.count('class="route"') == 3 and "All 668 plants" in text
    assert "Pot 165 Dumb cane" in text and "and 1960 more" in text
    assert len(by_row(plan.plants, True)) == 6


def test_index_lists_what_is_next_where():
    one, two = make_plan(), make_plan(make_scenario(site=make_site(name=HOSTILE)), today=date(2027, 9, 1))
    text = render_index([("home/plan.html", one), ("a b#?/plan.html", two)])
    outline = Outline(text)
    assert outline.open == []
    links = [attrs["href"] for tag, attrs in outline.tags if tag == "a" and not attrs["href"].startswith("#")]
    assert set(links) == {"home/plan.html", "a%20b%23%3F/plan.html"}
    rows = section(text, "next")
    assert rows.index("Sat 15 May (in 5 days)") < rows.index("Sun 5 Sep (in 4 days)")
    assert HOSTILE in unescape(outline.text) and "<script" not in text
    assert "2 sites, 42 pots." in outline.text
    assert "Act: night of Tue 11 May" in section(text, "alerts")


def test_index_link_cannot_be_a_script():
    links = [attrs["href"] for tag, attrs in Outline(render_index([("javascript:alert(1)", make_plan())])).tags
             if tag == "a"]
    assert not any(link.startswith("javascript:") for link in links) and "javascript%3Aalert%281%29" in links


def test_index_of_nothing():
    assert "0 sites, 0 pots." in Outline(render_index([])).text


def test_wording_of_light_and_time():
    assert [w.light(v) for v in (0.04, 6.25, 12.4, float("inf"))] == ["0 mol", "6.2 mol", "12 mol", "no limit"]
    assert [w.duration(v) for v in (0, 45, 60, 125)] == ["0 min", "45 min", "1 h", "2 h 5 min"]
    assert [w.hours(v) for v in (1.44, float("inf"))] == ["1.4 h", "no limit"]
    assert w.date_span(date(2027, 5, 9), date(2027, 9, 27)) == "9 May to 27 Sep"
