"""Waves: nobody leaves before it is ready or stays longer than it may, and neighbours in time move together."""

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from seasonplan.decisions.waves import WAVE_DAYS, group_days, open_spans, ready_days
from seasonplan.model import Edge, MoveDate, PlaceWindow

MOVE = MoveDate(None, None, None, None, None)
START = date(2027, 1, 1)
DAYS = st.dictionaries(st.text("abcdefgh", min_size=1, max_size=3), st.integers(0, 300).map(
    lambda n: START + timedelta(days=n)), max_size=12)


def test_plants_of_one_week_leave_on_its_last_day_and_return_on_its_first():
    days = {"a": date(2027, 5, 1), "b": date(2027, 5, 2), "c": date(2027, 5, 8)}
    assert group_days(days, latest=True) == {"a": date(2027, 5, 2), "b": date(2027, 5, 2), "c": date(2027, 5, 8)}
    assert group_days(days, latest=False) == {"a": date(2027, 5, 1), "b": date(2027, 5, 2), "c": date(2027, 5, 2)}


@given(DAYS)
def test_a_wave_never_moves_a_plant_the_unsafe_way_or_by_more_than_a_week(days):
    spring, autumn = group_days(days, latest=True), group_days(days, latest=False)
    assert set(spring) == set(autumn) == set(days)
    for name, own in days.items():
        assert timedelta(0) <= spring[name] - own <= timedelta(days=WAVE_DAYS)
        assert timedelta(0) <= own - autumn[name] <= timedelta(days=WAVE_DAYS)


def test_ready_days_honour_move_days():
    spans = {"porch": (date(2027, 5, 5), date(2027, 9, 30)), "lawn": (date(2027, 5, 20), date(2027, 9, 20))}
    assert ready_days(spans, ("sat",)) == (date(2027, 5, 8), date(2027, 9, 25))
    assert ready_days(spans, ()) == (date(2027, 5, 5), date(2027, 9, 30))
    assert ready_days({"porch": (date(2027, 5, 5), date(2027, 5, 7))}, ("sat",)) is None
    assert ready_days({}, ()) is None


def test_a_window_with_a_single_move_day_in_it_is_none():
    assert ready_days({"porch": (date(2027, 5, 5), date(2027, 5, 12))}, ("sat",)) is None
    assert ready_days({"porch": (date(2027, 5, 5), date(2027, 5, 15))}, ("sat",)) == (date(2027, 5, 8),
                                                                                        date(2027, 5, 15))


def test_open_spans_leave_out_places_without_a_window():
    dates = tuple(START + timedelta(days=n) for n in range(365))
    span = (date(2027, 5, 5), date(2027, 9, 30))
    windows = [PlaceWindow("porch", span, MOVE, MOVE, ""), PlaceWindow("lawn", Edge.NEVER, MOVE, MOVE, ""),
               PlaceWindow("hall", Edge.ALL_YEAR, MOVE, MOVE, "")]
    assert open_spans(windows, dates) == {"porch": span, "hall": (START, date(2028, 1, 1))}
