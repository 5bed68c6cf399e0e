"""Whatever is typed is understood, or refused with the choices; what is understood makes a folder that reads."""

from hypothesis import given, settings
from hypothesis import strategies as st

from seasonplan.cli import asking
from seasonplan.inputs.gathering import Wrong
from seasonplan.inputs.said.people import household_said, time_said
from seasonplan.inputs.said.places import outdoors_said, windows_said
from seasonplan.inputs.said.plants import plants_said
from seasonplan.inputs.said.where import whereabouts
from seasonplan.inputs.said.words import Asks
from seasonplan.inputs.scenario import read_scenario
from seasonplan.model.begun import Answers
from seasonplan.outputs.new_scenario import kept_answers, scenario_files

WORDS = [
    "3", "0", "1", "12", "400", "-5", "x", "pothos", "jade", "fern", "lemon", "blorf", "and", ",", ";", ":", "(", ")",
    "?", "50f", "sun", "a", "south", "sw", "suoth", "200", "window", "balcony", "birch", "cloth", "lawn", "none",
    "cat", "both", "yes", "sat", "90", "min", '"', "'", "\\", "#", "=", "[[place]]", "é", "²", "\x1b", "\u202e",
    "Leeds", "Springfield", "51.5", "-0.1", "<", "+", "lemon tree", "10 °C", "30 cm", "the rest", "50 %", "4 pots",
    "any day", "2 h"]
LINES = st.one_of(st.lists(st.sampled_from(WORDS), max_size=7).map(" ".join), st.text(max_size=25))
LEEDS, JADE = whereabouts("Leeds"), plants_said("jade plant, pothos")


def answered(read, *args):
    """The answer; None when it is refused. Open parts are answered with the first choice, or with "south"."""
    for _ in range(8):
        try:
            return read(*args)
        except Asks as asks:
            assert asks.found and asks.question and asks.allowed
            args = (asks.complete(asks.options[0][1] if asks.options else "south"), *args[1:])
        except Wrong as wrong:
            assert wrong.found and wrong.allowed
            return None
    return None


@settings(max_examples=30, deadline=None, derandomize=True)
@given(LINES, LINES, LINES, LINES, LINES)
def test_any_answers_make_a_folder_that_reads_or_are_refused(plants, windows, outdoors, household, time):
    some = answered(plants_said, plants) or JADE
    found, some, _ = answered(windows_said, windows, some, 51.0) or ((), some, "")
    spots = answered(outdoors_said, outdoors, found) or ()
    answers = Answers(LEEDS, some, found, spots, answered(household_said, household), answered(time_said, time))
    typed = {"plants": asking.visible_line(plants)}
    files = scenario_files(answers, typed, 2027)
    scenario = read_scenario(files, "any")
    assert [(p.name, p.count) for p in scenario.plants] == [(p.name, p.count) for p in some]
    assert {p.name for p in (*found, *spots)} <= {p.name for p in scenario.places}
    assert kept_answers(files["scenario.toml"], files["plants.csv"]) == (typed, True)


@settings(max_examples=6, deadline=None, derandomize=True)
@given(LINES)
def test_any_where_is_a_place_or_refused(text):
    found = answered(whereabouts, text)
    assert found is None or -90 <= found.latitude <= 90 and found.told
