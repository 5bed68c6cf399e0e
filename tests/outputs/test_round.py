"""A person's round over several gardens, read aloud: how many plants where, amounts as people say them, no month that
is over."""

from __future__ import annotations

from datetime import date

from invented import make_step

from seasonplan.model import Round, RoundDay, ShoppingItem
from seasonplan.outputs.round import round_summary

MANY = ("Jade", "Olive", "Ivy")


def step(day: date, kind: str, plants: tuple[str, ...], minutes: int = 20):
    return make_step(day, kind, plants, minutes=minutes)


def found() -> Round:
    may, june = date(2027, 5, 15), date(2027, 6, 12)
    days = (RoundDay(may, 20, 0, (("Home", (step(may, "leach", MANY),)),)),
            RoundDay(june, 70, 10, (("Home", (step(june, "treat", MANY, 30), step(june, "leach", ("Jade",)),
                                              step(june, "feed", MANY, 10))),)))
    items = (ShoppingItem("potting mix", 5.667, "L", june, ()), ShoppingItem("pot of 21 cm", 1, "pots", june, ()))
    return Round(("Home", "Work"), days, items, 120)


def test_a_day_says_how_many_plants_of_each_job_and_names_a_single_one():
    text = round_summary(found(), date(2027, 6, 10))
    assert "Home: treat 3 plants, leach Jade, feed 3" in text
    last = text.replace("\n", " ").rpartition("Next: ")[2]
    assert last == "Sat 12 Jun, in 2 days, 1 h 10 min: Home: treat 3 plants, leach Jade, feed 3"


def test_months_gone_by_are_left_out():
    assert "Jun 3 things, 1 h 10 min." in round_summary(found(), date(2027, 6, 10))
    assert "May" not in round_summary(found(), date(2027, 6, 10))
    assert "May 1 thing, 20 min; Jun 3 things" in round_summary(found(), date(2027, 5, 2))


def test_what_is_to_be_bought_has_its_amount_in_words_that_fit_it():
    text = round_summary(found(), date(2027, 6, 10))
    assert "potting mix: 5.7 L; 12 Jun pot of 21 cm: 1 pot." in text


def test_a_line_ends_with_a_whole_job_and_how_many_more_there_are():
    kinds = ("leach", "wash", "repot", "prune", "treat", "inspect", "feed", "spray", "turn")
    day = date(2027, 6, 12)
    steps = tuple(step(day, kind, MANY) for kind in kinds)
    text = round_summary(Round(("Home",), (RoundDay(day, 90, 0, (("Home", steps),)),), (), 120), day)
    assert "…" not in text and " more" in text
