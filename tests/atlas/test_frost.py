"""Which stations count their days of frost near a place."""

import numpy as np

from seasonplan.atlas.frost import near_frost
from seasonplan.atlas.tables import stations


def test_near_stations_come_with_what_they_count():
    near = near_frost(52.0, 5.7, 10.0)
    assert near is not None and near.low_c.shape == near.share.shape == (15, 12)
    assert 0.2 < near.share[:, 0].mean() < 0.6 and near.share[:, 6].max() < 0.01
    assert np.all(np.diff(near.weight) <= 0) and 0.2 < near.weight[0] <= 1.0


def test_all_within_a_distance_can_be_left_out():
    near, far = near_frost(52.0, 5.7, 10.0), near_frost(52.0, 5.7, 10.0, nearer_km=150.0)
    assert far.weight.max() < near.weight.max() and far.weight.max() <= 1 / (1 + 1.5**2)


def test_far_from_every_station_nothing_is_known():
    assert near_frost(-50.0, -120.0, 0.0) is None


def test_no_station_counts_more_frost_than_a_month_has():
    rows, days = stations().sparse("frost")
    assert len(rows) > 2900 and days.min() >= 0 and days.max() <= 31
