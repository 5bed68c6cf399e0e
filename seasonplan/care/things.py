"""Things: what a person sets out to do. Steps of a day for which the same tools are out, done one after another without
a pause, are one thing: an evening's sprays, a wave of plants with its cloths, feeding."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from seasonplan import wording as w
from seasonplan.care.jobs import MOVE_KINDS, REGISTRY
from seasonplan.model import Step

PAUSE_MIN = 15
"""A longer pause between two steps makes them two things. Our setting."""
CARRY = "carry"
WITH_A_WAVE = ("secure-wind",)
"""Jobs that belong to the carrying of their day."""
_FAMILIES = {**{job.kind: job.family for job in REGISTRY}, **dict.fromkeys(MOVE_KINDS, CARRY)}


def with_things(steps: Iterable[Step]) -> list[Step]:
    """The steps, in date order as they are given, each with the uid of the first step of its thing."""
    found: list[Step] = []
    last: dict[str, Step] = {}
    for step in steps:
        if found and step.date != found[-1].date:
            last.clear()
        family = _FAMILIES.get(step.kind, step.kind)
        before = last.get(family)
        one = before is not None and (_is_wave(step) and _is_wave(before) or _follows(before, step))
        step = replace(step, thing=before.thing if one and before is not None else step.uid)
        found.append(step)
        if step.minutes:
            last[family] = step
    return found


def _is_wave(step: Step) -> bool:
    return step.kind in MOVE_KINDS or step.kind in WITH_A_WAVE


def _follows(before: Step, step: Step) -> bool:
    """Whether a step begins as the one before it ends; where no times are told, on the same day."""
    if before.start is None or step.start is None:
        return before.start is step.start
    return w.minute_of(step.start) - w.minute_of(before.start) - before.minutes <= PAUSE_MIN
