"""A sheet of terminal output: headings, sentences and tables, laid out by rich to a width, with or without colour.

rich is imported when a sheet is rendered, not before: `--json` and `--quiet` have no need of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from io import StringIO
from typing import Literal

from seasonplan import wording as w

Look = Literal["plain", "heading", "strong", "quiet", "warning"]
STYLES: dict[Look, str] = {"plain": "", "heading": "bold", "strong": "bold", "quiet": "dim", "warning": "bold yellow"}
"""How each look is printed where colour is wanted. Nothing is said by a style alone."""
NARROWEST = 30


@dataclass(frozen=True)
class Cell:
    """Text of a table cell; line breaks are kept."""

    text: str
    look: Look = "plain"


@dataclass(frozen=True)
class Column:
    """figures: its cells are set to the right and never broken. fixed: set to the left and never broken."""

    head: str
    figures: bool = False
    fixed: bool = False


@dataclass(frozen=True)
class _Line:
    text: str
    look: Look
    indent: int


@dataclass(frozen=True)
class _Table:
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    heads: bool


@dataclass
class Sheet:
    """Collects what is to be shown, in order."""

    parts: list[_Line | _Table] = field(default_factory=list)

    def heading(self, text: str) -> None:
        """A heading with a blank line before it, unless it is the first thing on the sheet."""
        if self.parts:
            self.line("")
        self.line(text, "heading")

    def line(self, text: str, look: Look = "plain", indent: int = 0) -> None:
        """A sentence, wrapped to the width."""
        self.parts.append(_Line(text, look, indent))

    def table(self, columns: Sequence[Column], rows: Iterable[Sequence[Cell | str]], heads: bool = True) -> None:
        """A table; nothing where it has no rows."""
        cells = tuple(tuple(c if isinstance(c, Cell) else Cell(c) for c in row) for row in rows)
        if cells:
            self.parts.append(_Table(tuple(columns), cells, heads))

    def text(self, colour: bool, width: int) -> str:
        """The sheet as text of at most `width` columns (NARROWEST at the least), without blanks at line ends."""
        from rich.console import Console
        from rich.padding import Padding
        from rich.text import Text

        out = StringIO()
        console = Console(file=out, width=max(width, NARROWEST), force_terminal=colour, no_color=not colour,
                          color_system="standard" if colour else None, highlight=False, emoji=False, markup=False,
                          legacy_windows=False)
        for part in self.parts:
            if isinstance(part, _Line):
                text = Text(_clean(part.text), style=STYLES[part.look] if colour else "")
                console.print(Padding(text, (0, 0, 0, part.indent)))
            else:
                console.print(_laid_out(part, colour))
        return "\n".join(line.rstrip() for line in out.getvalue().split("\n")).rstrip("\n")


def _laid_out(part: _Table, colour: bool):
    from rich import box
    from rich.table import Table
    from rich.text import Text

    table = Table(box=box.SIMPLE_HEAD if part.heads else None, show_header=part.heads, show_edge=False,
                  pad_edge=False, padding=(0, 1 if part.heads else 2, 0, 0), header_style="bold" if colour else "")
    for column in part.columns:
        table.add_column(column.head, justify="right" if column.figures else "left",
                         no_wrap=column.figures or column.fixed)
    for row in part.rows:
        table.add_row(*[Text(_clean(cell.text), style=STYLES[cell.look] if colour else "") for cell in row])
    return table


def fitted(parts: Sequence[str], room: int, joiner: str = ", ") -> str:
    """As many of the parts as fit into `room` columns, in one line, and how many more there are."""
    from rich.cells import cell_len, set_cell_size

    most, used = 0, 0
    while most < len(parts) and used <= room:             # more than these cannot fit, whatever stands behind them
        used += cell_len(parts[most]) + len(joiner)
        most += 1
    for shown in range(most, 0, -1):
        left = len(parts) - shown
        text = joiner.join(parts[:shown]) + (f"{joiner if joiner != ', ' else ' '}and {left} more" if left else "")
        if cell_len(text) <= room:
            return text
    if not parts:
        return ""
    more = f" and {len(parts) - 1} more" if len(parts) > 1 else ""
    return set_cell_size(parts[0], max(room - cell_len(more), 8) - 1).rstrip() + "…" + more


def _clean(text: str) -> str:
    """Safe to print: names may hold anything, terminal control sequences too."""
    return "\n".join(w.one_line(line) for line in text.split("\n"))
