"""Who lives with the plants, and when there is time for them."""

from __future__ import annotations

import re

from seasonplan.dates import WEEKDAYS
from seasonplan.inputs.catalogue import plain
from seasonplan.inputs.gathering import Wrong, did_you_mean, shown
from seasonplan.inputs.said.words import AND, items, meanings, phrase_in, says
from seasonplan.inputs.site import FULL_DAYS
from seasonplan.inputs.values import line_of_text, number, whole

USUAL_DAYS, USUAL_MINUTES = ("sat", "sun"), 180
LENGTH = re.compile(r"(?:,\s*)?(\d+(?:[.,]\d+)?)\s*(h|hours?|hrs?|m|min|mins|minutes?)\b(?: (?:a|each|per) day)?",
                    re.IGNORECASE)
HALF = re.compile(r"\bhalf an hour\b", re.IGNORECASE)
WORD_LENGTH = re.compile(r"\b([a-z]+)(?=\s+(?:hour|hr|min))", re.IGNORECASE)
SPAN = re.compile(r"\b([a-z]+)\s*(?:-|–|\bto\b)\s*([a-z]+)\b", re.IGNORECASE)
WHO = "pets, children, both or none"
WHEN = "days and how long, such as: sat, sun, 3 h; or: any day, 45 min"


def household_said(text: str) -> tuple[bool, bool]:
    """(children, pets); neither where nothing is answered."""
    if not text.strip() or says("none", text):
        return False, False
    found: set[str] = set()
    for part in _parts(line_of_text(text)):
        phrase, rest = phrase_in(plain(part).split(), tuple(meanings("household")))
        if not phrase or any(not word.isdecimal() and word not in {*meanings("filler"), *meanings("number")}
                             for word in rest):
            raise Wrong(f'found "{shown(part)}"', WHO, did_you_mean(part, meanings("household")) or
                        ("Which of them?" if plain(part) in ("y", "yes") else ""))
        found |= set(meanings("household")[phrase].split())
    return "children" in found, "pets" in found


def time_said(text: str) -> tuple[tuple[str, ...], int]:
    """(days, () for any; minutes on such a day); the usual ones where nothing is answered."""
    minutes, days, text = USUAL_MINUTES, list[str](), line_of_text(text) if text.strip() else ""
    text = WORD_LENGTH.sub(lambda word: meanings("number").get(word[1].casefold(), word[1]), HALF.sub("30 min", text))
    if found := LENGTH.search(text):
        hours = found[2][0].casefold() == "h"
        length = float(found[1].replace(",", ".")) * (60 if hours else 1)
        minutes, text = whole(round(number(length, 10, 1440, "minutes a day")), 10, 1440, "minutes"), \
            text[:found.start()] + " , " + text[found.end():]
    text = SPAN.sub(lambda found: " ".join(_span(found[1], found[2])), text)
    for part in (word for each in _parts(text) for word in _days(each)):
        if part.isdecimal():
            raise Wrong(f'found "{shown(part)}"', WHEN, f"{part} h, or {part} min?")
        days += _day(part)
    chosen = tuple(day for day in WEEKDAYS if day in days) or USUAL_DAYS
    return () if len(chosen) == len(WEEKDAYS) else chosen, minutes


def _parts(text: str) -> list[str]:
    return [each.strip() for part in items(text) for each in AND.split(part) if each.strip()]


def _days(part: str) -> list[str]:
    """A phrase of the table whole, else word by word ("sat sun")."""
    return [part] if plain(part) in meanings("days") else part.replace("/", " ").split()


def _span(first: str, last: str) -> list[str]:
    """"mon to fri": the days from the one to the other."""
    (start,), (end,) = ([WEEKDAYS.index(day) for day in _day(word)[:1]] for word in (first, last))
    return [WEEKDAYS[(start + n) % len(WEEKDAYS)] for n in range((end - start) % len(WEEKDAYS) + 1)]


def _day(part: str) -> list[str]:
    word = plain(part)
    if word in meanings("days"):
        return meanings("days")[word].split()
    for day, full in zip(WEEKDAYS, FULL_DAYS, strict=True):
        if word in (day, full, f"{day}s", f"{full}s"):
            return [day]
    raise Wrong(f'found "{shown(part)}"', WHEN, did_you_mean(word, (*FULL_DAYS, *meanings("days"))))
