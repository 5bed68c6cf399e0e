"""A web server on 127.0.0.1 that answers as a test tells it to."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest

from seasonplan.weather.door import Door

GOOD_FOR_AN_HOUR = {"Cache-Control": "max-age=3600"}
EXPIRED_AT_ONCE = {"Cache-Control": "max-age=0", "ETag": '"one"'}


@dataclass
class Answer:
    """What to answer. told_bytes: Content-Length to claim, None = the true one. wait_s: seconds of silence before;
    byte_s: seconds between the bytes of the body."""

    body: bytes = b"{}"
    status: int = 200
    headers: dict[str, str] = field(default_factory=dict)
    wait_s: float = 0.0
    told_bytes: int | None = None
    byte_s: float = 0.0


class LocalServer:
    """answers: path without query -> Answer; seen: (path with query, headers) of every request."""

    def __init__(self) -> None:
        self.answers: dict[str, Answer] = {}
        self.seen: list[tuple[str, dict[str, str]]] = []
        self._http = ThreadingHTTPServer(("127.0.0.1", 0), self._handler())
        self._thread = threading.Thread(target=self._http.serve_forever, kwargs={"poll_interval": 0.01})
        self._thread.start()

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self._http.server_port}"

    def stop(self) -> None:
        if self._thread.is_alive():
            self._http.shutdown()
            self._thread.join()
            self._http.server_close()

    def _handler(self) -> type[BaseHTTPRequestHandler]:
        server = self

        class Handler(BaseHTTPRequestHandler):
            def do_GET(self) -> None:
                server.seen.append((self.path, dict(self.headers)))
                answer = server.answers.get(self.path.partition("?")[0], Answer(b"nothing here", 404))
                time.sleep(answer.wait_s)
                etag = answer.headers.get("ETag")
                unchanged = answer.status == 200 and etag is not None and self.headers.get("If-None-Match") == etag
                self.send_response(304 if unchanged else answer.status)
                body = b"" if unchanged else answer.body
                for name, value in answer.headers.items():
                    self.send_header(name, value)
                self.send_header("Content-Length", str(len(body) if answer.told_bytes is None else answer.told_bytes))
                self.end_headers()
                if not answer.byte_s:
                    self.wfile.write(body)
                    return
                with suppress(OSError):               # whoever asked has gone
                    for n in range(len(body)):
                        self.wfile.write(body[n:n + 1])
                        self.wfile.flush()
                        time.sleep(answer.byte_s)

            def log_message(self, *args: object) -> None:
                """Quiet."""

        return Handler


@pytest.fixture
def server() -> Iterator[LocalServer]:
    made = LocalServer()
    yield made
    made.stop()


@dataclass
class Pauses:
    """Stands for waiting: notes the seconds instead."""

    taken: list[float] = field(default_factory=list)

    def __call__(self, seconds: float) -> None:
        self.taken.append(seconds)


@pytest.fixture
def pauses() -> Pauses:
    return Pauses()


@pytest.fixture
def door(tmp_path, pauses) -> Door:
    return Door(tmp_path / "copies", timeout_s=0.5, pause=pauses)
