"""Terminal output: what to do first, all of it within the width, and nothing a terminal would take for a command."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta

import pytest
from invented import (
    make_daylight,
    make_night_climate,
    make_plan,
    make_plant,
    make_scenario,
    make_site,
    make_step,
    make_tables,
    make_taxon,
)
from rich.cells import cell_len

from seasonplan.climate.process import night_chance
from seasonplan.dates import day_index
from seasonplan.model import Evening, Figure, LogEntry, OutlookNight, Rules, ShoppingItem, WatchReport
from seasonplan.outputs.page_groups import groups_that_go
from seasonplan.outputs.sheet import Column, Sheet
from seasonplan.outputs.terminal import (
    catalogue_details,
    catalogue_table,
    check_text,
    light_table,
    nights_table,
    plan_summary,
    watch_text,
)
from seasonplan.outputs.trade import days_gained, extra_nights

PLAN = make_plan()
CLIMATE = make_night_climate()
TABLES = make_tables(CLIMATE, (-40.0, 0.0, 10.0, 40.0))
HEADINGS = ["Alerts", "Next two weeks", "Out and back in", "To decide"]
IN_FULL = ["Alerts", "Next two weeks", "Moves to come", "Jobs to come", "Not moving", "To buy or have at hand",
           "Careful or carry-in", "Did not fit, or makes a day run over", "Assumed"]


def section(text: str, heading: str) -> str:
    """What stands under a heading, as one line."""
    lines = text.split("\n")
    start = lines.index(heading) + 1
    end = next((n for n in range(start, len(lines)) if not lines[n]), len(lines))
    return " ".join(" ".join(lines[start:end]).split())


def report_of(*alerts, outlook=()):
    return WatchReport("Invented town", "2027-05-11T06:00:00Z", "a file", alerts, lambda: outlook,
                       ("Go a week later.",), ("An old copy.",))


def in_full(plan=None, **how) -> str:
    return plan_summary(plan or PLAN, everything=True, **how)


OUTLOOK = tuple(OutlookNight(date(2027, 5, 11) + timedelta(days=n), "lawn", 10.0, 6.0, 2.5, chance, 0.0, n < 5)
                for n, chance in enumerate((0.1, 0.3, 0.2, 0.4, 0.8, *[0.05] * 25)))
OUTPUTS = {
    "plan": lambda **how: plan_summary(PLAN, **how),
    "plan in full": in_full,
    "check": lambda **how: check_text(make_scenario(assumptions=("A zone was assumed.",)), "garden", **how),
    "watch": lambda **how: watch_text(report_of(*PLAN.alerts, outlook=OUTLOOK), "metric", **how),
    "nights": lambda **how: nights_table(PLAN.scenario, CLIMATE, TABLES, replace(TABLES, source="record"), **how),
    "light": lambda **how: light_table(PLAN.scenario, PLAN.daylight, **how),
    "light on a day": lambda **how: light_table(PLAN.scenario, PLAN.daylight, date(2027, 6, 1), **how),
    "catalogue": lambda **how: catalogue_table([make_taxon(), make_taxon(summer_outdoors="no")], **how),
}


@pytest.mark.parametrize("output", OUTPUTS.values(), ids=OUTPUTS.keys())
@pytest.mark.parametrize("width", [40, 60, 80])
def test_everything_fits_the_width(output, width):
    lines = output(width=width).split("\n")
    assert max(map(cell_len, lines)) <= width
    assert not [line for line in lines if line != line.rstrip()] and lines[0] and lines[-1]


@pytest.mark.parametrize("output", OUTPUTS.values(), ids=OUTPUTS.keys())
def test_colour_only_where_asked_and_never_the_only_sign(output):
    plain, coloured = output(colour=False), output(colour=True)
    assert "\x1b" not in plain and "\x1b[" in coloured
    bare = re.sub(r"\x1b\[[0-9;]*m", "", coloured)
    assert [line.rstrip() for line in bare.split("\n")] == plain.split("\n")


@pytest.mark.parametrize(("text", "headings"), [(plan_summary(PLAN), HEADINGS), (in_full(), IN_FULL)])
def test_summary_has_dates_first_then_the_rest(text, headings):
    lines = text.split("\n")
    assert lines[0] == "Invented town, season of 2027"
    assert lines[1].startswith("12 plants in 21 pots: 9 move out and back, 1 stays in")
    assert [line for line in lines if line in {*HEADINGS, *IN_FULL}] == headings


def logged(*entries: LogEntry, plan=PLAN, **more):
    """A season that is kept, as build_plan leaves it: what is noted is no step any more."""
    noted = {entry.step for entry in entries}
    return replace(plan, scenario=replace(plan.scenario, log=entries),
                   **{"steps": tuple(step for step in plan.steps if step.uid not in noted), **more})


def test_summary_tells_the_days_of_two_weeks_with_their_time_and_work():
    found = section(plan_summary(PLAN), "Next two weeks")
    assert "Sat 15 May 50 min Leach 3 pots" in found
    assert "Sat 22 May 1 h 25 min Out to porch: 8 pots; repot Big fig" in found
    assert "29 May" not in found and "1 May" not in found, "that is past, or later"


def test_what_is_overdue_is_said_once_something_is_logged():
    """Without any entry of the season the plan is one on paper: the past counts as done as planned."""
    assert "Nothing is logged this season" in plan_summary(PLAN) and "Overdue" not in plan_summary(PLAN)
    first = LogEntry(PLAN.steps[0].date, PLAN.steps[0].uid)
    found = section(plan_summary(logged(first)), "Next two weeks")
    assert found.startswith("Overdue 1 h Since Sat 1 May: ") and "Nothing is logged" not in found
    all_done = plan_summary(logged(*(LogEntry(step.date, step.uid) for step in PLAN.steps[:4])))
    assert "Overdue" not in all_done and "Leach" not in section(all_done, "Next two weeks")


def test_last_line_is_the_one_thing_to_do():
    """A night to act on, else what is overdue, else the next day with work."""
    assert plan_summary(PLAN).endswith("\nNext: by 19:00 on Tue 11 May: Carry 5 pots to the porch before sunset.")
    calm = replace(PLAN, alerts=())
    assert plan_summary(calm).split("\n")[-1] == "Next: Sat 15 May, in 5 days: leach 3 pots."
    late = plan_summary(logged(LogEntry(PLAN.steps[0].date, PLAN.steps[0].uid), plan=calm), folder="garden")
    assert late.replace("\n", " ").endswith("Next: say what was done of the 2 overdue steps, the oldest from "
                                            "Sat 1 May: seasonplan done garden STEP")
    assert in_full(calm).endswith("Next: Sat 15 May, in 5 days: leach 3 pots.")
    assert plan_summary(replace(calm, today=date(2027, 12, 1))).endswith("Next: nothing before the next season.")


def test_files_and_the_way_to_the_rest_stand_before_the_last_line():
    lines = plan_summary(PLAN, files=("garden/out",), folder="garden").split("\n")
    assert "Written to garden/out." in lines[-4:] and "--all" in "".join(lines[-4:])


@pytest.mark.parametrize("count", [40, 400])
def test_forty_pots_fit_one_screen(count):
    """However much there is: days full of jobs, alerts every night, a wave every week, much to decide."""
    plants = tuple(replace(PLAN.plants[n % 8], plant=replace(PLAN.plants[n % 8].plant, name=f"Plant {n}"))
                   for n in range(count))
    steps = tuple(make_step(date(2027, 5, 10) + timedelta(days=n // 8), kind, (f"Plant {n}", f"Plant {n + 1}"))
                  for n in range(count - 1) for kind in ("move-out", "leach", "treat-scale", "move-in"))
    busy = replace(PLAN, plants=plants, steps=steps, alerts=PLAN.alerts * 9, skipped=PLAN.skipped * 9)
    lines = plan_summary(busy, files=("garden/out",)).split("\n")
    assert 30 < len(lines) <= 40 and lines[-1].startswith(("Next", "before"))
    wide = plan_summary(replace(busy, alerts=()), width=140).split("\n")
    assert len(wide) <= 40 and max(map(cell_len, wide)) > 110, "a wide terminal is used"


def test_summary_after_the_season_says_so():
    text = plan_summary(replace(PLAN, today=date(2027, 12, 1)))
    assert "Nothing is left to do this season." in section(text, "Next two weeks") and "Out and back" not in text


def test_a_quiet_fortnight_names_the_next_day_with_work():
    text = plan_summary(replace(PLAN, today=date(2027, 3, 1), alerts=()))
    assert re.search(r"^Nothing until Sat 24 Apr, in 54 days\.$", section(text, "Next two weeks"))


def test_moves_tell_who_goes_from_where_to_where_and_why():
    found = section(in_full(replace(PLAN, today=date(2027, 5, 2))), "Moves to come")
    assert found.startswith("Sat 8 May Move: Lemon, Olive (2 pots) and Rosemary by the door (3 pots), from porch "
                            "to under the tree."), \
        "1 May is past"
    assert "Because the invented plan says so." in found and "STEP 2027-move-out" in found


def test_waves_are_told_by_day_with_pots_and_names():
    found = section(plan_summary(PLAN), "Out and back in")
    assert found.startswith("Sat 22 May 8 out Jade, Big fig, Umbrella, Ivy")


def test_summary_tells_who_stays_and_why():
    found = section(in_full(), "Not moving")
    assert "African violet: stays in. No summer here is warm enough." in found
    assert "Hen and chicks: stays out all year." in found


def test_where_half_of_the_plants_or_more_stay_in_the_summary_says_why():
    def top(*reasons, status="stays-in"):
        plants = tuple(replace(PLAN.plants[0], status=status, reason=why) for why in reasons)
        return " ".join(plan_summary(replace(PLAN, plants=plants)).split())

    name = PLAN.plants[0].plant.name
    short, cold = "Nights allow fewer than 21 days outdoors (lawn): not worth two moves.", "No date is safe. It is."
    lit = "Stays in: outdoors it would have 3.9 mol a day at most, and 5.1 indoors. No."
    assert (f"Nights allow fewer than 21 days outdoors ({name} and {name}). No date is safe ({name}). "
            "The others' reasons: --all.") in top(cold, short, lit, short)
    assert f"outdoors it would have 3.9 mol a day at most, and 5.1 indoors ({name})." in top(lit)
    assert "21 days" not in top(short, status="moves")
    few = (replace(PLAN.plants[0], status="stays-in", reason=short), *[PLAN.plants[0]] * 2)
    assert "21 days" not in " ".join(plan_summary(replace(PLAN, plants=few)).split())


def test_in_full_no_reason_is_cut():
    told = " ".join(["The chance of a night that marks it is told to its end."] * 6)
    plants = tuple(replace(each, reason=told) if each.status != "moves" else each for each in PLAN.plants)
    steps = tuple(replace(step, why=told) if step.kind in ("move-out", "move-in") else step for step in PLAN.steps)
    found = in_full(replace(PLAN, plants=plants, steps=steps))
    assert told in section(found, "Moves to come")
    assert told in section(found, "Not moving")


def test_jobs_stand_under_their_day_with_what_the_log_calls_them():
    found = section(in_full(), "Jobs to come")
    assert "Sat 15 May 50 min Leach: Lemon, Olive STEP 2027-leach" in found


def test_summary_points_on_when_there_are_many_days():
    steps = tuple(make_step(date(2027, 5, 10) + timedelta(days=n), "water", ("Jade",)) for n in range(14))
    found = section(plan_summary(replace(PLAN, steps=steps)), "Next two weeks")
    assert "and 4 more days with work" in found and len(re.findall("30 min", found)) == 10


def test_summary_shows_the_trade_between_the_policies():
    found = section(in_full(), "Careful or carry-in")
    assert ("Lemon, Olive and Rosemary by the door: careful Sat 22 May to Sun 26 Sep; carry-in Thu 29 Apr to "
            "Mon 11 Oct: 38 days more outdoors for about") in found
    assert re.search(r"for about \d+(\.\d)? nights carried in\.", found)
    assert "African violet" not in found, "it does not move"


def test_the_trade_counts_the_nights_between_the_two_dates():
    """Against the sum of the invented tables' own nightly chances, from the day after the bolder date on."""
    group = groups_that_go(PLAN)[0]
    out, back, plant = group.out, group.back, group.plans[0].plant
    lift_c, turn = 1.0, PLAN.climate.turn_index     # of the porch

    def nights(first, last, out_index):
        """Nights of day indices first..last that mark a plant which went out on out_index."""
        return sum(night_chance(PLAN.climate, plant.harm_after_c(i - out_index) - lift_c)[i]
                   for i in range(first, last + 1))

    spring = sum(sign * nights(day_index(day) + 1, turn - 1, day_index(day))
                 for sign, day in ((1, out.carry_in), (-1, out.careful)))
    autumn = nights(day_index(back.careful) + 1, day_index(back.carry_in), day_index(out.date))
    assert extra_nights(group) == pytest.approx(spring + autumn)
    assert days_gained(group.plans[0]) == (23, 15)


@pytest.mark.parametrize(("units", "amount", "unit", "said"), [
    ("metric", 18.0, "L", "18 L"), ("imperial", 37.85, "L", "10 gal"), ("imperial", 100.0, "mL", "3 fl oz"),
    ("metric", 3.0, "kg", "3 kg"), ("imperial", 3.0, "kg", "7 lb"), ("metric", 2.0, "pots", "2 pots"),
    ("metric", 1.0, "pots", "1 pot"), ("metric", 2.0, "bottle", "2 bottles"),
    ("metric", 2.5, "m²", "2.5 m²")])
def test_amounts_are_in_the_units_of_the_person(units, amount, unit, said):
    scenario = replace(PLAN.scenario, rules=Rules(year=2027, units=units))
    item = ShoppingItem("thing", amount, unit, date(2027, 5, 1), ())
    assert f"{said} thing Sat 1 May" in section(in_full(replace(PLAN, scenario=scenario, shopping=(item,))),
                                                "To buy or have at hand")


def test_dates_of_another_year_carry_it():
    """A southern season runs across New Year."""
    step = make_step(date(2028, 2, 5), "move-in", ("Jade",))
    scenario = replace(PLAN.scenario, site=make_site(latitude_deg=-37.0))
    plan = replace(PLAN, steps=(step,), scenario=scenario)
    assert "Sat 5 Feb 2028 2 in Jade" in section(plan_summary(plan), "Out and back in")
    later = plan_summary(replace(plan, today=date(2028, 1, 10)))
    assert "Sat 5 Feb 2 in" in section(later, "Out and back in")
    assert later.startswith("Invented town, season of 2027/28")


def test_hundreds_of_plants_are_counted_not_listed():
    step = make_step(date(2027, 5, 15), "move-out", tuple(f"Plant {n}" for n in range(300)))
    found = section(plan_summary(replace(PLAN, steps=(step,))), "Out and back in")
    assert re.search(r"300 out Plant 0, Plant 1, .* and 29\d more Things to do", found) and len(found) < 130


NASTY = ["\x1b[2J\x1b]0;title\x07", "a\nb\r\nc", "[bold red]markup[/]", ":smile:", "שרך בוסטון \u202e", "👩🏽‍🌾" * 60,
         "ficus" * 2000, "漢字" * 100]


@pytest.mark.parametrize("name", NASTY)
def test_no_name_can_break_the_sheet(name):
    step = make_step(date(2027, 5, 15), "move-out", (name, "Olive"), title=name, place=name, detail=name, why=name)
    plants = tuple(replace(p, plant=replace(p.plant, name=name), reason=name) for p in PLAN.plants)
    scenario = replace(PLAN.scenario, site=make_site(name=name))
    plan = replace(PLAN, plants=plants, steps=(step,), assumptions=(name,), scenario=scenario,
                   alerts=(replace(PLAN.alerts[0], place=name, plants=(name,), action=name),))
    for text in (plan_summary(plan), in_full(plan)):
        assert max(map(cell_len, text.split("\n"))) <= 80
        assert not re.search("[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e]", text)
        if name.startswith(("[bold", ":smile")):
            assert name in text


def test_watch_says_what_to_do_by_when():
    message = Evening(date(2027, 5, 11), "Tonight by 19:00: carry 5 pots to safety",
                      ("Carry Lemon and Olive in.", "Be ready for Thu 13 May."), "2027-05-11T19:00", ("one",))
    text = watch_text(replace(report_of(*PLAN.alerts, outlook=OUTLOOK), evening=message), "imperial")
    assert text.split("\n")[2:5] == [message.title, *message.lines], "the message comes first"
    found = section(text, "The nights behind it")
    allowed = "Chances allow for error and for what is usual then."
    assert found.startswith(f"{allowed} Tue 11 May under the tree, by the forecast about 35") and "Frost: act" in found
    assert "of 62 % of 36 °F or colder: Lemon, Olive and Rosemary by the door." in found
    assert text.count("usual then") == 1, "once, not in every row"
    assert "Nothing needs doing" not in text and "From a file, issued 2027-05-11T06:00:00Z." in text
    assert "An old copy." in text and section(text, "Planned days") == "- Go a week later."


def test_watch_outlook_gives_the_worst_night_of_three_spans():
    warmer = tuple(replace(night, place="porch", chance_harm=night.chance_harm / 2) for night in OUTLOOK)
    text = watch_text(report_of(outlook=warmer + OUTLOOK), "metric")
    assert "10 °C 30 % 80 % 5 % lawn" in section(text, "Outlook: highest chance of a night this cold at the plants")


def test_a_long_outlook_has_a_row_only_where_a_chance_is_clearly_higher():
    night = OUTLOOK[0]
    chances = {-1.0: 0.001, 0.0: 0.02, 1.0: 0.1, 2.0: 0.18, 3.0: 0.5, 4.0: 0.6, 5.0: 0.99, 6.0: 0.995}
    cold = tuple(replace(night, threshold_c=level, chance_harm=chance) for level, chance in chances.items())
    heading = "Outlook: highest chance of a night this cold at the plants"
    found = section(watch_text(report_of(outlook=cold), "metric"), heading)
    assert re.findall(r"(-?\d+) °C", found) == ["0", "2", "3", "5"] and "are left out" in found
    few = section(watch_text(report_of(outlook=cold[:2]), "metric"), heading)
    assert "left out" not in few and re.findall(r"(-?\d+) °C", few) == ["0"]


def test_watch_says_when_nothing_needs_doing():
    eye = replace(PLAN.alerts[0], level="keep-watch")
    safe = tuple(replace(night, chance_harm=0.001) for night in OUTLOOK)
    text = watch_text(report_of(eye, outlook=safe), "metric")
    assert "Nothing needs doing tonight" in text and "Frost: keep watch" in text and "Under 1 % on any night" in text


def test_check_counts_what_was_read():
    text = " ".join(check_text(make_scenario(log=(LogEntry(date(2027, 1, 1), "repot"),)), "garden").split())
    assert text == ("garden: Invented town, all in order 1 plant in 1 pot; 1 place indoors and 3 outdoors; 1 log "
                    "entry. Nights from normals.csv, their spread from its standard deviations: dates ±4 "
                    "days two times in three.")


def test_nights_table_has_a_row_for_each_chance():
    text = nights_table(PLAN.scenario, CLIMATE, TABLES, None)
    frost = section(text, "Nights at or below 0 °C")
    for words in ("1 in 20", "1 in 10", "1 in 5", "1 in 2", "4 in 5", "9 in 10"):
        assert words in frost
    assert re.search(r"1 in 10 27 May 7 Sep", frost), "the dates of `nights --json` for these tables"
    assert "About 82.1 nights between the depth of winter and midsummer" in frost
    assert "1 in 10 not reached not reached" in section(text, "Nights at or below -40 °C")
    assert "1 in 20 midsummer midsummer on" in section(text, "Nights at or below 40 °C")


def test_nights_table_puts_the_record_beside_the_normals():
    later = make_tables(replace(CLIMATE, mean_c=CLIMATE.mean_c - 2), (-40.0, 0.0, 10.0, 40.0))
    frost = section(nights_table(PLAN.scenario, CLIMATE, TABLES, replace(later, source="record")),
                    "Nights at or below 0 °C")
    row = re.search(r"1 in 10 (\d+ \w+) (\d+ \w+) (\d+ \w+) (\d+ \w+)", frost)
    assert row and row[1] == "27 May" and row[3] != row[1] and "(record)" in frost


def test_nights_table_in_fahrenheit_says_fahrenheit():
    scenario = replace(PLAN.scenario, rules=Rules(units="imperial"))
    assert "Nights at or below 50 °F" in nights_table(scenario, CLIMATE, TABLES, None)


def test_light_table_has_twelve_months_in_the_order_of_the_planning_year():
    south = make_daylight(year=2027, latitude_deg=-37.0)
    found = section(light_table(PLAN.scenario, south), "porch")
    months = re.findall(r"(January|July|December|June) ", found)
    assert months == ["July", "December", "January", "June"]


def test_light_on_a_day_gives_the_hours_of_sun():
    text = " ".join(light_table(PLAN.scenario, PLAN.daylight, date(2027, 6, 1)).split())
    assert "on Tue 1 Jun 2027" in text and "The sun is up from 06:00 to 20:00." in text
    assert "porch 07:00 to 08:24 1.0" in text


def test_light_without_sunrise():
    polar = replace(PLAN.daylight, sunrise_min=PLAN.daylight.sunrise_min * float("nan"))
    assert "does not rise or set" in light_table(PLAN.scenario, polar, date(2027, 6, 1))


def test_catalogue_gives_both_units_and_says_what_none_means():
    text = catalogue_table([make_taxon(summer_outdoors="no", toxic_people="none", toxic_pets="none")])
    for said in ("Inventia tropica", "10, 8 °C", "50, 46 °F", "3-12", "leave indoors", "not proven"):
        assert said in text


def test_one_plant_is_shown_with_the_evidence_behind_every_figure():
    guessed = make_taxon(harm=Figure(10.0, 8.0, 12.0, "group"), toxic_people="none", toxic_pets="deadly")
    rows = [{"quantity": "harm", "value": "10", "low": "8", "high": "12", "unit": "°C", "grade": "group",
             "conditions": "its kind chills", "source": "UF-EP429"},
            {"quantity": "sun", "value": "shade", "low": "", "high": "", "unit": "", "grade": "memory",
             "conditions": "", "source": "memory"}]
    text = catalogue_details([guessed], {guessed.key: rows}, '"x" is taken as it')
    for said in ("~10 °C", "8 to 12 °C", "a guess for its group", "UF-EP429: its kind chills", "pets deadly",
                 "from memory", "Cold Protection of Foliage Plants", '"x" is taken as it.'):
        assert said in text.replace("\n", " ") or said in " ".join(text.split()), said
    assert "Worked out from invented" in catalogue_details([guessed], {})


def test_check_tells_which_night_limits_are_guesses_and_not_those_of_your_own():
    taxon = make_taxon(harm=Figure(10.0, 8.0, 12.0, "memory"))
    plants = (make_plant("Guessed", taxon=taxon), make_plant("Too", taxon=taxon),
              make_plant("Own", taxon=taxon, harm_c=9.0))
    text = " ".join(check_text(make_scenario(plants=plants), "garden").split())
    assert "Harmed at, from memory: Guessed and Too 10 °C (8 °C to 12 °C)." in text and "Own" not in text
    assert "rest on a guess" not in check_text(make_scenario(), "garden")


def test_an_empty_table_is_not_printed():
    sheet = Sheet()
    sheet.line("Only this.")
    sheet.table((Column("Head"),), [])
    assert sheet.text(False, 80) == "Only this."


def test_months_gone_by_are_not_counted_among_things_to_do():
    """On 12 June nobody asks what March held."""
    plan = make_plan(today=date(2027, 6, 12))
    said = re.search(r"Things to do by month: ([^.]*)\.", plan_summary(plan).replace("\n", " "))
    months = [month for month in plan.months if month.things]
    assert months, "the invented plan tells its months"
    assert said and not re.search(r"\b(?:Mar|Apr|May) \d", said[1])
    assert re.search(r"\b(?:Jun|Jul|Aug|Sep|Oct) \d", said[1])
