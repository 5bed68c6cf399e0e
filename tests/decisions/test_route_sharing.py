"""Sharing out room: fair by claim, never more than fits, the same whatever the order of rows."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from seasonplan.decisions.route_sharing import Wishes, share_out


def make_wishes(score, **changed) -> Wishes:
    score = np.array(score, dtype=float)
    rows = len(score)
    base = {"score": score, "use": np.where(np.isfinite(score), score, 0.0), "without": np.zeros(rows),
            "claim": np.zeros(rows), "bonus": np.zeros(score.shape), "size": np.ones(rows, dtype=int),
            "pots": np.ones(rows, dtype=int), "tie": np.arange(rows)}
    return Wishes(**{**base, **{name: np.array(value) for name, value in changed.items()}})


def test_with_room_for_all_everybody_gets_the_first_choice():
    shares = share_out(make_wishes([[1, 2], [3, 1], [0, 5]]), np.array([9, 9]))
    assert shares.given.tolist() == [[0, 1], [1, 0], [0, 1]] and not shares.left.any()


def test_the_plant_that_would_lose_most_gets_the_last_spot():
    shares = share_out(make_wishes([[10, 9], [10, 1]]), np.array([1, 5]))
    assert shares.given.tolist() == [[0, 1], [1, 0]]


def test_a_plant_without_an_alternative_comes_before_one_that_has_one():
    shares = share_out(make_wishes([[10, 4], [3, -np.inf]], without=[-10, -10]), np.array([1, 1]))
    assert shares.given.tolist() == [[0, 1], [1, 0]]


def test_equal_claims_are_settled_by_tie():
    shares = share_out(make_wishes([[5.0], [5.0], [5.0]], tie=[2, 0, 1]), np.array([2]))
    assert shares.given[:, 0].tolist() == [0, 1, 1] and shares.left.tolist() == [1, 0, 0]


def test_a_row_of_like_plants_is_split_where_room_ends():
    shares = share_out(make_wishes([[5.0, 1.0]], size=[7]), np.array([3, 2]))
    assert shares.given.tolist() == [[3, 2]] and shares.left.tolist() == [2]


def test_pots_of_a_plant_stay_together():
    shares = share_out(make_wishes([[5.0], [1.0]], pots=[3, 1]), np.array([2]))
    assert shares.given[:, 0].tolist() == [0, 1] and shares.left.tolist() == [1, 0]


def test_a_plant_too_large_for_what_is_left_is_no_claimant():
    """Two pots do not fit beside each other where one is left: the plant asks for its second choice at once."""
    shares = share_out(make_wishes([[9.0, 2.0], [3.0, 2.0]], pots=[2, 1]), np.array([1, 2]))
    assert shares.given.tolist() == [[0, 1], [1, 0]]
    assert share_out(make_wishes([[9.0]], pots=[2]), np.array([2])).given.tolist() == [[1]]


def test_room_is_filled_to_the_last_pot_and_nobody_is_sent_away_from_a_place_that_is_just_full():
    shares = share_out(make_wishes([[5.0, 1.0], [4.0, 1.0]], size=[2, 1], pots=[2, 3]), np.array([7, 0]))
    assert shares.given.tolist() == [[2, 0], [1, 0]] and not shares.left.any()


def test_as_many_plants_give_way_as_pots_are_too_many_and_no_more():
    """Seven plants of two pots on five: two stay (four pots), five go, of which three find room for six pots."""
    shares = share_out(make_wishes([[5.0, 1.0]], size=[7], pots=[2]), np.array([5, 6]))
    assert shares.given.tolist() == [[2, 3]] and shares.left.tolist() == [2]


def test_the_odd_spot_left_by_plants_of_two_pots_is_free_for_one_of_one_pot():
    """Three plants of two pots ask for five pots of room: two stay, and a plant from the full bed finds the fifth."""
    shares = share_out(make_wishes([[0.0, 5.0], [4.0, 3.0]], size=[3, 2], pots=[2, 1]), np.array([1, 5]))
    assert shares.given.tolist() == [[0, 2], [1, 1]] and shares.left.tolist() == [1, 0]


def test_who_is_pushed_out_pushes_on():
    """A wins the porch from B, B wins the bed from C, and C takes the lawn."""
    shares = share_out(make_wishes([[9.0, 1.0, 0.0], [9.0, 8.0, 1.0], [0.0, 5.0, 4.5]], size=[1, 1, 1]),
                       np.array([1, 1, 9]))
    assert shares.given.tolist() == [[1, 0, 0], [0, 1, 0], [0, 0, 1]]


def test_a_plant_that_comes_back_to_a_full_place_may_be_sent_on_again():
    """B is sent from the porch to the bed, where C has the better claim, and ends on the lawn with the rest of its
    row; D, who came to the bed as first choice with the least claim, leaves it before B does."""
    wishes = make_wishes([[9.0, 1.0, 0.0], [7.0, 5.0, 3.0], [0.0, 9.0, 0.5], [0.0, 4.0, 3.5]], size=[2, 3, 1, 1])
    shares = share_out(wishes, np.array([2, 2, 9]))
    assert shares.given.tolist() == [[2, 0, 0], [0, 1, 2], [0, 1, 0], [0, 0, 1]]


def test_a_claim_counts_the_bonus_of_the_place_and_the_waiting_of_the_plant():
    def first_place(**more):
        return share_out(make_wishes([[5.0, 4.0], [5.0, 3.9]], **more), np.array([1, 9])).given[:, 0].tolist()

    assert first_place() == [0, 1] and first_place(claim=[0.2, 0.0]) == [1, 0]
    assert first_place(bonus=[[0.2, 0.0], [0.0, 0.0]]) == [1, 0]
    assert first_place(bonus=[[0.0, 0.2], [0.0, 0.0]]) == [0, 1]


def test_claims_that_differ_by_rounding_only_are_equal():
    """0.1 + 0.2 is not 0.3 to a computer; the plant that comes first by name gets the place."""
    wishes = make_wishes([[0.3], [0.1 + 0.2]], tie=[0, 1])
    assert share_out(wishes, np.array([1])).given[:, 0].tolist() == [1, 0]
    wishes = make_wishes([[0.3], [0.300001]], tie=[0, 1])
    assert share_out(wishes, np.array([1])).given[:, 0].tolist() == [0, 1]


def test_without_room_anywhere_a_plant_loses_what_it_has_without_a_place():
    """Both would use the porch alike, but A lacks everything indoors and B hardly anything."""
    shares = share_out(make_wishes([[5.0], [5.0]], without=[4.0, 0.0]), np.array([1]))
    assert shares.given[:, 0].tolist() == [0, 1]


def test_of_equal_scores_the_first_place_is_preferred():
    assert share_out(make_wishes([[5.0, 5.0, 5.0]]), np.array([9, 9, 9])).given.tolist() == [[1, 0, 0]]


def test_no_places_at_all_leave_everybody_without():
    assert share_out(make_wishes(np.zeros((2, 0)), size=[1, 4]), np.array([], dtype=int)).left.tolist() == [1, 4]


@st.composite
def contests(draw):
    rows, places = draw(st.integers(1, 7)), draw(st.integers(1, 4))
    number = st.sampled_from([-np.inf, 0.0, 1.0, 2.0, 2.5, 3.0])
    score = draw(st.lists(st.lists(number, min_size=places, max_size=places), min_size=rows, max_size=rows))
    size = draw(st.lists(st.integers(1, 4), min_size=rows, max_size=rows))
    room = draw(st.lists(st.integers(0, 6), min_size=places, max_size=places))
    return make_wishes(score, size=size), np.array(room)


@settings(deadline=None, max_examples=150, derandomize=True)
@given(contests())
def test_nobody_without_a_place_has_a_better_claim_than_a_plant_that_holds_it(contest):
    """The mark of a fair outcome: whoever was refused at a place has no better claim on it than those that keep it."""
    wishes, room = contest
    shares = share_out(wishes, room)
    assert (shares.given.sum(axis=0) <= room).all()
    assert (shares.given.sum(axis=1) + shares.left == wishes.size).all()
    choices = [[p for p in shares.order[row].tolist() if np.isfinite(wishes.score[row, p]) and room[p]]
               for row in range(len(wishes.score))]

    def claim(row: int, place: int) -> float:
        after = choices[row][choices[row].index(place) + 1:]
        return wishes.use[row, place] - (wishes.use[row, after[0]] if after else 0.0)

    for row, ranked in enumerate(choices):
        for k, place in enumerate(ranked):
            if shares.left[row] + sum(shares.given[row, p] for p in ranked[k + 1:]):
                assert shares.given[:, place].sum() == room[place]
                keepers = [other for other in np.flatnonzero(shares.given[:, place]) if other != row]
                assert all(claim(other, place) >= claim(row, place) - 1e-9 for other in keepers)


@settings(deadline=None, max_examples=60, derandomize=True)
@given(contests(), st.randoms(use_true_random=False))
def test_the_order_of_rows_does_not_matter(contest, random):
    wishes, room = contest
    order = list(range(len(wishes.score)))
    random.shuffle(order)
    shuffled = Wishes(*(getattr(wishes, name)[order] for name in Wishes.__dataclass_fields__))
    assert share_out(shuffled, room).given.tolist() == share_out(wishes, room).given[order].tolist()
