"""Households that are served, over copies of shipped gardens, for tests of the live page."""

from __future__ import annotations

import asyncio
import json
import re
import shutil
from datetime import date
from pathlib import Path
from types import SimpleNamespace
from urllib.parse import unquote, urlencode

import pytest
from gardens import thin_out

pytest.importorskip("starlette", reason="the live page needs its extra: pip install '.[serve]'")

from seasonplan.serve.app import application  # noqa: E402
from seasonplan.serve.guard import Guard, hosts_of  # noqa: E402
from seasonplan.serve.household import Household  # noqa: E402
from seasonplan.workflow import Folders  # noqa: E402

SCENARIOS = Path(__file__).parents[1] / "scenarios"
TODAY = date(2027, 5, 29)
HOST = "127.0.0.1:8674"


class Answer:
    """What the application answered."""

    def __init__(self, status_code: int, headers: list[tuple[bytes, bytes]], content: bytes):
        self.status_code, self.content = status_code, content
        self.headers = {key.decode(): value.decode() for key, value in headers}

    @property
    def text(self) -> str:
        return self.content.decode()

    def json(self):
        return json.loads(self.content)


class Client:
    """Asks an ASGI application as a browser does, without a socket; follows no redirect, keeps no cookie."""

    def __init__(self, app):
        self.app = app

    def get(self, path: str, headers: dict[str, str] | None = None, params: dict[str, str] | None = None) -> Answer:
        return self._ask("GET", path + ("?" + urlencode(params) if params else ""), b"", headers or {})

    def post(self, path: str, data=None, headers: dict[str, str] | None = None, content: bytes = b"") -> Answer:
        body = urlencode(data, doseq=True).encode() if data is not None else content
        return self._ask("POST", path, body, headers or {})

    def _ask(self, method: str, path: str, body: bytes, headers: dict[str, str]) -> Answer:
        raw, _, query = path.partition("?")
        sent = {"host": HOST, "content-length": str(len(body))} | headers
        scope = {"type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "method": method, "scheme": "http",
                 "path": unquote(raw), "raw_path": raw.encode(), "query_string": query.encode(), "root_path": "",
                 "headers": [(key.encode(), value.encode()) for key, value in sent.items()],
                 "client": ("127.0.0.1", 50000), "server": ("127.0.0.1", 8674)}
        got: list[dict] = []

        async def receive():
            return {"type": "http.request", "body": body, "more_body": False}

        async def send(message):
            got.append(message)

        asyncio.run(self.app(scope, receive, send))
        return Answer(got[0]["status"], got[0]["headers"], b"".join(m.get("body", b"") for m in got[1:]))


def served(base: Path, gardens: tuple[str, ...] = ("fallowmere",), paired: bool = False,
           today: date = TODAY, roomy: bool = False, folders: list[Path] | None = None) -> SimpleNamespace:
    """Copies of the gardens in a folder, with a few of Fallowmere's plants (roomy: and room for more), their household,
    guard and a client that asks as a browser of this machine. folders: these gardens, as they stand, in place of
    copies."""
    for name in gardens if folders is None else ():
        shutil.copytree(SCENARIOS / name, base / name, ignore=shutil.ignore_patterns("out"))
        thin_out(base / name)
        if roomy:                                     # the rooms of the shipped garden are full
            toml = base / name / "scenario.toml"
            toml.write_text(re.sub(r"^room_for.*\n", "", toml.read_text(), flags=re.MULTILINE))
    clock = {"seconds": 0.0, "today": today}
    folders = folders or [base / name for name in gardens]
    house = Household(Folders.of(folders), lambda: clock["today"], lambda: "10:32")
    house.start()
    guard = Guard(b"s" * 32, hosts_of(["127.0.0.1", "192.168.7.7"], 8674), paired)
    app = application(house, guard, lambda: clock["seconds"])
    client = Client(app)
    return SimpleNamespace(folder=folders[0], house=house, guard=guard, app=app, client=client, clock=clock)


def fields(page: str, action: str, nth: int = 0) -> dict[str, str]:
    """The hidden fields of the nth form of an action on a page."""
    form = re.findall(rf'<form method="post" action="{re.escape(action)}".*?</form>', page, re.DOTALL)[nth]
    return dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)">', form))
