"""The day book: days, ways, words, and what is open."""

from dataclasses import replace
from datetime import date, timedelta

from invented import make_plan, make_step

from seasonplan.care.jobs import all_kinds
from seasonplan.inputs.places import assumed_outside
from seasonplan.model import HungCloth, LogEntry
from seasonplan.outputs.daybook import MOVE_KINDS, DayBook, how_key, words_of, work_days

PLAN = make_plan()
BOOK = DayBook(PLAN)


def step(kind: str, *plants: str, minutes: int = 30):
    return make_step(date(2027, 5, 15), kind, plants, minutes=minutes)


def test_every_kind_of_job_has_its_words():
    """A row of data/step_words.csv for each: a kind without one would be shown by its bare name."""
    from seasonplan.data import table

    rows = [row["kind"] for row in table("step_words")]
    assert len(rows) == len(set(rows)) and {*all_kinds(), *MOVE_KINDS} <= set(rows)
    assert words_of("brand-new").said("3 pots") == "brand new 3 pots"


def test_work_is_said_in_few_words_the_longest_first():
    steps = [step("turn", "Jade", "Olive", minutes=0), step("repot", "Big fig", minutes=20),
             step("leach", "Jade", "Olive", minutes=55), step("isolate", "Ivy", "Olive", minutes=5)]
    assert BOOK.phrases(steps) == ["leach 4 pots", "repot Big fig", "set 4 apart", "turn the pots weekly"]


def test_steps_of_the_same_words_are_one_and_no_plant_counts_twice():
    steps = [step("treat", "Jade", "Olive"), step("treat", "Olive", "Ivy")]
    assert BOOK.phrases(steps) == ["treat 6 pots"] and BOOK.pots(("Jade", "Olive", "Ivy", "nobody")) == 7


def test_a_move_is_told_by_way():
    [out] = [s for s in PLAN.steps if s.kind == "move-out" and "Jade" in s.plants]
    [carry] = BOOK.carries(out)
    assert (carry.from_place, carry.to_place, carry.cloth.percent) == ("south window", "porch", 50)
    back = next(s for s in PLAN.steps if s.kind == "move-in" and "Jade" in s.plants)
    [carry] = BOOK.carries(back)
    assert carry.to_place == "south window" and carry.from_place == BOOK.plans["Jade"].route[-1].place
    assert [each.plant.name for each in carry.plans] == list(back.plants)


def test_a_plant_that_was_rescued_goes_out_again_from_its_room():
    jade = BOOK.plans["Jade"]
    first = jade.route[0]
    again = replace(first, date=first.until + timedelta(days=3), until=first.until + timedelta(days=20))
    plans = tuple(replace(each, route=(first, again)) if each is jade else each for each in PLAN.plants)
    out = make_step(again.date, "move-out", ("Jade",))
    [carry] = DayBook(replace(PLAN, plants=plans, steps=(out,))).carries(out)
    assert (carry.from_place, carry.to_place) == ("south window", again.place)


def test_a_day_keeps_moves_and_jobs_apart():
    steps = [step("leach", "Jade"), step("move-out", "Olive", minutes=10)]
    [day] = work_days(steps)
    assert ([s.kind for s in day.moves], [s.kind for s in day.jobs], day.minutes) == (["move-out"], ["leach"], 40)


def test_looking_ahead_counts_today():
    steps = tuple(replace(step("leach", "Jade"), date=date(2027, 5, day)) for day in (10, 11))
    book = DayBook(replace(PLAN, steps=steps, today=date(2027, 5, 10)))
    assert [len(book.within(n)) for n in (0, 1, 2)] == [0, 1, 2] and book.overdue == ()


def test_overdue_is_what_the_log_of_this_season_does_not_tell():
    """The plan of a kept season asks for nothing that is done; what is done in part is asked for the rest."""
    first = LogEntry(date(2027, 4, 24), PLAN.steps[0].uid)
    kept = replace(PLAN, scenario=replace(PLAN.scenario, log=(first,)))
    again = replace(step("wash", "Jade"), date=date(2027, 5, 10), open_since=date(2027, 4, 1))
    book = DayBook(replace(kept, steps=(*kept.steps, again)))
    assert book.overdue[0] == again and PLAN.steps[0] in book.overdue
    assert DayBook(PLAN).overdue == () and DayBook(PLAN).on_paper and not book.on_paper


def test_a_habit_is_said_on_the_day_it_begins():
    """Care has put it on a day with work where there is one near (care.agenda)."""
    steps = (step("leach", "Jade"), replace(step("wash", "Jade"), date=date(2027, 5, 22)))
    turn, late = (replace(step(kind, "Jade", minutes=0), date=day) for kind, day in (
        ("turn", date(2027, 5, 15)), ("water-less", date(2027, 5, 24))))
    days = DayBook(replace(PLAN, steps=steps, habits=(turn, late))).days
    assert [(day.date.day, [habit.kind for habit in day.habits]) for day in days] == [
        (15, ["turn"]), (22, []), (24, ["water-less"])]
    [alone] = DayBook(replace(PLAN, steps=(), habits=(turn,))).days
    assert (alone.date.day, alone.jobs, len(alone.habits)) == (15, (), 1)


def test_a_cloth_taken_off_twice_is_no_common_instruction():
    off = "Take the 50 % cloth off the porch."
    steps = tuple(replace(step("cloth", "Jade"), uid=f"{n}@x", date=date(2027, 5, n), detail=off) for n in (12, 19))
    book = DayBook(replace(PLAN, steps=steps))
    assert [book.own_lines(each) for each in steps] == [(off,), (off,)]


def test_common_is_what_every_step_says_and_an_amount_stays_with_its_step():
    """What two of three say stays with those two; so do an amount, a time, a name and a place, though all say it."""
    def leach(n: int, detail: str, why: str = "Salts pile up."):
        return replace(step("leach", "Jade"), uid=f"{n}@x", place="porch", date=date(2027, 5, n), detail=detail,
                       why=why)

    own = "1.3 L through each 11 cm pot; 2.6 L in all."
    steps = (leach(2, f"{own}\nLet it drain.\nIndoors: in the bath."), leach(9, f"{own}\nLet it drain."),
             leach(16, f"{own}\nLet it drain.\nIndoors: in the bath.\nMind Jade."))
    book = DayBook(replace(PLAN, steps=steps))
    assert book.how == {"leach": ("Let it drain.",)} and book.why == {"leach": ("Salts pile up.",)}
    assert book.own_lines(steps[0]) == (own, "Indoors: in the bath.") and book.own_lines(steps[1]) == (own,)
    why = "Salts pile up.\nDirect sun there 10:40 to 15:40.\nFew on the porch."
    sunny = tuple(replace(each, why=why) for each in steps)
    book = DayBook(replace(PLAN, steps=sunny))
    assert book.why == {"leach": ("Salts pile up.",)} and len(book.own_reasons(sunny[1])) == 2
    alone = DayBook(replace(PLAN, steps=steps[:1]))
    assert alone.how == {} and len(alone.own_lines(steps[0])) == 3


def test_steps_of_two_kinds_that_go_by_the_same_words_have_their_own_instructions():
    """A look before going out and one before coming in are both "inspect"; neither takes over the other's lines."""
    kinds = [kind for kind in all_kinds() if how_key(kind) == "inspect"]
    assert len(kinds) > 1
    steps = tuple(replace(step(kind, "Jade"), uid=f"{kind}{n}@x", detail=f"As {kind}.\nWith a lens.")
                  for kind in kinds[:2] for n in (1, 2))
    book = DayBook(replace(PLAN, steps=steps))
    assert book.how["inspect"] == (f"As {kinds[0]}.", "With a lens.", f"As {kinds[1]}.")
    assert book.common_lines(steps[0]) == (f"As {kinds[0]}.", "With a lens.") and book.own_lines(steps[0]) == ()


def test_a_cloth_says_what_is_done_where_and_several_are_seen_to():
    """"See to the shade cloths" tells nobody anything on a lock screen."""
    one = replace(step("cloth", "Jade"), title="Hang 80 % shade cloth over the lawn")
    assert BOOK.phrases([one]) == ["hang 80 % shade cloth over the lawn"]
    long = replace(one, title="Change the shade cloth over the east step, the porch and 1 more")
    assert BOOK.phrases([long]) == BOOK.phrases([one, replace(one, uid="2@x")]) == ["see to the shade cloths"]


def test_a_garden_of_assumed_places_says_what_a_half_shade_would_spare():
    rooms, outside = [place for place in PLAN.scenario.places if not place.outdoors], assumed_outside(43.0)
    cloths = tuple(HungCloth("open ground", percent, date(2027, 5, 1), date(2027, 7, 1), 2.0, ("Jade",), True)
                   for percent in (60, 80))

    def said(outdoors, hung):
        return DayBook(replace(PLAN, scenario=replace(PLAN.scenario, places=(*rooms, *outdoors)),
                               cloths=hung)).half_shade

    assert said(outside, cloths).startswith("2 shade cloths lead from deep shade to open ground")
    assert said(outside, cloths[:1]) == "" == said([replace(place, assumed=()) for place in outside], cloths)
