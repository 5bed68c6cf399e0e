"""The ratios as tests: `python -m pytest -m bench`. They are kept out of the suite, since they want a quiet machine."""

import pytest
from bench import ratios

pytestmark = pytest.mark.bench


@pytest.mark.parametrize("part", ["start_up", "a_town_is_enough", "live", "routes_alone", "pots"])
def test_work_stays_near_its_floor(part, tmp_path):
    for ratio in getattr(ratios, part)(tmp_path):
        assert ratio.limit is None or ratio.ratio <= ratio.limit, str(ratio)
