"""Bounds on what a server may do to us: how long an answer takes, how large it unpacks, what its headers say.

`requests` waits as long as single bytes keep coming, unpacks whatever comes, and hands headers on as they are.
"""

from __future__ import annotations

import queue
import re
import threading
import time
from email.utils import parsedate_to_datetime
from typing import Any

PIECE_BYTES = 65_536
LONG_ENOUGH = 9
"""Digits of a number of seconds that is taken at its word; more is beyond any use."""
SECONDS = re.compile(r"(max-age|s-maxage|stale-[a-z-]+)=\"?(\d{1,9})\"?", re.ASCII)


class TooLong(Exception):
    """An answer was not whole in time."""


class TooLarge(Exception):
    """An answer unpacked to more than is allowed."""


def bounded_adapter(whole_s: float, most_bytes: int) -> Any:
    """An adapter for a session that gives whole answers within these bounds, their headers free of nonsense."""
    from requests.adapters import HTTPAdapter

    class Bounded(HTTPAdapter):
        def send(self, request, *args, **how):
            """In a thread of its own, which is left behind when the time is up: headers that trickle in cannot be
            waited for in any other way."""
            until, answer = time.monotonic() + whole_s, queue.SimpleQueue[Any]()
            ask = super().send

            def work() -> None:
                try:
                    response = ask(request, *args, **how)
                    read_whole(response, until, most_bytes)
                    answer.put(response)
                except BaseException as error:        # handed over to the one who waits
                    answer.put(error)

            threading.Thread(target=work, daemon=True).start()
            try:
                found = answer.get(timeout=max(until - time.monotonic(), 0.0) + 0.1)
            except queue.Empty:
                raise TooLong from None
            if isinstance(found, BaseException):
                raise found
            clean_headers(found.headers)
            return found

    return Bounded()


def read_whole(response, until: float, most_bytes: int) -> None:
    """Reads and unpacks a response's body piece by piece. Raises TooLong, TooLarge."""
    from requests.exceptions import ChunkedEncodingError
    from urllib3.exceptions import HTTPError

    read = getattr(response.raw, "read1", response.raw.read)
    pieces, size = [], 0
    try:
        while piece := read(PIECE_BYTES, decode_content=True):
            pieces.append(piece)
            size += len(piece)
            if size > most_bytes:
                raise TooLarge
            if time.monotonic() > until:
                raise TooLong
        told = response.headers.get("Content-Length", "")
        if told.isascii() and told.isdigit() and not response.headers.get("Content-Encoding") and 0 < size < int(told):
            raise ChunkedEncodingError("the answer broke off")
    except HTTPError as error:
        raise ChunkedEncodingError(error) from None
    finally:
        response.raw.close()
    response._content, response._content_consumed = b"".join(pieces), True


def clean_headers(headers) -> None:
    """Takes out what says for how long an answer holds where it says nothing that can be understood."""
    if "Cache-Control" in headers:
        parts = [part.strip() for part in headers["Cache-Control"].split(",")]
        understood = [part for part in parts if "=" not in part or SECONDS.fullmatch(part.lower())]
        headers["Cache-Control"] = ", ".join(understood)
    for name in ("Expires", "Last-Modified", "Date"):
        if name in headers and not is_http_date(headers[name]):
            del headers[name]


def is_http_date(text: str) -> bool:
    """Whether a text is a date as servers write them."""
    try:
        return parsedate_to_datetime(text).tzinfo is not None
    except (TypeError, ValueError, OverflowError, IndexError):
        return False
