"""What every answer of the live page is made of: templates, refusals, numbers in addresses, paths to go back to."""

from __future__ import annotations

from functools import cache
from importlib import resources
from uuid import uuid4

from jinja2 import Environment, FunctionLoader, StrictUndefined
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response

from seasonplan.outputs.page import own_way

MOST_NAMES = 40


class NotHere(Exception):
    """There is nothing at this address."""


def at(request: Request, name: str, count: int) -> int:
    found = int(request.path_params[name])
    if found >= count:
        raise NotHere
    return found


def once() -> str:
    """A number for a form, so that the same one sent twice counts once."""
    return uuid4().hex


def own_path(path: str) -> str:
    """A path of ours to go back to; the first screen for anything else."""
    return path if path.startswith("/") and not path.startswith("//") and "\\" not in path else "/"


def refused(text: str, live: bool, status: int, back: str = "/") -> Response:
    if live:
        return JSONResponse({"fault": text}, status)
    page = templates().get_template("message.j2").render(title="That did not work", text=text, back=back, now=None)
    return HTMLResponse(page, status)


def not_there() -> Response:
    return Response("There is nothing here.\n", 404, media_type="text/plain; charset=utf-8")


@cache
def templates() -> Environment:
    """The templates of this room and of `outputs`; everything that they are given is escaped."""
    made = Environment(autoescape=True, undefined=StrictUndefined, loader=FunctionLoader(text), trim_blocks=True,
                       lstrip_blocks=True)
    made.filters["own_way"] = own_way
    made.globals.update(few_rows=0, most_names=MOST_NAMES, most_in_heading=MOST_NAMES)
    return made


def text(name: str) -> str | None:
    for room in ("seasonplan.serve", "seasonplan.outputs"):
        there = resources.files(room).joinpath(name)
        if there.is_file():
            return there.read_text(encoding="utf-8")
    return None
