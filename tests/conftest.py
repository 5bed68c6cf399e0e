"""Nothing but the door opens a socket, and only to this machine, in the whole suite."""

import os
import socket
import sys
from pathlib import Path

import pytest

DOORS = (str(Path("seasonplan", "weather", "door.py")), str(Path("seasonplan", "weather", "bounds.py")),
         str(Path("seasonplan", "cli", "tell.py")))
BROWSER_DRIVERS = ("playwright", "selenium", "websocket", "apprise")


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config, log):
    """With -n: the tests of one file run in one worker, which makes what they share once; in the order of the files,
    which has none of the long ones last."""
    from xdist.scheduler import LoadFileScheduling

    config.option.loadscopereorder = False
    return LoadFileScheduling(config, log)


@pytest.fixture(autouse=True, scope="session")
def nothing_but_the_door_opens_a_socket():
    patch, connect = pytest.MonkeyPatch(), socket.socket.connect

    def guarded(self, address):
        if self.family in (socket.AF_INET, socket.AF_INET6):
            assert address[0] in ("127.0.0.1", "::1"), f"a test reaches for {address[0]}"
            frame, allowed = sys._getframe(1), False
            while frame is not None and not allowed:
                name = frame.f_code.co_filename
                allowed = name.endswith(DOORS) or any(driver in name for driver in BROWSER_DRIVERS)
                frame = frame.f_back
            assert allowed, "something other than weather/door.py opens a socket"
        return connect(self, address)

    patch.setattr(socket.socket, "connect", guarded)
    yield
    patch.undo()


@pytest.fixture(scope="session")
def _remembered(tmp_path_factory):
    from remembered import Remembered

    from seasonplan import pipeline

    own = tmp_path_factory.getbasetemp()
    shared = own.parent if "PYTEST_XDIST_WORKER" in os.environ else own
    return Remembered(pipeline.with_moves, shared / "remembered")


@pytest.fixture(scope="module")
def remembered_plans(_remembered):
    """Plans of the same scenario, day and plan before are worked out once in a run of the suite: see remembered.py.
    For a whole module: pytestmark = pytest.mark.usefixtures("remembered_plans")."""
    patch = pytest.MonkeyPatch()
    patch.setattr("seasonplan.pipeline.with_moves", _remembered)
    yield _remembered
    patch.undo()
