"""Builds seasonplan/data/catalogue.csv, which the program reads, from data/taxa.csv and data/evidence.csv.

    python tests/evidence/build.py            writes it
    python tests/evidence/build.py --check    says whether it is as built

The rule. For each taxon and quantity the rows of the best grade decide: measured (a trial), then listed (extension,
botanical garden, society, poison centre), then group (what is known of its relatives), then memory. Among them the
careful middle counts: the median, and of two middle ones the more careful (the warmer threshold, the less light, the
worse class). Its range runs over the rows that decided, and over every measured or listed one beside them: a conflict
keeps its range. Freezing kills whatever is harmed at 0 °C or above once hardened. Toxicity that no row speaks of counts
as toxic, leaves that no row speaks of as unknown to soap. A row `any-…` stands for plants of a group whose kind nobody
named: the tenderest of the group's harms, the careful middle of its comforts, the least light, the worst classes.
"""

from __future__ import annotations

import csv
import io
import sys
from collections import defaultdict
from pathlib import Path

DATA = Path(__file__).parents[2] / "seasonplan" / "data"
GRADES = ("measured", "listed", "group", "memory")
NUMBERS = {"harm": "_c", "harm_hardened": "_c", "comfort": "_c", "light_low": "_mol", "light_high": "_mol"}
RANGED = ("harm", "harm_hardened", "comfort")
CLASSES = {"sun": ("sun", "part-sun", "shade", "deep-shade"), "toxic_people": ("none", "irritant", "toxic", "deadly"),
           "toxic_pets": ("none", "irritant", "toxic", "deadly"), "soap": ("no", "unknown", "yes")}
"""Classes from the least to the most careful."""
UNSPOKEN = {"toxic_people": "toxic", "toxic_pets": "toxic", "soap": "unknown"}
LESS_IS_CAREFUL = ("light_high",)
COLUMNS = ("key", "botanical", "common", "group", "climate", "harm_c", "harm_low_c", "harm_high_c", "harm_grade",
           "harm_hardened_c", "harm_hardened_low_c", "harm_hardened_high_c", "harm_hardened_grade", "comfort_c",
           "comfort_low_c", "comfort_high_c", "comfort_grade", "freeze_kill", "light_low_mol", "light_high_mol",
           "light_grade", "sun", "summer_outdoors", "moisture", "soap_sensitive", "toxic_people", "toxic_pets",
           "toxic_grade", "salt_sensitive", "cuttings", "bud_cold_c", "source_temp", "source_light", "source_other")
Row = dict[str, str]


def read(name: str) -> list[Row]:
    with open(DATA / f"{name}.csv", encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def careful_middle(values: list, key, reverse: bool = False):
    """The middle of some values in careful order; of two middle ones the more careful."""
    ordered = sorted(values, key=key, reverse=reverse)
    return ordered[len(ordered) // 2]


def best(rows: list[Row]) -> list[Row]:
    """The rows of the best grade among these."""
    top = min(GRADES.index(row["grade"]) for row in rows)
    return [row for row in rows if row["grade"] == GRADES[top]]


def decided(quantity: str, rows: list[Row]) -> Row:
    """The row that counts for one quantity of one taxon, with the range of all that have a say."""
    if not rows:
        return {"value": UNSPOKEN.get(quantity, ""), "low": "", "high": "", "source": "", "grade": "memory"}
    deciding = best(rows)
    if quantity in CLASSES:
        return careful_middle(deciding, lambda row: CLASSES[quantity].index(row["value"]))
    row = careful_middle(deciding, lambda row: float(row["value"]), quantity in LESS_IS_CAREFUL)
    heard = deciding + [other for other in rows if other["grade"] in GRADES[:2] and other not in deciding]
    ends = [float(other[end] or other["value"]) for other in heard for end in ("low", "high")]
    return {**row, "low": f"{min(ends):g}", "high": f"{max(ends):g}"}


def sources(*rows: Row) -> str:
    return "; ".join(dict.fromkeys(part for row in rows for part in row["source"].split("; ") if part))


def built(taxon: Row, found: dict[str, Row]) -> Row:
    """A row of catalogue.csv from the taxon's own facts and what was decided for each quantity."""
    out = {**taxon, "bud_cold_c": found["bud_cold"]["value"], "soap_sensitive": found["soap"]["value"]}
    for quantity, unit in NUMBERS.items():
        out[f"{quantity}{unit}"] = found[quantity]["value"]
    for quantity in RANGED:
        out[f"{quantity}_low_c"], out[f"{quantity}_high_c"] = found[quantity]["low"], found[quantity]["high"]
        out[f"{quantity}_grade"] = found[quantity]["grade"]
    for name in ("sun", "toxic_people", "toxic_pets"):
        out[name] = found[name]["value"]
    worst = max((found["toxic_people"], found["toxic_pets"]), key=lambda row: GRADES.index(row["grade"]))
    return {**out, "freeze_kill": "yes" if float(out["harm_hardened_c"]) >= 0 else "no",
            "light_grade": found["light_high"]["grade"], "toxic_grade": worst["grade"],
            "source_temp": sources(*(found[q] for q in RANGED)),
            "source_light": sources(found["light_low"], found["light_high"], found["sun"]),
            "source_other": sources(found["toxic_people"], found["toxic_pets"], found["soap"]) or "memory"}


def of_group(taxon: Row, members: list[Row]) -> Row:
    """A row for plants of a group whose kind nobody named."""
    def numbers(column: str) -> list[float]:
        return [float(row[column]) for row in members]

    def middle(column: str) -> str:
        return f"{careful_middle(numbers(column), float):g}"

    def worst(column: str, classes: tuple[str, ...]) -> str:
        return max((row[column] for row in members), key=classes.index)

    out = {**taxon, "climate": worst("climate", ("temperate", "arid", "subtropical", "tropical")), "bud_cold_c": ""}
    for quantity in RANGED:
        out[f"{quantity}_c"] = middle("comfort_c") if quantity == "comfort" else f"{max(numbers(f'{quantity}_c')):g}"
        values = numbers(f"{quantity}_c")
        out[f"{quantity}_low_c"], out[f"{quantity}_high_c"] = f"{min(values):g}", f"{max(values):g}"
        out[f"{quantity}_grade"] = "group"
    out["comfort_c"] = f"{max(float(out['comfort_c']), float(out['harm_c'])):g}"
    high = min(numbers("light_high_mol"))
    note = f"its {len(members)} kinds in this catalogue"
    return {**out, "freeze_kill": "yes" if float(out["harm_hardened_c"]) >= 0 else "no", "light_grade": "group",
            "light_low_mol": f"{min(float(middle('light_low_mol')), high / 2):g}", "light_high_mol": f"{high:g}",
            "sun": worst("sun", CLASSES["sun"]), "soap_sensitive": worst("soap_sensitive", CLASSES["soap"]),
            "toxic_people": worst("toxic_people", CLASSES["toxic_people"]), "toxic_grade": "group",
            "toxic_pets": worst("toxic_pets", CLASSES["toxic_pets"]),
            "source_temp": note, "source_light": note, "source_other": note}


def build() -> str:
    """The text of catalogue.csv."""
    evidence: dict[tuple[str, str], list[Row]] = defaultdict(list)
    for row in read("evidence"):
        evidence[row["taxon"], row["quantity"]].append(row)
    taxa = read("taxa")
    quantities = (*NUMBERS, *CLASSES, "bud_cold")
    kinds = [built(taxon, {q: decided(q, evidence[taxon["key"], q]) for q in quantities})
             for taxon in taxa if not taxon["key"].startswith("any-")]
    groups = [of_group(taxon, [row for row in kinds if row["group"] == taxon["group"]])
              for taxon in taxa if taxon["key"].startswith("any-")]
    text = io.StringIO()
    writer = csv.DictWriter(text, COLUMNS, lineterminator="\n", extrasaction="raise")
    writer.writeheader()
    writer.writerows(kinds + groups)
    return text.getvalue()


if __name__ == "__main__":
    target = DATA / "catalogue.csv"
    if "--check" in sys.argv:
        sys.exit(0 if target.read_text(encoding="utf-8") == build() else "catalogue.csv is not as built")
    target.write_text(build(), encoding="utf-8")
