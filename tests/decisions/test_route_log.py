"""Routes after what really happened: early and late moves, other places than planned, plants that are in again."""

from datetime import date, timedelta

from invented import make_daylight, make_plant, make_taxon, stays_of
from plain_route import daily, faults_of

from seasonplan.decisions.route import RouteRequest, routes
from seasonplan.model import Place, Rules

OUT, BACK = date(2027, 5, 8), date(2027, 10, 2)
HOUSE = (Place("south window", "indoor"), *(Place(n, "outdoor") for n in ("porch", "under the tree", "steps", "lawn")))
LIGHT = make_daylight(HOUSE)
SPANS = {p.name: (OUT, BACK) for p in HOUSE if p.outdoors}
SUN = make_taxon(sun="sun", light_low_mol=18.0, light_high_mol=50.0)


def route(*stays: tuple[date, str]):
    """The route of one sun plant after these stays, checked against the rule wherever the log does not dictate."""
    request = RouteRequest(make_plant("Olive", taxon=SUN), SPANS, OUT, BACK, stays_of(stays))
    result = routes([request], HOUSE, LIGHT, Rules())[0]
    assert faults_of(request, result, LIGHT, Rules()) == []
    return request, result


def test_a_late_move_out_is_honoured():
    _, result = route((date(2027, 5, 19), "porch"))
    assert (result.stops[0].date, result.stops[0].place) == (date(2027, 5, 19), "porch")
    assert "by the log" in result.stops[0].why and result.stops[1].date.weekday() >= 5


def test_an_early_move_out_is_honoured_and_its_light_counts():
    request, result = route((date(2027, 4, 28), "porch"))
    assert result.stops[0].date == date(2027, 4, 28) and result.stops[-1].until == BACK
    arrival = result.stops[1]
    told = next(row for row in daily(request, result.stops, LIGHT) if row[0] == arrival.date)
    assert arrival.acclimated_dli == told[2]


def test_a_stay_that_is_too_bright_says_so_and_ends_on_the_next_move_day():
    _, result = route((OUT, "porch"), (date(2027, 5, 12), "lawn"))
    assert [(s.place, s.date) for s in result.stops[:2]] == [("porch", OUT), ("lawn", date(2027, 5, 12))]
    assert "more light than it was ready for" in result.stops[1].why and "bleached" in result.stops[1].why
    assert result.stops[1].until == date(2027, 5, 15)


def test_a_stay_that_fits_lasts_at_least_three_days():
    _, result = route((OUT, "porch"), (date(2027, 5, 21), "under the tree"))
    stop = result.stops[1]
    assert stop.date == date(2027, 5, 21) and stop.until - stop.date >= timedelta(days=3)


def test_several_stays_follow_each_other_as_they_happened():
    stays = ((OUT, "porch"), (date(2027, 5, 15), "under the tree"), (date(2027, 6, 2), "steps"),
             (date(2027, 7, 1), "porch"))
    _, result = route(*stays)
    assert tuple((s.date, s.place) for s in result.stops[:4]) == stays
    assert result.stops[4].place != "porch"                      # it goes on from there by its true state


def test_the_same_place_twice_is_one_stay():
    _, result = route((OUT, "porch"), (date(2027, 5, 12), "porch"))
    assert [s.place for s in result.stops].count("porch") == 2   # once in spring, once in autumn


def test_a_move_indoors_ends_the_stay():
    _, result = route((OUT, "porch"), (date(2027, 6, 2), "south window"))
    assert result.stops[-1].until == date(2027, 6, 2) and "already" not in result.reason


def test_a_move_indoors_alone_ends_the_planned_stay():
    _, result = route((date(2027, 7, 7), "south window"))
    assert result.stops[0].date == OUT and result.stops[-1].until == date(2027, 7, 7)


def test_a_move_indoors_before_it_was_to_leave_changes_nothing():
    assert route((date(2027, 4, 2), "south window"))[1] == route()[1]


def test_after_coming_in_and_going_out_again_it_starts_from_the_house():
    request, result = route((OUT, "porch"), (date(2027, 5, 30), "south window"), (date(2027, 6, 6), "porch"))
    assert result.stops[0].date == date(2027, 6, 6)
    indoor = LIGHT.mean_dli[0, LIGHT.dates.index(date(2027, 6, 6))]
    assert result.stops[0].acclimated_dli == indoor


def test_a_plant_found_outside_after_its_day_comes_in_on_the_next_move_day():
    _, result = route((OUT, "porch"), (date(2027, 10, 6), "porch"))
    assert result.stops[-1].until == date(2027, 10, 9)


def test_logged_pots_take_their_room_from_others():
    places = (HOUSE[0], Place("porch", "outdoor", room_for=1), Place("under the tree", "outdoor"))
    spans = {"porch": (OUT, BACK), "under the tree": (OUT, BACK)}
    shade = make_taxon(sun="shade", light_high_mol=12.0)
    first = RouteRequest(make_plant("A lily", taxon=shade), spans, OUT, BACK)
    second = RouteRequest(make_plant("B lily", taxon=shade), spans, OUT, BACK, stays_of([(OUT, "porch")]))
    got = routes([first, second], places, make_daylight(places), Rules())
    assert got[1].stops[0].place == "porch" and got[0].stops[0].date > OUT
