"""What a guess costs: the dates between which a move lies, from windows of the range's two ends."""

from dataclasses import replace
from datetime import date

import pytest
from decisions.cold_town import PLAIN, TROPICAL, finder_for
from invented import make_plant, make_taxon

from seasonplan.decisions import reasons
from seasonplan.decisions.guesses import Doubts, around, doubts_of, with_span
from seasonplan.model import Figure, MoveDate

GROUP = Figure(10.0, 8.0, 12.0, "group")
COMFORT = Figure(14.0, 12.0, 16.0, "memory")


def ends_of(bearing, doubts, **climate):
    others = [bearing._replace(harm_c=c, hardened_c=c) for c in (8.0, 12.0)]
    finder = finder_for([bearing, *others], **climate)
    window = finder.window(bearing, PLAIN, "lawn")
    return finder, window, [with_span(finder, bearing, doubts, window, PLAIN, side) for side in (0, 1)]


def test_a_date_that_hangs_on_a_guessed_harm_lies_between_those_of_its_range():
    bearing = TROPICAL._replace(comfort_c=-30.0)
    finder, window, (out, back) = ends_of(bearing, Doubts(GROUP, GROUP._replace(value=8.0, low=6.0), None), shift_c=3.0)
    assert window.out.decided_by == "harm" and out.guess == "group"
    early, late = (finder.window(bearing._replace(harm_c=c, hardened_c=min(8.0, c), comfort_c=c), PLAIN,
                                 "lawn").out.date for c in (8.0, 12.0))
    assert (out.earliest, out.latest) == (early, late) and early < window.out.date < late
    assert back.guess == "group" and back.earliest < back.date < back.latest


def test_a_date_that_hangs_on_a_guessed_comfort_says_so_and_one_on_a_known_figure_does_not():
    doubts = Doubts(GROUP, None, COMFORT)
    _, window, (out, back) = ends_of(TROPICAL, doubts, shift_c=4.0)
    assert window.out.decided_by == "comfort" and out.guess == back.guess == "memory"
    assert out.earliest < out.date < out.latest
    _, window, (out, back) = ends_of(TROPICAL, Doubts(GROUP, GROUP, None), shift_c=4.0)
    assert (out, back) == (window.out, window.back) and out.guess == ""


def test_a_range_whose_worst_end_forbids_the_season_says_that_too():
    bearing = TROPICAL._replace(comfort_c=-30.0)
    _, _, (out, _) = ends_of(bearing, Doubts(GROUP, GROUP, None), shift_c=-1.5)
    assert out.guess_may_forbid and "or no season at all" in reasons.guess_words(out)


def test_doubts_are_the_catalogues_guesses_and_not_what_the_row_gives():
    taxon = make_taxon(harm=GROUP, comfort=COMFORT)
    assert doubts_of(make_plant(taxon=taxon)) == Doubts(GROUP, None, COMFORT)
    assert doubts_of(make_plant(taxon=taxon, harm_c=9.0)) == Doubts(None, None, COMFORT)


@pytest.mark.parametrize("guess, words", [("group", "a guess for its group"), ("memory", "a figure from memory")])
def test_the_clause_names_the_guess_and_its_span(guess, words):
    move = MoveDate(date(2027, 6, 12), None, None, 0.1, 0.2, "harm", 12.0, guess, date(2027, 6, 5), date(2027, 6, 20))
    assert reasons.guess_words(move) == f"The date hangs on {words}: Sat 5 Jun to Sun 20 Jun"
    assert reasons.guess_words(replace(move, earliest=move.latest)) == "", "a guess that costs nothing"
    assert reasons.guess_words(MoveDate(date(2027, 6, 12), None, None, 0.1, 0.2, "harm")) == ""


def test_the_span_holds_the_day_on_which_it_really_moves():
    move = MoveDate(date(2027, 6, 12), None, None, 0.1, 0.2, "harm", 12.0, "group", date(2027, 6, 5), date(2027, 6, 20))
    later = around(move, date(2027, 6, 26))
    assert (later.date, later.earliest, later.latest) == (date(2027, 6, 26), date(2027, 6, 5), date(2027, 6, 26))
    assert around(replace(move, earliest=None, latest=None), date(2027, 6, 26)).earliest is None
    assert around(replace(move, earliest=None), date(2027, 6, 26)).latest == move.latest
