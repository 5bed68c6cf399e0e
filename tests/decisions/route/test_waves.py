"""Days on which plants could move together."""

import numpy as np
import pytest

from seasonplan.decisions.route.waves import cluster


@pytest.mark.parametrize("count, end, expected", [
    (1, max, [30]), (2, max, [12, 30]), (3, max, [12, 20, 30]), (1, min, [10]), (2, min, [10, 20]),
    (9, max, [10, 12, 20, 30])])
def test_days_are_parted_so_that_the_fewest_pots_wait_the_fewest_days(count, end, expected):
    assert cluster([10, 12, 20, 30], np.array([1.0, 1.0, 1.0, 1.0]), min(count, 4), end) == expected


def test_many_pots_weigh_more_than_few():
    assert cluster([10, 20, 29], np.array([1.0, 30.0, 1.0]), 2, max) == [20, 29]
    assert cluster([10, 20, 29], np.array([30.0, 1.0, 1.0]), 2, max) == [10, 29]
    assert cluster([], np.zeros(0), 2, max) == []
