"""On which day plants leave and return together.

A plant is ready on the first move day inside its earliest place window. Plants whose days fall within one week of
each other leave on one day, the latest of theirs, so that nobody goes before it is ready; autumn is the mirror image.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from datetime import date, timedelta

from seasonplan.dates import next_move_day, previous_move_day
from seasonplan.model import Edge, PlaceWindow

WAVE_DAYS = 6
"""Plants whose move days are at most this many days apart move together: one week's end. Our setting."""

Spans = dict[str, tuple[date, date]]


def open_spans(windows: Sequence[PlaceWindow], dates: Sequence[date]) -> Spans:
    """Per place the first date in and the date out (exclusive); all-year places span the planning year
    from the day a plant fresh from indoors may go there."""
    def season(window: PlaceWindow) -> tuple[date, date]:
        return window.out.date or dates[0], dates[-1] + timedelta(days=1)

    return {w.place: season(w) if w.span is Edge.ALL_YEAR else w.span
            for w in windows if w.span is not Edge.NEVER}  # type: ignore[misc]


def ready_days(spans: Spans, move_days: tuple[str, ...], shut: Collection[date] = ()) -> tuple[date, date] | None:
    """First and last move day of a plant: out on the one, in on the other; None when no move day is left between."""
    if not spans:
        return None
    leave = next_move_day(min(s[0] for s in spans.values()), move_days, shut)
    back = previous_move_day(max(s[1] for s in spans.values()), move_days, shut)
    return (leave, back) if leave < back else None


def group_days(days: Mapping[str, date], latest: bool) -> dict[str, date]:
    """One common day per wave, by plant name: the latest of the wave's days in spring, the earliest in autumn.

    days: each plant's own day. latest: True for spring (nobody before it is ready), False for autumn.
    """
    shared: dict[str, date] = {}
    wave: list[str] = []
    order = sorted(days, key=lambda name: days[name], reverse=not latest)

    def close() -> None:
        if wave:
            common = (max if latest else min)(days[name] for name in wave)
            shared.update(dict.fromkeys(wave, common))

    for name in order:
        if wave and abs((days[name] - days[wave[0]]).days) > WAVE_DAYS:
            close()
            wave = []
        wave.append(name)
    close()
    return shared
