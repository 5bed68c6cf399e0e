"""Every promise of a plan, checked from outside the program.

    python tests/checker/check.py DIR [--out OUT] [--today DATE]

DIR is a scenario that has been planned. `light` and `catalogue` are asked by command. Prints what is broken, by
promise; exit code 1 when anything is.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
from collections import Counter
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[1]))

from checker import events, folder, light, standing, work  # noqa: E402
from checker.folder import Broken, Garden  # noqa: E402

CHECKS = (*standing.CHECKS, *light.CHECKS, *work.CHECKS, *events.CHECKS)


def broken(garden: Garden) -> list[Broken]:
    """All that is broken."""
    return [each for check in CHECKS for each in check(garden)]


def asked(*command: str) -> dict[str, Any]:
    """What a command prints with --json."""
    done = subprocess.run([sys.executable, "-m", "seasonplan", *command, "--json"], capture_output=True, check=True)
    return json.loads(done.stdout)


def main(arguments: Sequence[str] | None = None) -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--out", type=Path)
    parser.add_argument("--today", type=date.fromisoformat)
    given = parser.parse_args(arguments)
    found = broken(folder.read(given.folder, asked("light", str(given.folder)), asked("catalogue"), given.out,
                               given.today))
    for each in found:
        print(each)
    print(dict(Counter(each.promise for each in found)) or "every promise is kept")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
