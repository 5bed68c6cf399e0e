"""A real headless Chromium for tests, spoken to over its DevTools pipe: no driver, no port, no further dependency."""

from __future__ import annotations

import base64
import json
import os
import select
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
FLAGS = ("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-sync",
         "--disable-background-networking", "--disable-component-update", "--disable-default-apps",
         "--disable-extensions", "--hide-scrollbars", "--force-color-profile=srgb", "--disable-dev-shm-usage",
         "--remote-debugging-pipe")
LAUNCH = ("import os, sys; os.dup2(int(sys.argv[1]), 3); os.dup2(int(sys.argv[2]), 4); "
          "os.execv(sys.argv[3], sys.argv[3:])")
"""Puts the pipe where Chromium looks for it (reads 3, writes 4) and becomes Chromium."""
PATIENCE_S = 60.0


def chromium_path() -> str | None:
    """Where a Chromium is installed; None when there is none."""
    return next((found for name in NAMES if (found := shutil.which(name))), None)


class Browser:
    """A running Chromium. `call` sends one DevTools command and waits for its answer; events gather in `events`."""

    def __init__(self, path: str, profile: Path):
        to_read, our_write = os.pipe()
        our_read, to_write = os.pipe()
        with (profile / "log").open("wb") as log:
            self.process = subprocess.Popen(
                [sys.executable, "-c", LAUNCH, str(to_read), str(to_write), path, *FLAGS, f"--user-data-dir={profile}"],
                pass_fds=(to_read, to_write), stdout=log, stderr=log)
        os.close(to_read)
        os.close(to_write)
        self.read_fd, self.write_fd = our_read, our_write
        self.buffer, self.count = b"", 0
        self.events: list[dict[str, Any]] = []

    def call(self, method: str, session: str | None = None, **params: Any) -> dict[str, Any]:
        self.count += 1
        message = {"id": self.count, "method": method, "params": params} | ({"sessionId": session} if session else {})
        os.write(self.write_fd, json.dumps(message).encode() + b"\0")
        deadline = time.monotonic() + PATIENCE_S
        while True:
            answer = self._next(deadline)
            if answer.get("id") == self.count:
                if "error" in answer:
                    raise RuntimeError(f"{method}: {answer['error']}")
                return answer["result"]
            self.events.append(answer)

    def wait_for(self, method: str, session: str) -> None:
        """Until an event of this name has come for this session."""
        deadline = time.monotonic() + PATIENCE_S
        while not any(e["method"] == method and e.get("sessionId") == session for e in self.events):
            self.events.append(self._next(deadline))

    def _next(self, deadline: float) -> dict[str, Any]:
        while b"\0" not in self.buffer:
            if not select.select([self.read_fd], [], [], max(deadline - time.monotonic(), 0))[0]:
                raise TimeoutError("Chromium did not answer")
            piece = os.read(self.read_fd, 1 << 20)
            if not piece:
                raise RuntimeError("Chromium has gone")
            self.buffer += piece
        raw, self.buffer = self.buffer.split(b"\0", 1)
        return json.loads(raw)

    def close(self) -> None:
        try:
            self.call("Browser.close")
        except (RuntimeError, TimeoutError, OSError):
            self.process.kill()
        self.process.wait(timeout=PATIENCE_S)
        os.close(self.read_fd)
        os.close(self.write_fd)

    @contextmanager
    def page(self, file: Path, width: int = 1280, height: int = 900, dark: bool = False) -> Iterator[Page]:
        """A file opened in a tab of its own, closed at the end."""
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        session = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network"):
            self.call(f"{domain}.enable", session)
        page = Page(self, session)
        page.look(width, height, dark)
        self.call("Page.navigate", session, url=file.resolve().as_uri())
        self.wait_for("Page.loadEventFired", session)
        try:
            yield page
        finally:
            self.call("Target.closeTarget", targetId=target)
            self.events = [e for e in self.events if e.get("sessionId") != session]


class Page:
    """One open tab."""

    def __init__(self, browser: Browser, session: str):
        self.browser, self.session = browser, session

    def look(self, width: int, height: int = 900, dark: bool = False, media: str = "") -> None:
        """Set the window, the colour scheme and the medium ("" = screen)."""
        self.browser.call("Emulation.setDeviceMetricsOverride", self.session, width=width, height=height,
                          deviceScaleFactor=1, mobile=width < 600)
        scheme = [{"name": "prefers-color-scheme", "value": "dark" if dark else "light"}]
        self.browser.call("Emulation.setEmulatedMedia", self.session, media=media, features=scheme)

    def run(self, script: str, wait: bool = False) -> Any:
        """The value of a JavaScript expression; wait: of the promise that it gives."""
        answer = self.browser.call("Runtime.evaluate", self.session, expression=script, returnByValue=True,
                                   awaitPromise=wait)
        if "exceptionDetails" in answer:
            raise RuntimeError(json.dumps(answer["exceptionDetails"]))
        return answer["result"].get("value")

    def told(self, method: str) -> list[dict[str, Any]]:
        """The parameters of every event of this name so far."""
        return [e["params"] for e in self.browser.events
                if e.get("method") == method and e.get("sessionId") == self.session]

    def pdf(self, width_in: float, height_in: float) -> bytes:
        """The page printed on paper of this size, with the page's own margins."""
        answer = self.browser.call("Page.printToPDF", self.session, paperWidth=width_in, paperHeight=height_in,
                                   printBackground=True, preferCSSPageSize=False)
        return base64.b64decode(answer["data"])
