"""The questions of `start`: each asked until its answer can be used, "<" back to the one before."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING

import click

from seasonplan.cli import common

if TYPE_CHECKING:
    from seasonplan.inputs.gathering import Wrong
    from seasonplan.inputs.said.words import Asks
    from seasonplan.model.begun import Answers

with suppress(ImportError):                          # not on every system
    import readline  # noqa: F401  (a line can be edited, and an earlier one taken again with the arrow keys)

BACK = "<"
QUESTIONS = {
    "where": "Where are they? A town, or latitude and longitude",
    "plants": "Which plants? One line, as you call them: 3 pothos, jade plant, lemon tree 30 cm",
    "windows": "Which way do their windows face? South, or 200; with their plants: south: jade, 2 pothos; east: the "
               "rest (Enter: not known)",
    "outdoors": "What is there outdoors? Balcony south, under a birch, steps east, lawn (Enter: shade by the house and "
                "open ground)",
    "household": "Do pets or children live with them? (Enter: none)",
    "time": "When have you time for them? (Enter: sat, sun, 3 h)",
}
MAY_BE_EMPTY = ("windows", "outdoors", "household", "time")


class Back(Exception):
    """The person wants the question before."""


class Left(Exception):
    """The person wants to answer a question anew, of which a part was open. text: the answer so far."""

    def __init__(self, text: str):
        super().__init__(text)
        self.text = text


@dataclass(frozen=True)
class Understood:
    """answers: all so far; told: what was understood of the last one, lines to print."""

    answers: Answers
    told: tuple[str, ...]


def understood(texts: dict[str, str]) -> Understood:
    """The typed answers (in the order of QUESTIONS, up to any) as what they mean. Raises `Wrong`, `Asks`."""
    from seasonplan.inputs.said.people import household_said, time_said
    from seasonplan.inputs.said.places import outdoors_said, windows_said
    from seasonplan.inputs.said.plants import plants_said
    from seasonplan.inputs.said.where import whereabouts
    from seasonplan.model.begun import Answers

    where = whereabouts(texts["where"])
    told: tuple[str, ...] = (where.told,)
    plants = windows = outdoors = None
    if "plants" in texts:
        plants = plants_said(texts["plants"], where.imperial)
        told = (_counted(plants), *(plant.told for plant in plants if plant.told))
    if plants and "windows" in texts:
        windows, plants, assumed = windows_said(texts["windows"], plants, where.latitude)
        told = (assumed,) if assumed else ()
    if "outdoors" in texts:
        outdoors = outdoors_said(texts["outdoors"], windows or ())
        told = () if outdoors else ("open shade by the house and open ground are assumed",)
    household = household_said(texts["household"]) if "household" in texts else None
    time = time_said(texts["time"]) if "time" in texts else None
    if household is not None:
        told = ()
    return Understood(Answers(where, plants, windows or (), outdoors or (), household, time), told)


def _counted(plants: Iterable) -> str:
    plants = tuple(plants)
    pots = sum(plant.count for plant in plants)
    return f"{len(plants)} {'plant' if len(plants) == 1 else 'plants'}, {pots} {'pot' if pots == 1 else 'pots'}"


def ask_all(preset: dict[str, str], keep: Callable[[dict[str, str], Answers], None]) -> tuple[dict[str, str], Answers]:
    """Asks in order what `preset` does not answer; every answer is kept as soon as it is understood. Returns all typed
    answers and what they mean. Raises click.Abort where the person leaves."""
    names, former, texts, at = list(QUESTIONS), dict(preset), dict[str, str](), 0
    while at < len(names):
        name = names[at]
        before = {each: texts[each] for each in names[:at]}
        asked = name not in preset
        try:
            settled = _asked(name, at, before, former.get(name)) if asked else _settled(preset.pop(name), name, before)
        except Back:
            _say("This is the first question." if at == 0 else "", 2)
            at = max(0, at - 1)
            preset.pop(names[at], None)
            continue
        except Left as left:
            former[name] = left.text
            continue
        if settled is None:
            continue
        texts[name], found = settled
        former[name] = texts[name]
        keep({each: former[each] for each in names if each in former}, found.answers)
        for line in found.told:
            _say(f"{line[:1].upper()}{line[1:]}.", 2)
        at += 1
    return texts, understood(texts).answers


def _asked(name: str, at: int, before: dict[str, str], former: str | None) -> tuple[str, Understood]:
    """(the answer as it is kept, what it means) of one question."""
    common.say("")
    _say(f"{at + 1} of {len(QUESTIONS)}. {QUESTIONS[name]}{'' if at else f'   ({BACK}: one question back)'}")
    if former:
        _say(f"Enter: {former}", 2)
    while True:
        typed = _typed("> ")
        if not typed and not former and name not in MAY_BE_EMPTY:
            _say("An answer is needed here: the plan rests on it.", 2)
            continue
        text = typed or former or ""
        if typed.startswith("+") and former:
            text = f"{former}, {typed[1:].strip()}"
        try:
            if settled := _settled(text, name, before):
                return settled
        except Left as left:
            former = left.text
            _say(f"Enter: {former}", 2)


def _settled(text: str, name: str, before: dict[str, str]) -> tuple[str, Understood] | None:
    """Asks for what an answer leaves open, until it is clear; None, the reason told, when it has to be given anew."""
    from seasonplan.inputs.gathering import Wrong
    from seasonplan.inputs.said.words import Asks

    open_: Asks | None = None
    while True:
        try:
            return text, understood({**before, name: text})
        except Asks as asks:
            if open_ is None or asks.found != open_.found:
                _say(told(asks, choices=asks.said), 2)
            open_ = asks
        except Wrong as wrong:
            _say(told(wrong), 2)
            if open_ is None:
                return None
        try:
            text = open_.complete(_option(open_))
        except Back:
            raise Left(text) from None


def _option(asks: Asks) -> str:
    """What the person picks, or types, for the open part."""
    for n, (label, _) in enumerate(asks.options, 1):
        _say(f"{n:>3}  {label}", 2)
    _say(f"{asks.question.removesuffix('?')}{_numbers(asks)}?", 2)
    while True:
        typed = _typed("  > ")
        if not asks.options:
            return typed
        if typed.isdecimal() and 1 <= int(typed) <= len(asks.options):
            return asks.options[int(typed) - 1][1]
        if typed and not typed.isdecimal():
            return typed
        _say(f"Type a number from 1 to {len(asks.options)}, or another name; {BACK} answers the question anew.", 2)


def _numbers(asks: Asks) -> str:
    return f", 1 to {len(asks.options)}" if len(asks.options) > 1 else ", 1" if asks.options else ""


def _say(text: str, indent: int = 0) -> None:
    """Says a sentence, its lines no longer than the terminal's."""
    first = " " * indent
    common.say(textwrap.fill(text, common.width() - 1, initial_indent=first, subsequent_indent=first + "  ",
                             break_long_words=False, break_on_hyphens=False))


def told(wrong: Wrong, choices: bool = True) -> str:
    """Why an answer cannot be used, and what can."""
    allowed = f"; allowed: {wrong.allowed}" if choices and wrong.allowed else ""
    return f"{wrong.found[:1].upper()}{wrong.found[1:]}{allowed}.{' ' + wrong.cause if wrong.cause else ''}"


def _typed(prompt: str) -> str:
    """A line from the terminal without what cannot be seen. Raises Back, click.Abort at the end of input or Ctrl-C."""
    text = click.prompt(prompt, default="", show_default=False, prompt_suffix="")
    if (text := visible_line(text)) == BACK:
        raise Back
    return text


def visible_line(text: str) -> str:
    """A typed line without what cannot be seen, single blanks between its words."""
    return " ".join("".join(each if each.isprintable() else " " for each in text).split())
