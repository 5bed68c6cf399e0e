"""Names of pests as people write them. The catalogue of words is ours; singulars, plurals and spellings must agree."""

import pytest

from seasonplan.inputs.gathering import Wrong
from seasonplan.inputs.pests import pest_keys, pest_named, text_pest


@pytest.mark.parametrize(("said", "key"), [
    ("aphids", "aphid"), ("Aphid", "aphid"), ("greenfly", "aphid"), ("spider mites", "spider-mite"),
    ("spider-mite", "spider-mite"), ("Spidermites", "spider-mite"), ("red spider mites", "spider-mite"),
    ("mites", "spider-mite"), ("mealybugs", "mealybug"), ("mealy bugs", "mealybug"), ("mealy-bug", "mealybug"),
    ("scales", "scale"), ("scale insects", "scale"), ("white flies", "whitefly"), ("whiteflies", "whitefly"),
    ("Whitefly.", "whitefly"), ("no", "none"), ("No", "none"), ("none", "none"), ("yes", "unknown"), ("?", "unknown"),
    ("unknown", "unknown"), ("-", "none")])
def test_plurals_and_spellings_are_understood(said, key):
    assert text_pest(said) == key


@pytest.mark.parametrize("said", ["thrips", "mealibugz", "nope", "bugs everywhere", "s"])
def test_what_is_no_pest_of_ours_is_refused_with_the_ones_there_are(said):
    assert pest_named(said) is None
    with pytest.raises(Wrong) as wrong:
        text_pest(said)
    assert "spider-mite" in wrong.value.allowed and wrong.value.cause


def test_every_pest_with_a_schedule_has_its_word():
    assert pest_keys() == ("none", "scale", "mealybug", "spider-mite", "aphid", "whitefly", "unknown")
