"""What the bolder policy buys: days more outdoors, and the cold nights on which the plants are carried in for it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date

import numpy as np

from seasonplan.model import PlantPlan
from seasonplan.outputs.page_groups import Group, autumn_odds, spring_odds

Odds = Callable[[Group, Sequence[date]], tuple[np.ndarray, np.ndarray]]


def days_gained(plan: PlantPlan) -> tuple[int, int] | None:
    """Days that carry-in gives over careful, in spring and in autumn; None unless each gives both dates."""
    out, back = plan.out, plan.back
    if out.careful is None or out.carry_in is None or back.careful is None or back.carry_in is None:
        return None
    return (out.careful - out.carry_in).days, (back.carry_in - back.careful).days


def extra_nights(group: Group) -> float | None:
    """Nights at or below harm to expect in the days gained, both seasons together; None unless all dates are there."""
    out, back = group.out, group.back
    spring = _more(group, spring_odds, out.carry_in, out.careful)
    autumn = _more(group, autumn_odds, back.carry_in, back.careful)
    return None if spring is None or autumn is None else spring + autumn


def _more(group: Group, odds: Odds, bold: date | None, careful: date | None) -> float | None:
    if bold is None or careful is None:
        return None
    expected = odds(group, (bold, careful))[1]
    return float(expected[0] - expected[1])
