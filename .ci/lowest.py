"""Prints the lowest version of every dependency that pyproject.toml allows, as constraints for pip."""

import re
import tomllib
from pathlib import Path

project = tomllib.loads((Path(__file__).parents[1] / "pyproject.toml").read_text(encoding="utf-8"))["project"]
for dependency in project["dependencies"]:
    name, version = re.fullmatch(r"([\w-]+)>=([\d.]+)(?:,.*)?", dependency).groups()
    print(f"{name}=={version}")
