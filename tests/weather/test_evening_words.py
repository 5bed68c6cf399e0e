"""The message of an evening in its own words, for dangers made up by hand."""

from datetime import date, timedelta
from types import SimpleNamespace

import numpy as np
import pytest
from weather.garden import garden_plant

from seasonplan.model import Alert, SkyWarning
from seasonplan.weather.evening import evening_of
from seasonplan.weather.rescue import Rescue

TONIGHT = date(2027, 5, 10)
FERN, FIG, JADE = (garden_plant(name, 10.0, count=count) for name, count in (("Fern", 1), ("Fig", 3), ("Jade", 2)))


def night(n):
    return TONIGHT + timedelta(days=n)


def alert(n=0, level="act", plants=("Fern",), chance=0.4, low=4.0, by="2027-05-10T20:00", **given):
    return Alert(f"a{n}", night(n), "porch", given.pop("forecast", 5.0), low, chance, 10.0, plants, "In.", by, level,
                 **given)


def evening(*rescued, alerts=(), before=(), told_in=(), goes_in=lambda plant, n: False, sky=(), least=0.05):
    found = SimpleNamespace(
        plants=[FERN, FIG, JADE], least=least, plan=SimpleNamespace(rules=SimpleNamespace(units="metric")),
        coming=SimpleNamespace(nights=[night(n) for n in range(14)],
                               places=[SimpleNamespace(name=name) for name in ("porch", "lawn")]),
        rows=np.array([[0], [1], [0]]), goes_in=goes_in)
    return evening_of(found, alerts, rescued, before, {name: alert(-1) for name in told_in}, sky)


CARRY = Rescue(FIG, "in", "porch", "south window", out_again=night(1))
STAY = Rescue(JADE, "stay", "porch", "south window", out_again=night(1))


def test_what_is_new_tonight_comes_first_in_the_title_and_is_counted_in_pots():
    assert evening(CARRY, alerts=[alert()]).title == "Tonight by 20:00: carry 3 pots to safety"
    assert evening(CARRY).title == "Tonight: carry 3 pots to safety"
    assert evening(CARRY, STAY).title == "Tonight: carry 3 pots to safety"
    assert evening(Rescue(FERN, "wait", "porch", "room")).title == "Tonight: leave 1 pot in"
    assert evening(Rescue(FERN, "cover", "porch"), Rescue(FIG, "cover", "porch")).title == "Tonight: cover 4 pots"
    assert evening(Rescue(FERN, "cover", "porch"), CARRY).title == "Tonight: carry 4 pots to safety"
    assert evening(STAY, alerts=[alert(stays=True)]).title == "Tonight 2 pots stay in"
    early = alert(by="2027-05-10T18:30")
    assert evening(CARRY, alerts=[alert(), early, alert(stays=True, by="2027-05-10T12:00")]).by == "2027-05-10T18:30"


def test_then_what_may_go_out_what_may_come_and_what_will_not():
    back = evening(told_in=("Fern", "Fig", "Jade"), alerts=[alert(3, "keep-watch")])
    assert back.title == "6 pots may go out again today"
    assert back.lines[0] == ("May go out again today, to porch: Fern and Jade (3 pots). "
                             "May go out again today, to lawn: Fig (3 pots).")
    assert evening(told_in=("Fern",), goes_in=lambda plant, n: n == 0) is None
    assert evening(STAY, told_in=("Jade", "Fern")).lines[-1].endswith("to porch: Fern.")
    ready = evening(alerts=[alert(3, "keep-watch", low=3.0), alert(3, "keep-watch", ("Fig", "Jade"), low=2.0)])
    assert ready.title == "Be ready: a cold night is likely on Thu 13 May"
    assert ready.lines == ("Be ready for Thu 13 May, by the forecast about 2 °C at the plants: Fern, Fig and Jade. "
                           "Nothing to do for it yet.",)
    many = evening(alerts=[alert(3, "keep-watch", tuple(f"P{n}" for n in range(8)))])
    assert "P0, P1, P2, P3, P4, P5 and 2 more." in many.lines[0]


def test_what_is_announced_for_plants_that_are_in_by_then_is_no_news():
    announced = alert(3, "keep-watch", ("Fern", "Fig"))

    def names(**rescue):
        kind = rescue.pop("kind", "in")
        found = evening(Rescue(FERN, kind, "porch", "room", **rescue), alerts=[announced])
        return [line.split("plants: ")[1].split(".")[0] for line in found.lines if line.startswith("Be ready")]

    assert names(out_again=night(2)) == names(out_again=night(3)) == ["Fern and Fig"]
    assert names(out_again=night(4)) == names(out_again=None) == ["Fig"]
    assert names(kind="cover") == ["Fern and Fig"]
    only = Rescue(FERN, "in", "porch", "room")
    assert len(evening(only, alerts=[alert(3, "keep-watch")]).lines) == 1


@pytest.mark.parametrize(("alerts", "words"), [
    ([alert(chance=0.4, low=4.0), alert(chance=0.2, low=2.0)],
     "By the forecast about 2 °C at the plants in the night of Mon 10 May; chance of harm up to 40 %."),
    ([alert(forecast=None)], "About 4 °C at the plants in the night of Mon 10 May; chance of harm up to 40 %."),
    ([alert(chance=0.05)], "By the forecast about 4 °C at the plants in the night of Mon 10 May; chance of harm up to "
                           "5 %."),
    ([alert(chance=0.04)], "By the forecast about 4 °C at the plants in the night of Mon 10 May: milder, but not the "
                           "night after it.")])
def test_the_figures_are_the_coldest_low_and_the_highest_chance(alerts, words):
    assert words in evening(CARRY, alerts=alerts).lines


def off(*before, alerts=()):
    found = evening(before=before, alerts=alerts)
    return found and (found.title, found.lines[-1])


def test_announced_nights_that_are_called_off():
    told = alert(3, "keep-watch")
    assert off(told) == ("No longer expected: the cold night of Thu 13 May",
                         "No longer expected: the cold night of Thu 13 May.")
    two = off(alert(4, "keep-watch"), told, alert(0, "keep-watch"))
    assert two[1] == "No longer expected: the cold nights of Mon 10 May, Thu 13 May and Fri 14 May."
    assert off(told, alerts=[alert(3, "keep-watch")])[0].startswith("Be ready") and off(alert(-1, "keep-watch")) is None
    assert off(alert(3)) is None                       # that was to be done, not announced


def test_nights_over_which_the_plants_were_to_stay_in_anyway_are_not_called_off():
    told = alert(3, "keep-watch", ("Fern", "Fig"))
    both = ("Fern", "Fig")
    for out, found in ((night(4), None), (None, None), (night(3), True), (night(2), True)):
        assert bool(off(told, alert(0, plants=both, to="room", out_again=out))) == bool(found)
    assert off(told, alert(0, to="room")) and off(told, alert(0, plants=both))


def test_what_else_the_sky_brings_comes_last_in_the_title():
    gusts = SkyWarning("gusts", night(1), 20.0, 15.0, ("Fern",), "Gusts on Tue 11 May: secure Fern: it is tall.", "")
    heat = SkyWarning("heat", night(2), 36.0, 34.0, ("Fern",), "Heat on Wed 12 May: shade.", "")
    assert evening(sky=[gusts, heat]).title == "Gusts on Tue 11 May"
    assert evening(sky=[heat, gusts]).lines == (heat.text, gusts.text)
    assert evening(CARRY, sky=[gusts]).title.startswith("Tonight:")
    assert f"{night(1)} gusts" in evening(sky=[gusts]).pieces


def test_nothing_to_tell_is_no_message_and_told_twice_is_one_piece():
    assert evening() is None and evening(alerts=[]) is None
    twice = evening(CARRY, CARRY)
    assert twice.pieces == (f"{TONIGHT} in Fig", f"Fig back {night(1)}")
    assert evening(STAY).pieces == (f"Jade back {night(1)}",)
