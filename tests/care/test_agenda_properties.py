"""What holds for every agenda, over invented collections drawn by Hypothesis."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import count

import numpy as np
import pytest
from care.garden import entry, moves_of, moving, plant, scenario_of, staying, stop
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from invented import COLD_TOWN_TMAX_C, make_daylight, make_normals, make_site

from seasonplan import wording as w
from seasonplan.care import cases
from seasonplan.care.agenda import build_agenda
from seasonplan.care.jobs import REGISTRY, any_time_kinds
from seasonplan.care.logbook import pest_names
from seasonplan.care.shopping import named
from seasonplan.climate.highs import normal_highs_c
from seasonplan.dates import TURNING_DAYS, day_index

NO_SUN, SOAP = ({job.kind for job in REGISTRY if getattr(job, key)} for key in ("no_sun", "soap"))
MONTHS = timedelta(days=TURNING_DAYS)
JOB_KINDS = {job.kind for job in REGISTRY}
YEAR = {"north": date(2027, 1, 1), "south": date(2027, 7, 1)}
LIGHT = {"north": make_daylight(), "south": make_daylight(latitude_deg=-34.0)}
MIDSUMMER = {"north": date(2027, 6, 21), "south": date(2027, 12, 21)}

facts = st.fixed_dictionaries({
    "root_bound": st.sampled_from([True, False, None]), "count": st.integers(1, 4),
    "pot_cm": st.sampled_from([None, 9.0, 15.0, 25.4, 33.0, 45.0]),
    "pests": st.sampled_from(["none"] * 8 + list(pest_names())),
    "group": st.sampled_from(["foliage", "succulent", "orchid", "citrus"]),
    "key": st.sampled_from(["inventia", "epipremnum-inventum", "echeveria-inventa", "tillandsia-inventa"]),
    "soap_sensitive": st.sampled_from(["yes", "no", "unknown"]), "cuttings": st.sampled_from(["water", "soil"]),
    "moisture": st.sampled_from(["dry", "even"]), "notes": st.sampled_from(["", "dusty", "leggy", "clay pot"]),
})
status = st.sampled_from(["moves", "moves", "moves", "stays-in", "stays-out", "day-trips"])
places = st.sampled_from(["porch", "under the tree", "lawn"])
logs = st.lists(st.tuples(st.integers(0, 340), st.sampled_from(
    ["found-scale", "found-spider-mite", "pest-clear", "repot", "leach", "treat", "wash", "feed", "prune"]),
    st.integers(0, 5)), max_size=5)


@dataclass
class Garden:
    """Up to six plants that move on Saturdays or stay, under drawn rules and heat; made up only when asked for."""

    side: str
    rows: list
    limit: int
    move_days: tuple[str, ...]
    warmer: float
    entries: list

    def __post_init__(self):
        start = YEAR[self.side]
        saturday = start + timedelta(days=(5 - start.weekday()) % 7)
        self.plans = [self._plan(n, saturday, *row) for n, row in enumerate(self.rows)]
        south = self.side == "south"
        highs = (np.roll(COLD_TOWN_TMAX_C, 6) if south else COLD_TOWN_TMAX_C) + self.warmer
        log = [entry(start + timedelta(days=d), step, f"Plant {n % len(self.rows)}") for d, step, n in self.entries]
        self.scenario = scenario_of(self.plans, log, normals=make_normals(tmax_c=highs),
                                    site=make_site(latitude_deg=-34.0 if south else 44.5),
                                    minutes_per_day=self.limit, move_days=self.move_days, pets=True)
        self.light = LIGHT[self.side]

    def _plan(self, n, saturday, given_facts, status, week, weeks, second):
        one = plant(f"Plant {n}", **given_facts)
        if status != "moves":
            return staying(one, status)
        out = saturday + timedelta(weeks=week)
        back = min(out + timedelta(weeks=weeks), saturday + timedelta(weeks=50))
        middle = out + (back - out) / 2
        return moving(one, out, back, [stop(out, middle, "porch", 0.5), stop(middle, back, second, 3.0)])


def gardens(with_log=True):
    rows = st.lists(st.tuples(facts, status, st.integers(6, 30), st.integers(3, 20), places), min_size=1, max_size=6)
    return st.builds(Garden, st.sampled_from(["north", "south"]), rows, st.sampled_from([20, 60, 180, 500]),
                     st.sampled_from([("sat", "sun"), ("sat",), ()]), st.sampled_from([0.0, 4.0, 14.0]),
                     logs if with_log else st.just([]))


def planned(garden):
    return build_agenda(garden.scenario, garden.plans, garden.light, 2027, moves_of(garden.plans))


def by_plant(agenda):
    found = defaultdict(lambda: defaultdict(list))
    for step in agenda.steps:
        for name in step.plants:
            found[name][step.kind].append(step.date)
    return found


checked = settings(deadline=None, max_examples=40, derandomize=True, suppress_health_check=list(HealthCheck))


@checked
@given(gardens())
def test_no_spray_in_direct_sun_or_great_heat(garden):
    scenario, light = garden.scenario, garden.light
    highs = normal_highs_c(scenario.normals, scenario.site)
    for step in planned(garden).steps:
        if step.kind in NO_SUN:
            assert step.kind not in SOAP or highs[day_index(step.date)] <= 32
            begin = int(step.start[:2]) * 60 + int(step.start[3:])
            end = begin + (1 if "stop then" in step.why else step.minutes)
            spans = light.sun_spans[light.places.index(step.place)][light.dates.index(step.date)]
            assert not [span for span in spans if span[0] < end and span[1] > begin]


@checked
@given(gardens())
def test_no_feed_within_four_weeks_after_repotting_and_no_late_repotting(garden):
    scenario, plans = garden.scenario, garden.plans
    latest = MIDSUMMER[garden.side] + timedelta(days=28)
    agenda = planned(garden)
    for plan in plans:
        dates = by_plant(agenda)[plan.plant.name]
        logged = [e.date for e in scenario.log if e.step == "repot" and e.plant == plan.plant.name]
        for day in dates["repot"]:
            assert day <= latest
            assert plan.back.date is None or plan.back.date - day >= timedelta(days=56)
        for fed in dates["feed"] + dates["feed-start"]:
            assert not [d for d in dates["repot"] + logged[-1:] if timedelta(0) <= fed - d <= timedelta(days=28)]


@checked
@given(gardens(with_log=False))
def test_nothing_comes_in_before_its_last_check_and_every_listed_pest_is_set_apart(garden):
    agenda = planned(garden)
    for plan in garden.plans:
        dates = by_plant(agenda)[plan.plant.name]
        if plan.status == "moves":
            assert dates["inspect-before-in"] and max(dates["inspect-before-in"]) < plan.back.date
            assert all(day < plan.back.date for day in dates["treat-before-in"])
            assert plan.back.date in [s.date for s in agenda.habits if s.kind == "quarantine"]
        assert len(dates["isolate"]) == (plan.plant.pests != "none")


@checked
@given(gardens())
def test_a_day_runs_over_only_where_the_plan_says_so(garden):
    agenda, limit = planned(garden), garden.scenario.rules.minutes_per_day
    used = defaultdict(int)
    for step in agenda.steps:
        used[step.date] += step.minutes
    told = " ".join(job.reason for job in agenda.skipped)
    for day, minutes in used.items():
        assert minutes <= limit or w.day(day) in told
    for step in agenda.steps:
        if "over your" in step.why:
            assert next(job for job in REGISTRY if job.kind == step.kind).safety and used[step.date] > limit


@checked
@given(gardens())
def test_work_is_on_work_days_and_in_the_year(garden):
    scenario, light = garden.scenario, garden.light
    for step in planned(garden).steps:
        if step.kind in any_time_kinds():
            assert light.dates[0] - MONTHS <= step.date <= light.dates[-1] + MONTHS
        else:
            assert light.dates[0] <= step.date <= light.dates[-1]
        if step.minutes and step.kind in JOB_KINDS and step.due[0] < step.due[1]:
            assert not scenario.rules.move_days or w.DAY_NAMES[step.date.weekday()].lower() in scenario.rules.move_days
            assert step.due[0] <= step.date <= step.due[1]


@checked
@given(gardens())
def test_the_shopping_list_is_the_sum_over_steps(garden):
    agenda, units = planned(garden), garden.scenario.rules.units
    sums, first = defaultdict(float), {}
    for step in agenda.steps:
        for key, amount in step.amounts:
            item = named(key, units)[:2]
            sums[item] += amount
            first.setdefault(item, step.date)
    assert {(i.item, i.unit): i.amount for i in agenda.shopping} == pytest.approx(dict(sums))
    assert {(i.item, i.unit): i.needed_by for i in agenda.shopping} == first
    assert {uid for i in agenda.shopping for uid in i.for_steps} == {s.uid for s in agenda.steps if s.amounts}


@checked
@given(gardens())
def test_uids_are_unique_texts_are_whole_and_sessions_do_not_overlap(garden):
    agenda, order = planned(garden), [p.plant.name for p in garden.plans]
    assert len({s.uid for s in agenda.steps}) == len(agenda.steps)
    times = defaultdict(list)
    for step in agenda.steps:
        assert list(step.plants) == sorted(step.plants, key=order.index)
        if step.kind in JOB_KINDS:
            assert step.plants and step.title.strip() == step.title and "\n" not in step.title
            assert step.detail and step.why and len(step.title) < 140
            if step.start and "stop then" not in step.why:
                begin = int(step.start[:2]) * 60 + int(step.start[3:])
                times[step.date].append((begin, begin + step.minutes))
    for spans in times.values():
        spans.sort()
        assert all(a[1] <= b[0] for a, b in zip(spans, spans[1:], strict=False))


@settings(deadline=None, max_examples=15, derandomize=True)
@given(gardens())
def test_the_same_input_gives_the_same_agenda(garden):
    assert planned(garden) == planned(garden)


@settings(deadline=None, max_examples=15, derandomize=True)
@given(gardens())
def test_looking_at_like_plants_once_gives_what_looking_at_each_gives(garden):
    alone = count()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(cases, "_key", lambda plan, facts: (next(alone),))
        each = planned(garden)
    assert planned(garden) == each
