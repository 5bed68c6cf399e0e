"""The season, move day by move day: hear the log, share out the places, let the light work on the plants."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np

from seasonplan.decisions.acclimation import SLACK, Spell, light_rule, state_after
from seasonplan.decisions.route_choice import Options, comes_in_soon, holds, options, wishes
from seasonplan.decisions.route_rows import GONE_IN, INDOORS, NEVER, Arrival, Groups, Rows
from seasonplan.decisions.route_shade import Needs, best_cloth, cloth_spells
from seasonplan.decisions.route_sharing import Shares, Wishes, share_out
from seasonplan.decisions.route_step import cloth_steps, wanting
from seasonplan.decisions.route_yard import HORIZON_DAYS, Yard

KEEPS = 100.0
"""A claim that nobody else can have."""
FULL, BRIGHT, CLOSING = "full", "bright", "closing"
"""Notes: no room at the places that fit; no place that fits even under the thickest cloth; a place closes so shortly
before the plant comes in that another move is not worth it."""


def sweep(rows: Rows, groups: Groups, yard: Yard) -> None:
    """Run the rows through the planning year; their `past`, `end` and `note` hold the result."""
    logged = _log_by_day(groups)
    days = _event_days(groups, yard, logged)
    for day, following in pairwise([*days, len(yard.dates)]):
        for group, place, until in logged.get(day, ()):
            _stand_as_logged(day, group, place, until, rows, groups, yard)
        _decide(day, rows, groups, yard)
        _let_light_work(day, following, rows, yard)


def _log_by_day(groups: Groups) -> dict[int, list[tuple[int, int, int]]]:
    """(group, place, day of the group's next logged move or NEVER) of every logged stay, by its day."""
    found: dict[int, list[tuple[int, int, int]]] = {}
    for group, stays in enumerate(groups.logged):
        for (day, place), (until, _) in pairwise([*stays, (NEVER, -1)]):
            found.setdefault(day, []).append((group, place, until))
    return found


def _event_days(groups: Groups, yard: Yard, logged: dict) -> list[int]:
    """Days on which something can change: move days between the first plant out and the last one in, days on which
    plants leave, and days in the log."""
    going = groups.leave < groups.end
    if not going.any():
        return []
    first, last = int(groups.leave[going].min()), int(groups.end.max())
    moves = np.flatnonzero(yard.move_day[:last])
    return sorted({*moves[moves >= first].tolist(), *groups.leave[going].tolist(), *logged})


def _stand_as_logged(day: int, group: int, place: int, until: int, rows: Rows, groups: Groups, yard: Yard) -> None:
    """Put a group where the log says it stands. It may move again after the shortest stay, sooner where the place is or
    becomes more than it is ready for, but not before a place is open to it nor before what the log says next."""
    row = group  # a group is one row until it is free to move
    fresh = rows.place[row] == INDOORS
    dli = float(yard.light.mean_dli[groups.indoor[group], day] if fresh else rows.dli[row, 0])
    sun_h = 0.0 if fresh else float(rows.sun_h[row, 0])
    same = rows.place[row] == place and rows.shade[row] == 0
    before = rows.past[row]
    rows.stand(row, Arrival(day, place, 0.0, dli, sun_h, "logged", day, before), NEVER)
    if same:
        rows.past[row] = before
    elif not holds(day, 1, row, rows, groups, yard):
        rows.past[row] = Arrival(day, place, 0.0, dli, sun_h, "logged-bright", day, before)
    if until == NEVER:
        fits = holds(day, int(yard.next_free[day]) - day, row, rows, groups, yard)
        shortest = int(light_rule().min_stop_days) if fits else 1
        free = groups.first_request[group].free_from
        rows.free_from[row] = max(day + shortest, int(groups.opens[group].min(initial=NEVER)),
                                  0 if free is None else yard.day(free))


def _decide(day: int, rows: Rows, groups: Groups, yard: Yard) -> None:
    picked = _movable(day, rows, groups, yard)
    if not picked.size:
        return
    choice = options(day, picked, rows, groups, yard)
    held = np.ones(len(rows.place), dtype=bool)
    held[picked] = False
    wanted = wishes(choice, rows, groups, yard)
    shares = _share_safely(wanted, choice.may_stay, _free_room(day, rows, groups, yard, held))
    stuck = _apply(choice, shares, rows, groups, yard)
    if stuck.size:
        _under_cloth(choice, stuck, rows, groups, yard)
    needy = wanting(choice, rows, groups)
    if needy.size:
        room = _free_room(day, rows, groups, yard, np.ones(len(rows.place), dtype=bool))
        for n, row, place, shade in cloth_steps(choice, needy, room, rows, groups, yard):
            cause = "cloth-thinner" if place == rows.place[row] else "cloth-step"
            _move(n, row, place, shade, cause, choice, rows, groups)


def _share_safely(wanted: Wishes, may_stay: np.ndarray, room: np.ndarray) -> Shares:
    """Share out the room so that nobody who may stay gives way and then finds no place at all: where that would
    happen, nobody has to give way that day."""
    shares = share_out(wanted, room)
    if not (may_stay & (shares.left > 0)).any():
        return shares
    return share_out(replace(wanted, bonus=KEEPS * (wanted.bonus > 0)), room)


def _movable(day: int, rows: Rows, groups: Groups, yard: Yard) -> np.ndarray:
    """Rows whose turn it may be: free to move, on a move day or on the day they were to leave."""
    inside, leave = rows.place == INDOORS, groups.leave[rows.group]
    turn = yard.move_day[day] | (inside & (leave == day))
    in_time = ~inside | (leave == day) | (rows.end - day >= light_rule().least_stay_days)
    return np.flatnonzero(turn & in_time & (rows.place != GONE_IN) & (rows.free_from <= day) & (rows.end > day))


def _free_room(day: int, rows: Rows, groups: Groups, yard: Yard, counted: np.ndarray) -> np.ndarray:
    """(places,) pots that still fit beside the counted (rows,) rows."""
    here = np.flatnonzero(rows.standing(day) & counted)
    taken = np.bincount(rows.place[here], (rows.size * groups.pots[rows.group])[here], len(yard.names))
    return np.maximum(yard.room - taken.astype(int), 0)


def _apply(choice: Options, shares: Shares, rows: Rows, groups: Groups, yard: Yard) -> np.ndarray:
    """Move the plants to what they were given. Returns (stuck, 2) position in `choice` and row of those that got
    nothing, those outdoors first."""
    size, first = rows.size[choice.rows], shares.given.argmax(axis=1)
    whole = shares.given[np.arange(len(size)), first] == size
    still = whole & (first == choice.here) & ~choice.bare
    nothing = shares.left == size
    stuck = np.column_stack([np.flatnonzero(nothing), choice.rows[nothing]]).tolist()
    moves = []
    for n in np.flatnonzero(~still & ~nothing).tolist():
        row, given = int(choice.rows[n]), shares.given[n].tolist()
        for place in [int(first[n])] if whole[n] else [p for p in shares.order[n].tolist() if given[p]]:
            rest = rows.split(row, given[place]) if given[place] < rows.size[row] else -1
            if place != choice.here[n] or choice.bare[n]:
                moves.append((n, row, place))
            row = rest
        if row >= 0:
            stuck.append([n, row])
    if moves:
        for move, cause in zip(moves, _causes(np.array(moves), choice, groups, rows, yard), strict=True):
            _move(*move, 0.0, cause, choice, rows, groups)
    found = np.array(stuck, dtype=int).reshape(-1, 2)
    return found[np.lexsort((rows.tie[found[:, 1]], ~choice.outdoors[found[:, 0]]))]


def _move(n: int, row: int, place: int, shade: float, cause: str, choice: Options, rows: Rows, groups: Groups) -> None:
    arrival = Arrival(choice.day, place, shade, float(choice.dli[n, 0]), float(choice.sun_h[n, 0]), cause,
                      int(groups.leave[rows.group[row]]), rows.past[row])
    rows.stand(row, arrival, choice.day + int(light_rule().min_stop_days))


def _causes(moves: np.ndarray, choice: Options, groups: Groups, rows: Rows, yard: Yard) -> list[str]:
    """Why plants move, keys of route_stops.WHY. moves: (moves, 3) of position in `choice`, row, and place."""
    n, row, place = moves.T
    here, light, prospect = choice.here[n], choice.light[n], choice.prospect[n]
    each = np.arange(len(n))
    new, old = (each, place), (each, here)
    darker = light[new] < light[old]
    down = (choice.level[n] < 1) & darker
    aside = choice.may_move[n] & (light > light[new][:, None]) & (prospect < prospect[new][:, None])
    passes_brighter = aside.any(axis=1)
    leaves_by = groups.closes[rows.group[row], here]
    inside, may_stay = here == INDOORS, choice.may_stay[n]
    return np.select(
        [inside & passes_brighter, inside, place == here,
         down & (yard.share[place, choice.day] <= choice.level[n] + SLACK), down, rows.shade[row] > 0,
         may_stay & (~choice.lasts[n, place] | (prospect[new] <= prospect[old])), may_stay & (darker | passes_brighter),
         may_stay, leaves_by < np.minimum(yard.next_move[choice.day], rows.end[row])],
        ["first-step", "first", "cloth-off", "descent", "descent-short", "no-cloth", "gives-way", "step", "brighter",
         "closing"], "too-bright").tolist()


def _under_cloth(choice: Options, stuck: np.ndarray, rows: Rows, groups: Groups, yard: Yard) -> None:
    """Plants that got no place as it is: wait indoors for room, stand under a shade cloth, or come in.

    stuck: (plants, 2) of position in `choice` and row, those outdoors first.
    """
    day = choice.day
    numbers, picked = stuck[:, 0], stuck[:, 1]
    counted = np.ones(len(rows.place), dtype=bool)
    counted[picked] = False
    room = _free_room(day, rows, groups, yard, counted)
    outdoors, group = choice.outdoors[numbers], rows.group[picked]
    closing = comes_in_soon(day, picked, rows, groups)
    early = day - groups.leave[group] < light_rule().patience_days
    waiting = ~outdoors & early & choice.may_wait[numbers]
    days = np.minimum(np.minimum(yard.next_free[day], day + HORIZON_DAYS), rows.end[picked]) - day
    inside = (groups.opens[group] <= day) & (day + days[:, None] <= groups.closes[group])
    crowded = ~(inside & (room >= groups.pots[group][:, None])).any(axis=1)
    for row in picked[waiting | crowded & ~closing].tolist():
        rows.note[row] = FULL
    for row in picked[closing].tolist():
        rows.note[row] = CLOSING
    for row in picked[outdoors & (closing | crowded)].tolist():
        rows.go_in(row, day)
    left = np.flatnonzero(~(closing | waiting | crowded))
    if not left.size:
        return
    ahead = cloth_spells(day, yard)
    for k in left.tolist():
        _cover(int(numbers[k]), int(picked[k]), int(days[k]), inside[k], room, ahead, choice, rows, groups, yard)


def _cover(n: int, row: int, days: int, inside: np.ndarray, room: np.ndarray, ahead: Spell, choice: Options, rows: Rows,
           groups: Groups, yard: Yard) -> None:
    """Cloths for as many plants of a row as have room at places `inside` their spans for so many days; the others wait
    indoors or come in. Takes from `room`."""
    group, day = rows.group[row], choice.day
    outdoors = choice.here[n] != INDOORS
    first_days = int(light_rule().first_days) + (int(rows.out[row]) - day if outdoors else 0)
    needs = Needs(choice.dli[n], choice.sun_h[n], groups.light_high[group], groups.sun_cap[group], first_days)
    while row >= 0:
        usable = inside & (room >= groups.pots[group])
        found = best_cloth(needs, ahead, days, usable, day, int(rows.end[row]), yard) if usable.any() else None
        if found is None:
            rows.note[row] = BRIGHT if usable.any() else FULL
            if outdoors:
                rows.go_in(row, day)
            return
        percent, place = found
        count = int(min(rows.size[row], room[place] // groups.pots[group]))
        rest = rows.split(row, count) if count < rows.size[row] else -1
        room[place] -= count * groups.pots[group]
        if (place, percent / 100) != (rows.place[row], rows.shade[row]):
            _move(n, row, place, percent / 100, "cloth", choice, rows, groups)
        row = rest


def _let_light_work(day: int, until: int, rows: Rows, yard: Yard) -> None:
    """Step the states of all plants outdoors from one day to another."""
    rule = light_rule()
    out = np.flatnonzero(rows.standing(day))
    while out.size and day < until:
        days = min(until - day, HORIZON_DAYS)
        place, through = rows.place[out], 1 - rows.shade[out, None]
        rows.dli[out] = state_after(rows.dli[out], through * yard.spells.gain_dli[place, day, days], days,
                                    rule.dli_lag_days)
        rows.sun_h[out] = state_after(rows.sun_h[out], through * yard.spells.gain_sun_h[place, day, days], days,
                                      rule.sun_lag_days)
        day += days
