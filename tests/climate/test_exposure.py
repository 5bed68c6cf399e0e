"""Nights that mark a plant while it hardens: against the full recursion over moving levels, and summed by hand."""

import numpy as np
import pytest
from invented import COLD_TOWN_SD_C, COLD_TOWN_TMIN_C, make_site

from seasonplan.climate.exposure import HARDENED, Exposure, ladder_c, site_level_c
from seasonplan.climate.nights import night_climate
from seasonplan.climate.passage import night_tables, stay_above
from seasonplan.climate.process import night_chance, shared, standard_levels
from seasonplan.dates import DAYS
from seasonplan.model import Bearing, Normals

CHANCE_ERROR, HIGH_CHANCE_ERROR = 0.012, 0.035
"""Largest error of the chance between 2 and 20 %, where seasons are decided (about one day of spring), and up to 50 %
[share]. The latter is of spreads that are estimated: what they may be wrong by is shared by more nights the farther a
threshold lies from the mean, and the threshold of a plant that hardens moves."""
SEA_TMIN_C = np.array([2.0, 2, 4, 6, 9, 12, 14, 14, 11, 8, 5, 3])
SOUTH_TMIN_C = np.array([21.0, 21, 19, 16, 12, 9, 8, 9, 10, 12, 15, 18])
TENDER, HALF_HARDY, HARDY = Bearing(10, 6, 14, True), Bearing(5, 2, 9, True), Bearing(0, -5, 5, False)


def climate_of(tmin_c, sd_c=None, latitude_deg=50.0):
    return night_climate(Normals(tmin_c, sd_c), None, make_site(latitude_deg=latitude_deg))


CLIMATES = {"sea": climate_of(SEA_TMIN_C), "cold": climate_of(COLD_TOWN_TMIN_C, COLD_TOWN_SD_C),
            "south": climate_of(SOUTH_TMIN_C, latitude_deg=-37.0)}


def exposure_of(climate, bearing, lift_c=0.0):
    return Exposure(climate, night_tables(climate, ladder_c([bearing], [0.0, lift_c])))


def exact_chance(exposure, bearing, lift_c):
    """Chance (turn,) for each day of going out, by the recursion backwards from the turn, one column per day."""
    climate, turn = exposure.climate, exposure.turn
    nights = np.arange(turn)[::-1]
    out = np.arange(turn)
    levels = np.full((turn, DAYS), -np.inf)
    levels[:, exposure.order[:turn]] = np.where(
        nights[::-1] > out[:, None],
        site_level_c(bearing.after_c(np.maximum(nights[::-1] - out[:, None], 0)), lift_c), -np.inf)
    days = exposure.order[nights]
    standard = standard_levels(climate, levels)[:, days].T
    share = shared(climate, standard_levels(climate, levels))[:, days].T
    own = (1 - climate.lag1[(days + 1) % DAYS]) / (1 - climate.details["year_share"][days])
    lag = 1 - (1 - share) * own[:, None]
    return 1 - stay_above(standard, lag, share)[-1]


@pytest.mark.parametrize("place", CLIMATES)
@pytest.mark.parametrize("bearing", [TENDER, HALF_HARDY, HARDY], ids=str)
def test_the_chance_is_that_of_the_full_recursion(place, bearing):
    exposure = exposure_of(CLIMATES[place], bearing, 1.5)
    chance, exact = exposure.going_out(bearing, 1.5)[0], exact_chance(exposure, bearing, 1.5)
    for most, error in ((0.2, CHANCE_ERROR), (0.5, HIGH_CHANCE_ERROR)):
        assert np.abs(chance - exact)[(exact > 0.02) & (exact < most)].max(initial=0.0) < error
    assert abs(int(np.argmax(chance <= 0.1)) - int(np.argmax(exact <= 0.1))) <= 1


def test_a_plant_that_never_hardens_has_the_tables_own_odds():
    bearing = Bearing(7.0, 7.0, 10.0, True)
    exposure = exposure_of(CLIMATES["sea"], bearing)
    tables, turn = exposure.tables, exposure.turn
    row = list(tables.thresholds_c).index(7.0)
    chance, expected = exposure.going_out(bearing, 0.0)
    assert expected[:-1] == pytest.approx(tables.expected_after[row][exposure.order[1:turn]])
    assert chance[:-1] == pytest.approx(tables.chance_after[row][exposure.order[1:turn]], abs=1e-6)
    assert chance[-1] == expected[-1] == 0
    chance, expected = exposure.coming_in(bearing, 0.0, np.array([0]))
    assert expected[0] == pytest.approx(tables.expected_before[row][exposure.order[turn:]])
    assert chance[0] == pytest.approx(tables.chance_before[row][exposure.order[turn:]], abs=1e-6)


def test_between_whole_degrees_the_chance_is_right_to_a_thousandth():
    bearing = Bearing(7.4, 7.4, 10.0, True)
    exposure = exposure_of(CLIMATES["cold"], bearing)
    tables = night_tables(exposure.climate, [7.4])
    chance = exposure.fixed(7.4, 0.0)[0]
    assert np.abs(chance[:exposure.turn - 1] - tables.chance_after[0][exposure.order[1:exposure.turn]]).max() < 1e-3
    assert np.abs(chance[exposure.turn:] - tables.chance_before[0][exposure.order[exposure.turn:]]).max() < 1e-3


def test_every_night_counts_at_the_threshold_of_its_day_outdoors():
    exposure = exposure_of(CLIMATES["sea"], TENDER, 0.5)
    turn = exposure.turn

    def summed(out, nights):
        levels = {night: float(TENDER.after_c(max(night - out, 0))) - 0.5 for night in nights}
        return sum(night_chance(exposure.climate, level)[exposure.order[night]] for night, level in levels.items())

    expected = exposure.going_out(TENDER, 0.5)[1]
    for out in (0, turn - 60, turn - 43, turn - 20, turn - 2):
        assert expected[out] == pytest.approx(summed(out, range(out + 1, turn))), out
    for out in (turn - 60, turn - 10, turn):
        back = exposure.coming_in(TENDER, 0.5, np.array([out]))[1][0]
        assert back[30] == pytest.approx(summed(out, range(turn, turn + 31))), out


def test_a_hardened_plant_meets_no_more_harm_than_a_fresh_one_and_no_less_than_a_born_hardy_one():
    exposure = exposure_of(CLIMATES["cold"], TENDER)
    fresh, hardy = (Bearing(c, c, 14.0, True) for c in TENDER.harms)
    for part in (0, 1):
        ends = exposure.going_out(hardy, 0.0)[part], exposure.going_out(fresh, 0.0)[part]
        middle = exposure.going_out(TENDER, 0.0)[part]
        assert np.all(ends[0] <= middle + 1e-12) and np.all(middle <= ends[1] + 1e-12)
    late, early = exposure.coming_in(TENDER, 0.0, np.array([exposure.turn, exposure.turn - HARDENED]))[1]
    assert np.all(early <= late) and early[20] < late[20]


def test_the_ladder_reaches_past_every_threshold_at_every_lift():
    assert list(ladder_c([Bearing(3, 1.5, 9, True)], [0.0, 2.0])) == [-2.0, -1.0, 0.0, 1.0, 2.0, 3.0, 4.0]
    assert list(ladder_c([], [0.0])) == [0.0, 1.0]


@pytest.mark.parametrize("after_turn", [-20, -3, 0, 4])
def test_autumn_counts_each_night_at_the_threshold_of_its_day_outdoors_and_before_that_as_fresh(after_turn):
    exposure = exposure_of(CLIMATES["sea"], TENDER)
    out = exposure.turn + after_turn
    expected, by_hand = exposure.coming_in(TENDER, 0.0, np.array([out]))[1][0], 0.0
    for n, position in enumerate(range(exposure.turn, exposure.turn + 40)):
        level_c = float(TENDER.after_c(min(max(position - out, 0), HARDENED)))
        by_hand += night_chance(exposure.climate, level_c)[exposure.order[position]]
        assert expected[n] == pytest.approx(by_hand)
