"""The shipped garden that most tests of the live page look at."""

from __future__ import annotations

from collections.abc import Iterator
from types import SimpleNamespace

import pytest

pytest.importorskip("starlette", reason="the live page needs its extra: pip install '.[serve]'")

from served import served  # noqa: E402


@pytest.fixture(scope="module")
def garden(tmp_path_factory) -> Iterator[SimpleNamespace]:
    found = served(tmp_path_factory.mktemp("served"))
    yield found
    found.house.stop()


@pytest.fixture
def log(garden):
    """What stands in the log now; the log is empty again afterwards."""
    file = garden.folder / "log.csv"
    yield lambda: [line for line in file.read_text().splitlines()[1:]] if file.exists() else []
    file.write_text("date,step,plant,place,note\n")
    assert garden.house.settled(20)


