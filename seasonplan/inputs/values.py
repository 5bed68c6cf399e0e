"""What a single value may be. Each check takes a value and gives it back typed, or raises `Wrong`; none repairs.

`text_*` checks read a cell of a table; the others take a value that the TOML reader has typed already.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from contextlib import suppress
from datetime import date, timedelta
from typing import Any

from seasonplan.dates import MONTH_NAMES
from seasonplan.inputs.gathering import Wrong, did_you_mean, is_plain, is_visible, one_of, shown
from seasonplan.units import c_to_fahrenheit, fahrenheit_to_c

NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?", re.ASCII)
COMMA_NUMBER = re.compile(r"[+-]?\d+,\d+", re.ASCII)
YEAR_LAST = re.compile(r"(\d{1,2})[./-](\d{1,2})[./-](\d{4})", re.ASCII)
YEAR_FIRST = re.compile(r"(\d{4})[./-](\d{1,2})[./-](\d{1,2})", re.ASCII)
ISO_DATE = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
YES = ("yes", "y", "true")
NO = ("no", "n", "false")
MUCH = 1e12
"""Beyond it a number has no likely cause."""
Hint = Callable[[float], str]
"""Turns a number that is out of range into the likely cause."""


def no_hint(value: float) -> str:
    return ""


def number(value: Any, low: float, high: float, unit: str = "", hint: Hint = no_hint) -> float:
    """A finite number in [low, high]."""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        quoted = "Write it without quotes." if isinstance(value, str) and NUMBER.fullmatch(value.strip()) else ""
        raise Wrong(f"found {described(value)}", f"a number from {spanned(low, high, unit)}", quoted)
    if not low <= value <= high:
        sane = -MUCH < value < MUCH
        raise Wrong(f"found {f'{value:.12g}' if sane else shown(str(value))}", spanned(low, high, unit),
                    hint(value) if sane else "")
    return float(value)


def spanned(low: float, high: float, unit: str) -> str:
    """"-70 to 45 °C"."""
    return f"{low:g} to {high:g}{' ' + unit if unit else ''}"


def whole(value: Any, low: int, high: int, unit: str = "") -> int:
    """A whole number in [low, high]."""
    if isinstance(value, bool) or not isinstance(value, int):
        raise Wrong(f"found {described(value)}", f"a whole number from {spanned(low, high, unit)}")
    if not low <= value <= high:
        raise Wrong(f"found {shown(str(value))}", spanned(low, high, unit))
    return value


def flag(value: Any) -> bool:
    """true or false."""
    if not isinstance(value, bool):
        raise Wrong(f"found {described(value)}", "true or false, without quotes")
    return value


def line_of_text(value: Any) -> str:
    """One line of text that is not empty, blanks at its ends taken off. Any script, any length."""
    if not isinstance(value, str):
        raise Wrong(f"found {described(value)}", "text in quotes")
    text = value.strip()
    if text and text.isascii() and text.isprintable():
        return text
    if not any(map(is_visible, text)):
        raise Wrong("found nothing but blanks" if value else "it is empty", "one line of text")
    bad = next((c for c in text if not is_plain(c)), None)
    if bad is not None:
        what = "a line break" if bad in "\r\n\x85\u2028\u2029" else f"the control character {shown(bad)}"
        raise Wrong(f"found {what} in {shown(text)}", "one line of text",
                    "Names go into calendars, which cannot hold it." if what != "a line break" else
                    "A calendar title holds one line; was a quotation mark left open?")
    return text


def notes_text(value: str) -> str:
    """Free text: several lines are fine, other control characters are not."""
    text = value.replace("\r\n", "\n").replace("\r", "\n").strip()
    bad = next((c for c in text if not is_plain(c) and c not in "\n\t"), None)
    if bad is not None:
        raise Wrong(f"found the control character {shown(bad)}", "text")
    return text


def choice(value: Any, allowed: Sequence[str]) -> str:
    """One of a few words, case aside."""
    if not isinstance(value, str):
        raise Wrong(f"found {described(value)}", one_of([f'"{word}"' for word in allowed]))
    word = value.strip().casefold()
    if word not in allowed:
        raise Wrong(f"found {shown(value)}", one_of(allowed), did_you_mean(word, allowed))
    return word


def text_number(text: str, low: float, high: float, unit: str = "", hint: Hint = no_hint) -> float:
    """A number in a cell (a point before its decimals; see tables for decimal commas)."""
    plain = text.replace("−", "-")
    if not NUMBER.fullmatch(plain):
        raise Wrong(f"found {shown(text)}", f"a number from {spanned(low, high, unit)}", _number_cause(plain))
    return number(float(plain), low, high, unit, hint)


def _number_cause(text: str) -> str:
    if COMMA_NUMBER.fullmatch(text):
        return "A comma before three digits can mean thousands or decimals; write it with a point."
    if re.fullmatch(r"[+-]?[\d.]+,[\d.,]*|[+-]?\d+\.\d+\.[\d.]*", text):
        return "Write the number with one point and no other separators."
    if re.match(r"[+-]?\d", text):
        return "Write the number alone; its unit belongs in the column's name."
    return ""


def text_whole(text: str, low: int, high: int, unit: str = "") -> int:
    """A whole number in a cell; 3.0 counts as whole, as spreadsheets write it."""
    value = text_number(text, low, high, unit)
    if value != int(value):
        raise Wrong(f"found {shown(text)}", f"a whole number from {spanned(low, high, unit)}")
    return int(value)


DAY_NUMBER, FIRST_DAY_NUMBER = re.compile("[1-7][0-9]{4}"), date(1899, 12, 30)
"""Days as most spreadsheets count them, of which 61 is 1 March 1900 (memory)."""


def text_day(text: str) -> date:
    """A date written YYYY-MM-DD; other orders of day and month cannot be told apart and are not guessed."""
    if not ISO_DATE.fullmatch(text):
        cause = " or ".join(f"{day} for {day.day} {MONTH_NAMES[day.month - 1]}" for day in days_meant(text))
        cause = f"Write {cause}." if cause else ""
        if DAY_NUMBER.fullmatch(text):
            cause = f"Is it a spreadsheet's number for {FIRST_DAY_NUMBER + timedelta(days=int(text))}?"
        raise Wrong(f"found {shown(text)}", "a date as YYYY-MM-DD", cause)
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise Wrong(f"found {text}", "a date that exists, as YYYY-MM-DD") from None


def days_meant(text: str) -> list[date]:
    """The days that a date in figures may mean, whatever the order and the marks between them."""
    orders: list[tuple[str, ...]] = []
    if last := YEAR_LAST.fullmatch(text):
        orders = [(last[3], last[2], last[1]), (last[3], last[1], last[2])]
    elif first := YEAR_FIRST.fullmatch(text):
        orders = [first.groups()]
    days = []
    for order in orders:
        with suppress(ValueError):
            days.append(date(*map(int, order)))
    return list(dict.fromkeys(days))


def plain_day(text: str) -> date:
    """A date as YYYY-MM-DD, or in another form that can only mean one day (29.5.2027, 2027/5/29)."""
    days = days_meant(text)
    return days[0] if len(days) == 1 else text_day(text)


def text_yes_no(text: str) -> bool:
    """yes or no."""
    word = text.casefold()
    if word not in YES + NO:
        raise Wrong(f"found {shown(text)}", "yes or no")
    return word in YES


def described(value: Any) -> str:
    """A TOML value named with its type, for "found …"."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f'the text "{shown(value)}"'
    if isinstance(value, (list, dict)):
        return "a list" if isinstance(value, list) else "a table"
    return shown(str(value))


def looks_like_fahrenheit(low_c: float, high_c: float) -> Hint:
    """For a Celsius value above its range that would be believable as Fahrenheit."""
    def hint(value: float) -> str:
        return "Is the column in °F?" if high_c < value <= c_to_fahrenheit(high_c) else ""
    return hint


def celsius_in(column: str, low_c: float, high_c: float) -> Callable[[str], float]:
    """Reads the cells of a temperature column, by its name's ending in °C (`_c`) or °F (`_f`), as °C."""
    if column.endswith("_f"):
        low_f, high_f = round(c_to_fahrenheit(low_c), 1), round(c_to_fahrenheit(high_c), 1)
        return lambda text: fahrenheit_to_c(text_number(text, low_f, high_f, "°F"))
    return lambda text: text_number(text, low_c, high_c, "°C", looks_like_fahrenheit(low_c, high_c))
