"""How far the catalogue agrees with what was found published: a table by field and grade, and what disagrees.

    python tests/evidence/agreement.py

tests/evidence/published.csv: one figure each of 115 plants, gathered before the evidence was and kept apart from it. A
threshold agrees within 2 °C of the published one as it was read then (low, high), light within a quarter, a class when
it is the same. grade: A extension, garden, society or trial, B other published, C advice without a source that can be
named, memory. agreed_before: the first catalogue. Whoever weighed the evidence knew these figures: agreement shows
that no figure was left unweighed, not that a figure is right.
"""

from __future__ import annotations

import csv
from collections import defaultdict
from pathlib import Path

HERE = Path(__file__).parent
CATALOGUE = HERE.parents[1] / "seasonplan" / "data" / "catalogue.csv"
COLUMN = {"harm": "harm_c", "comfort": "comfort_c", "light_low": "light_low_mol", "light_high": "light_high_mol",
          "soap": "soap_sensitive"}
Row = dict[str, str]


def rows(path: Path) -> list[Row]:
    return list(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))


def ours(taxon: Row, figure: Row) -> str:
    return taxon[COLUMN.get(figure["field"], figure["field"])]


def agrees(taxon: Row, figure: Row) -> bool:
    value = ours(taxon, figure)
    if figure["high"]:
        return float(figure["low"]) <= float(value) <= float(figure["high"])
    return value in figure["low"].split("|")


def compared() -> list[tuple[Row, Row]]:
    """(taxon, published figure)."""
    taxa = {row["key"]: row for row in rows(CATALOGUE)}
    return [(taxa[figure["key"]], figure) for figure in rows(HERE / "published.csv")]


def table() -> str:
    counts: dict[str, dict[str, list[tuple[bool, bool]]]] = defaultdict(lambda: defaultdict(list))
    for taxon, figure in compared():
        for grade in (figure["grade"], "all"):
            counts[figure["field"]][grade].append((figure["agreed_before"] == "yes", agrees(taxon, figure)))
    lines = ["| field | A | B | C | memory | all | before |", "|---|---|---|---|---|---|---|"]
    for field, by_grade in counts.items():
        cells = [f"{sum(now for _, now in by_grade[grade])} of {len(by_grade[grade])}" if by_grade[grade] else "-"
                 for grade in ("A", "B", "C", "memory", "all")]
        before, now = (sum(pair[n] for pair in by_grade["all"]) / len(by_grade["all"]) for n in (0, 1))
        lines.append(f"| {field} | {' | '.join(cells)} ({now:.0%}) | {before:.0%} |")
    return "\n".join(lines)


if __name__ == "__main__":
    print(table())
    for taxon, figure in compared():
        if not agrees(taxon, figure):
            span = f"{figure['low']} to {figure['high']}" if figure["high"] else figure["low"]
            print(f"{figure['key']}, {figure['field']}: {ours(taxon, figure)}, published read as {span} "
                  f"[{figure['grade']}] {figure['published']}")
