"""Gardens made up by chance from a number, the same for the same number. Everything in them is invented.

From number 1000 on they have more of what a scenario may say: times away, plants that come and go, another summer;
from 10,000 on they are small, so that thousands can be planned: one to six plants, one to four places outdoors.
"""

from __future__ import annotations

import math
from random import Random

OUTDOORS = {
    "porch": 'faces = "east"\nwall_behind = true\nroof_deg = 55\nhorizon_deg = 10\nnight_lift_c = 1.0',
    "tree": "leaf_shade = 0.25\nhorizon_deg = 10\nnight_lift_c = 0.5",
    "step": 'faces = "south-west"\nwall_behind = true\nhorizon_deg = 8\nnight_lift_c = 0.5',
    "lawn": "horizon_deg = 8",
    "north wall": 'faces = "n"\nwall_behind = true\nhorizon_deg = 15',
    "balcony": 'faces = "s"\nwall_behind = true\nroof_deg = 60\nnight_lift_c = 1.5',
    "yard": "",
    "arbour": "leaf_shade = 0.1\nhorizon_deg = 20",
    "hollow": "horizon_deg = 12\nnight_lift_c = -1.5",
}
INDOORS = {
    "south window": 'faces = "{sunny}"\nwindow_width_m = 1.5\nwindow_height_m = 1.4\nsill_m = 0\ndistance_m = 0.4',
    "east sill": 'faces = "e"\nwindow_width_m = 1.0\nwindow_height_m = 1.2\nsill_m = 0\ndistance_m = 0.2',
    "landing": "measured_lux = 900",
    "dim room": 'faces = "{dull}"\nwindow_width_m = 1.2\nwindow_height_m = 1.2\ndistance_m = 2.0\ncurtain = "sheer"',
}


RICHER_FROM, SMALL_FROM = 1000, 10_000


def made_up(number: int, keys: list[str]) -> dict[str, str]:
    """The files of a garden: scenario.toml, plants.csv, normals.csv. keys: taxa of the catalogue."""
    chance = Random(number)
    latitude = round(chance.uniform(-58, 66), 1)
    most_places, most_plants = (6, 14) if number < SMALL_FROM else (4, 6)
    rooms = chance.sample(sorted(INDOORS), chance.randint(1, 3))
    outside = chance.sample(sorted(OUTDOORS), chance.randint(1, most_places))
    files = {"scenario.toml": _toml(chance, latitude, rooms, outside), "normals.csv": _normals(chance, latitude),
             "plants.csv": _plants(chance, keys, rooms, most_plants)}
    return files if number < RICHER_FROM else _richer(chance, files, 2027 + (latitude < 0))


def _richer(chance: Random, files: dict[str, str], spring_year: int) -> dict[str, str]:
    """The same garden with more of what may be said of one. spring_year: in which the planning year's May lies."""
    site = f"travel_minutes = {chance.choice([0, 0, 20, 45])}\n"
    rules = "".join(line for line in (
        'summer = "in-shade"\n', 'calendar = "by-step"\n', 'units = "imperial"\n', "children = true\n", "pets = true\n",
        f"carry_in_nights = {chance.choice([0, 1, 5])}\n", f"harm_risk = {chance.choice([0.02, 0.3])}\n")
        if chance.random() < 0.3)
    toml = files["scenario.toml"].replace("[rules]\n", f"{site}[rules]\n{rules}")
    for month in sorted(chance.sample(range(1, 13), chance.randint(0, 3))):
        first = f"{spring_year if month > 3 else 2028}-{month:02d}-{chance.randint(1, 9):02d}"
        toml += f"[[away]]\nfrom = {first}\nuntil = {_later(first, chance.randint(1, 19))}\n" \
                f"helper = {chance.choice(['true', 'false'])}\n"
    header, *rows = files["plants.csv"].splitlines()
    return files | {"scenario.toml": toml, "plants.csv": "\n".join(
        [f"{header},arrived,left,tall_cm,notes", *(f"{row},{_coming_and_going(chance)}" for row in rows)]) + "\n"}


def _coming_and_going(chance: Random) -> str:
    day = _later("2027-03-05", chance.randint(0, 360))
    arrived, left = chance.choice([("", "")] * 4 + [(day, ""), ("", day), (day, _later(day, chance.randint(1, 120)))])
    tall_cm, notes = chance.choice(["", "", "60", "210"]), chance.choice(["", "", "dusty", "leggy; clay pot"])
    return f"{arrived},{left},{tall_cm},{notes}"


def _toml(chance: Random, latitude: float, rooms: list[str], outside: list[str]) -> str:
    sunny, dull = ("s", "n") if latitude >= 0 else ("n", "s")
    lines = [f'[site]\nname = "Made-up garden (invented)"\nlatitude = {latitude}\n'
             f'longitude = {round(chance.uniform(-170, 170), 1)}\nelevation_m = {chance.randint(0, 900)}\n'
             f'timezone = "UTC"\nnormals = "normals.csv"\n[rules]\nyear = 2027\n'
             f'policy = "{chance.choice(["careful", "carry-in"])}"\n'
             f'move_days = {chance.choice(["[]", str(["sat", "sun"]), str(["wed"]), str(["fri", "sat"])])}\n'
             f"minutes_per_day = {chance.choice([60, 120, 180, 300])}\n".replace("'", '"')]
    for name in rooms:
        keys = INDOORS[name].format(sunny=sunny, dull=dull)
        lines.append(f'[[place]]\nname = "{name}"\nkind = "indoor"\n{keys}\n')
    for name in outside:
        room_for = f"room_for = {chance.choice([2, 5, 12])}\n" if chance.random() < 0.4 else ""
        lines.append(f'[[place]]\nname = "{name}"\nkind = "outdoor"\n{OUTDOORS[name]}\n{room_for}')
    return "\n".join(lines)


def _normals(chance: Random, latitude: float) -> str:
    away = abs(latitude)
    mean, swing = 22 - 0.4 * max(away - 15, 0) + chance.uniform(-3, 3), max(0.2 * away + chance.uniform(-3, 4), 0.5)
    spread = round(chance.uniform(2, 5), 1) if chance.random() < 0.6 else None
    range_c = round(chance.uniform(6, 14), 1)
    header = "month,tmin_c,tmax_c" + (",tmin_sd_c" if spread else "")
    rows = [header]
    for month in range(1, 13):
        phase = math.cos(2 * math.pi * (month - (7.2 if latitude >= 0 else 1.2)) / 12)
        low = round(mean + swing * phase, 1)
        rows.append(f"{month},{low},{round(low + range_c, 1)}" + (f",{spread}" if spread else ""))
    return "\n".join(rows) + "\n"


def _plants(chance: Random, keys: list[str], rooms: list[str], most: int) -> str:
    rows = ["name,taxon,count,pot_cm,place,root_bound,pests,last_leached,last_repotted"]
    for n in range(chance.randint(1, most)):
        rows.append(",".join([
            f"Plant {n}", chance.choice(keys), str(chance.choice([1, 1, 1, 2, 4])), str(chance.choice([9, 15, 24, 38])),
            chance.choice(rooms), chance.choice(["yes", "no", ""]),
            chance.choice(["none"] * 6 + ["scale", "mealybug", "spider-mite", "aphid", "whitefly", "unknown"]),
            chance.choice(["", "2026-06-14"]), chance.choice(["", "2025-05-10"])]))
    return "\n".join(rows) + "\n"


def done_until(plan: dict, today: str, chance: Random, log: str = "") -> str:
    """A log of what somebody did until today: most steps on their day, some late, some not, some elsewhere."""
    rows = [log.rstrip("\n") or "date,step,plant,place,note"]
    logged = {line.split(",")[1] for line in rows[0].split("\n")[1:]}
    for step in sorted(plan["steps"], key=lambda step: (step["date"], step["uid"])):
        luck = chance.random()
        if step["date"] > today or step["uid"] in logged or luck < 0.12:
            continue
        day = step["date"] if luck < 0.8 else min(today, _later(step["date"], chance.randint(1, 12)))
        place = "" if " + " in step["place"] else step["place"]
        names = step["plants"] if luck < 0.95 else step["plants"][:1]
        rows += [f"{day},{step['uid']},{name},{place},"
                 for name in names]
    if chance.random() < 0.2 and plan["plants"]:
        rows.append(f"{today},found-{chance.choice(['scale', 'aphid', 'spider-mite'])},"
                    f"{chance.choice(plan['plants'])['name']},,")
    return "\n".join(rows) + "\n"


def odd_lines(plan: dict, today: str, places: list[str], chance: Random) -> str:
    """Lines for a log that nobody should write, and somebody will: twice the same, out of order, what cannot have been,
    plants and places that are not there, days that have not come, notes that say too much."""
    names = [plant["name"] for plant in plan["plants"]] or ["Plant 0"]
    uids = [step["uid"] for step in plan["steps"]] or ["2027-leach-x"]
    rows = []
    for _ in range(chance.randint(3, 25)):
        step = chance.choice([*ODD_STEPS, chance.choice(uids), chance.choice(uids).replace("2027", "2026"),
                              chance.choice(uids)[:9]])
        name = chance.choice([*names, *names, *names, "", f"{names[0]}, part 2", f"{names[-1]}, part 9", "Gone fern"])
        place = chance.choice([*places, *places, "", "", "an attic"])
        day = _later(today, -chance.choice([0, 0, 1, 2, 7, 30, 90, 400, 3000, -1, -40]))
        rows += [f"{day},{step},{name},{place},{chance.choice(ODD_NOTES)}"] * chance.choice([1, 1, 1, 2])
    chance.shuffle(rows)
    return "\n".join(rows) + "\n"


ODD_STEPS = ("move-out", "move-out", "move", "move", "move-in", "move-in", "cloth", "rescue", "rescue", "died",
             "given-away", "arrived", "begin", "found-scale", "found-aphid", "pest", "pest-clear", "repot", "leach",
             "treat", "isolate", "feed-start", "feed-stop", "inspect-before-in", "water", "sang to it", "MOVE OUT")
ODD_NOTES = ("", "", "", "2 pots", "1 pot; cloth 50 %", "0 pots", "999999 pots", "cloth 0 %", "cloth 99 %; no cloth",
             "no cloth", "spider mites", '"said ""enough"", twice; then left"', "\u202egnp.exe", "=1+1")


def _later(day: str, by: int) -> str:
    from datetime import date, timedelta

    return (date.fromisoformat(day) + timedelta(days=by)).isoformat()
