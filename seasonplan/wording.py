"""How numbers, dates and names are put for a reader, in the units the person chose. Nothing here decides anything."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from datetime import date

from seasonplan import units as u
from seasonplan.dates import MONTH_NAMES

IMPERIAL = "imperial"
SLUG_MOST = 40
THEY_STAND = "They stand: "
"""What a line begins with that says at which places the pots of a job stand: it holds for that job alone."""
DAY_NAMES = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def temperature(value_c: float, units: str) -> str:
    """"10 °C" or "50 °F"; one decimal only where it says something."""
    value, sign = (u.c_to_fahrenheit(value_c), "°F") if units == IMPERIAL else (value_c, "°C")
    return f"{trimmed(value, 0 if units == IMPERIAL else 1)} {sign}"


def temperature_span(span_c: float, units: str) -> str:
    """A difference of temperatures."""
    value, sign = (span_c * 9 / 5, "°F") if units == IMPERIAL else (span_c, "°C")
    return f"{trimmed(value, 1)} {sign}"


def length(cm: float, units: str) -> str:
    """Pot sizes and distances: "33 cm" or "13 in"."""
    return f"{trimmed(cm / u.CM_PER_INCH, 1)} in" if units == IMPERIAL else f"{trimmed(cm, 0 if cm >= 10 else 1)} cm"


def height(metres: float, units: str) -> str:
    """Above the sea: "47 m" or "154 ft"."""
    return f"{metres / u.METRES_PER_FOOT:.0f} ft" if units == IMPERIAL else f"{metres:.0f} m"


def distance(km: float, units: str) -> str:
    """Between places: "21 km" or "13 miles"."""
    miles = round(km / u.KM_PER_MILE)
    return f"{km:.0f} km" if units != IMPERIAL else "1 mile" if miles == 1 else f"{miles} miles"


def volume(litres: float, units: str) -> str:
    """"16 L" or "4.2 gal"; small amounts in mL or fl oz."""
    if units == IMPERIAL:
        gallons = litres / u.LITRES_PER_US_GALLON
        ounces = gallons * 128
        return f"{trimmed(gallons, 1)} gal" if gallons >= 0.5 else f"{trimmed(ounces, 0 if ounces >= 2 else 1)} fl oz"
    return f"{trimmed(litres, 1 if litres < 10 else 0)} L" if litres >= 0.5 else f"{trimmed(litres * 1000, 0)} mL"


def speed(m_s: float, units: str) -> str:
    """"65 km/h", "40 mph"."""
    return f"{m_s * 2.23694:.0f} mph" if units == "imperial" else f"{m_s * 3.6:.0f} km/h"


def rainfall(mm: float, units: str) -> str:
    """"25 mm", "1.0 in"."""
    return f"{mm / 25.4:.1f} in" if units == "imperial" else f"{mm:.0f} mm"


def weight(kg: float, units: str) -> str:
    """"11 kg" or "24 lb"."""
    return f"{trimmed(kg / u.KG_PER_POUND, 0)} lb" if units == IMPERIAL else f"{trimmed(kg, 1 if kg < 10 else 0)} kg"


def day(value: date, year: bool = False) -> str:
    """"Sat 9 May", with the year where asked."""
    text = f"{DAY_NAMES[value.weekday()]} {value.day} {MONTH_NAMES[value.month - 1][:3]}"
    return f"{text} {value.year}" if year else text


def clock(minutes: float) -> str:
    """Minutes after midnight as "HH:MM" (wrapped into one day)."""
    whole = int(round(minutes)) % 1440
    return f"{whole // 60:02d}:{whole % 60:02d}"


def minute_of(clock_time: str) -> int:
    """Minutes after midnight of "HH:MM"."""
    return int(clock_time[:2]) * 60 + int(clock_time[3:])


def moment(local: str) -> str:
    """A local time as alerts carry it, "2027-05-11T19:00", for a reader: "19:00 on Tue 11 May"."""
    date_part, _, time = local.partition("T")
    return f"{time[:5]} on {day(date.fromisoformat(date_part))}"


def few_nights(expected: float) -> str:
    """An expected number of nights: "1.9", "fewer than 0.1"."""
    return "fewer than 0.1" if expected < 0.05 else trimmed(round(expected, 1))


def spans(pairs: Sequence[tuple[float, float]]) -> str:
    """"06:50 to 08:30 and 17:00 to 18:10"; "no direct sun" when there are none."""
    return " and ".join(f"{clock(a)} to {clock(b)}" for a, b in pairs) if pairs else "no direct sun"


def percent(share: float) -> str:
    """A share 0..1 as a percentage, honest at the ends."""
    if 0 < share < 0.005:
        return "under 1 %"
    if 0.995 < share < 1:
        return "over 99 %"
    return f"{share * 100:.0f} %"


def listed(names: Sequence[str], most: int | None = None) -> str:
    """"a, b and c"; with `most`, "a, b and 3 more"."""
    names = list(names)
    if most is not None and len(names) > most:
        return f"{', '.join(names[:most])} and {len(names) - most} more"
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}" if names else ""


def counted(number: float, one: str, many: str | None = None) -> str:
    """"1 pot", "3 pots"."""
    return f"{trimmed(number, 1)} {one if number == 1 else many or one + 's'}"


def amount(value: float, unit: str, units: str) -> str:
    """So much of something to buy: litres, millilitres and kilograms in the person's units, others as they are."""
    if unit in ("L", "mL"):
        return volume(value if unit == "L" else value / 1000, units)
    if unit == "m²":
        return f"{trimmed(value, 1)} m²"
    return weight(value, units) if unit == "kg" else counted(value, unit.removesuffix("s"))


def light(mol: float) -> str:
    """Light per day, "6.2 mol" (per square metre); "no limit" for infinity."""
    return "no limit" if mol == float("inf") else f"{trimmed(mol, 1 if mol < 10 else 0)} mol"


def hours(value: float) -> str:
    """"1.4 h"; "no limit" for infinity."""
    return "no limit" if value == float("inf") else f"{trimmed(value, 1)} h"


def duration(minutes: float) -> str:
    """"45 min", "2 h", "2 h 5 min"."""
    whole = int(round(minutes))
    parts = [f"{whole // 60} h"] if whole >= 60 else []
    return " ".join(parts + ([f"{whole % 60} min"] if whole % 60 or not parts else []))


def short_day(value: date) -> str:
    """"9 May", where the weekday is not needed."""
    return f"{value.day} {MONTH_NAMES[value.month - 1][:3]}"


def date_span(start: date, until: date) -> str:
    """"9 May to 27 Sep"; a single day as "9 May"."""
    return short_day(start) if start == until else f"{short_day(start)} to {short_day(until)}"


def one_line(text: str, most: int | None = None) -> str:
    """Somebody's text made safe for a single line: no control or direction-override characters, no line breaks of any
    kind, single blanks, none at the ends; with `most`, cut to so many characters, the last one "…"."""
    text = " ".join(_NOT_PRINTED.sub("", _BREAKS.sub(" ", text)).split())
    return text if most is None or len(text) <= most else _cut(text, most - 1).rstrip() + "…"


_BREAKS = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029]")
_NOT_PRINTED = re.compile("[\u202a-\u202e\u2066-\u2069\ufeff\ud800-\udfff]")
_LONGEST_CLUSTER = 40


def _cut(text: str, most: int) -> str:
    """The first `most` characters, fewer where the cut would fall inside a letter with its marks or a joined emoji."""
    for at in range(most, max(most - _LONGEST_CLUSTER, 0), -1):
        joined = text[at] == "\u200d" or text[at - 1] == "\u200d" or "\U0001f3fb" <= text[at] <= "\U0001f3ff"
        if not joined and not unicodedata.combining(text[at]) and unicodedata.category(text[at]) != "Mn":
            return text[:at]
    return text[:most]


def slug(name: str, without: str = "plant") -> str:
    """A name in small ASCII letters, digits and single hyphens, at most SLUG_MOST long; `without` where it is empty."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode("ascii").lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:SLUG_MOST].rstrip("-") or without


def trimmed(value: float, places: int = 1) -> str:
    """A number without trailing zeros: "2", "1.5"."""
    text = f"{value:.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text
