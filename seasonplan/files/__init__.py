"""The only room that opens paths: reads within bounds, writes sets of files all or none and one run at a time."""

from __future__ import annotations

from seasonplan.files.holding import (
    Held,
    append_log,
    change_log,
    change_table,
    held,
    held_all,
    merged,
    write_all,
    write_together,
)
from seasonplan.files.reading import load_scenario, read_if_there, read_input, stamps
from seasonplan.files.sets import ChangedMeanwhile

__all__ = [
    "ChangedMeanwhile", "Held", "append_log", "change_log", "change_table", "held", "held_all",
    "load_scenario", "merged", "read_if_there", "read_input", "stamps", "write_all", "write_together",
]
