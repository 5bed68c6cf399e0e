"""Planning and watching a single folder, for tests."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from seasonplan import watching, workflow


def plan_folder(folder: Path, today: date, **how) -> workflow.Planned:
    return workflow.plan_folders(workflow.Folders.of([folder]), today, **how)


def watch_folder(folder: Path, today: date, **how) -> watching.Watched:
    """As if it were the morning of the day."""
    return watching.watch_folders(workflow.Folders.of([folder]), lambda scenario: watching.Hour.of(today), **how)
