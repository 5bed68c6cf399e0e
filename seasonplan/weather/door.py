"""The one door to the network: a requests-cache session with good manners.

A copy is used as long as the server says (Cache-Control, Expires) without asking again; after that the server is
asked whether it still holds (ETag, Last-Modified). When the server fails, the expired copy is used and the reply says
so. A server that answers 429 or 503 with Retry-After is left alone for that long, also by later runs. Whatever a server
does, an answer is bounded in size and in time (bounds), and copies are readable by the person alone.
"""

from __future__ import annotations

import re
import sqlite3
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from email.utils import parsedate_to_datetime
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from seasonplan import __version__
from seasonplan.errors import SourceUnavailable
from seasonplan.weather.bounds import LONG_ENOUGH, TooLarge, TooLong, bounded_adapter, is_http_date
from seasonplan.wording import day

if TYPE_CHECKING:
    import requests
    import requests_cache

DEFAULT_USER_AGENT = f"seasonplan/{__version__} (personal plant calendar; no contact set)"
CONTACT = re.compile(r"\S@\S|https?://\S|\b[\w-]+\.[a-z]{2,}\b")
"""What a person can be reached by: an address, or a site."""
TIMEOUT_S = 20.0
"""Longest wait for a connection, and for the next piece of an answer. Our setting."""
WHOLE_ANSWER_S = 60.0
"""Longest wait for a whole answer, redirects apart. Our setting."""
MOST_BYTES = 8_000_000
"""Most of an answer, unpacked. The longest forecast is half a MB, a table of normals a few KB. Our setting."""
MOST_REDIRECTS = 5
SILENT_SERVER_S = 1800
"""How long a copy is good when the server names neither Cache-Control nor Expires. Our setting."""
SHORT_PAUSE_S = 10
"""A Retry-After up to this is waited out once on the spot; a longer one ends the attempt. Our setting."""
LONGEST_PAUSE_S = 86_400
"""A Retry-After beyond a day counts as a day. Our setting."""
UNSAID_PAUSE_S = 300
"""How long a server is left alone after a 429 that does not say how long. Our setting."""
USABLE = (200, 203)
BUSY = (429, 503)
STATUS_WORDS = {
    403: "it refused the request (HTTP 403); it may want a User-Agent with your contact",
    404: "it has nothing at that address (HTTP 404)",
    429: "it asks for fewer requests (HTTP 429)",
}


@dataclass(frozen=True)
class Reply:
    """What came through the door. stale: the copy had expired and could not be renewed. note: a sentence the person
    must see, empty when all is well. fetched: when the content left the server (UTC), None when not known."""

    content: bytes
    url: str
    stale: bool = False
    note: str = ""
    fetched: datetime | None = None


class _Failed(Exception):
    """The server gave nothing usable this time; the message says what happened."""


def default_cache_folder() -> Path:
    """The folder for copies that the operating system gives to this program."""
    import platformdirs

    return Path(platformdirs.user_cache_dir("seasonplan", appauthor=False))


@dataclass(frozen=True)
class Door:
    """Fetches by URL. cache_folder: where copies are kept. user_agent: how the person is named to the server.
    offline: only copies are used. timeout_s, whole_s, most_bytes: see TIMEOUT_S, WHOLE_ANSWER_S, MOST_BYTES. pause:
    waits that many seconds."""

    cache_folder: Path
    user_agent: str = DEFAULT_USER_AGENT
    offline: bool = False
    timeout_s: float = TIMEOUT_S
    whole_s: float = WHOLE_ANSWER_S
    most_bytes: int = MOST_BYTES
    pause: Callable[[float], None] = time.sleep

    @property
    def names_a_contact(self) -> bool:
        """Whether the person can be reached by how they are named."""
        return self.user_agent != DEFAULT_USER_AGENT and CONTACT.search(self.user_agent) is not None

    def get(self, url: str, source: str = "", check: Callable[[bytes], object] | None = None) -> Reply:
        """The content at `url`, from the server or from a copy.

        source: name for messages, default the host. check: raises ValueError when an answer cannot be used; such an
        answer never replaces a copy. Raises SourceUnavailable when neither server nor copy gives anything.
        """
        host = _host(url)
        source = source or host or url
        if not host:
            raise SourceUnavailable(source, f"'{url}' is not a web address; one starts with https:// or http://")
        with _Visit(self, url, source, check) as visit:
            return visit.reply()


class _Visit:
    """One use of the door: opens the session, asks at most twice, closes it."""

    def __init__(self, door: Door, url: str, source: str, check: Callable[[bytes], object] | None):
        self.door, self.url, self.source, self.check = door, url, source, check
        self.session, self.trouble = _open_session(door.cache_folder)
        self.session.max_redirects = MOST_REDIRECTS
        for scheme in ("https://", "http://"):
            self.session.mount(scheme, bounded_adapter(door.whole_s, door.most_bytes))
        self.session.headers.update({"User-Agent": door.user_agent, "Accept": "*/*"})
        self.key = self._key(url)
        self.copy = self.session.cache.get_response(self.key)

    def __enter__(self) -> _Visit:
        return self

    def __exit__(self, *exc: object) -> None:
        self.session.close()

    def _key(self, url: str) -> str:
        import requests

        try:
            return self.session.cache.create_key(self.session.prepare_request(requests.Request("GET", url)))
        except requests.exceptions.RequestException as error:
            self.session.close()
            raise SourceUnavailable(self.source, f"it cannot be asked: {error}") from None

    def reply(self) -> Reply:
        """The rules in order: offline, a copy still good, the server, the expired copy, failure."""
        if self.door.offline:
            return self._from_copy(f"{self.source}: offline", "offline, and there is no copy of it")
        if self.copy is not None and not self.copy.is_expired:
            return Reply(self.copy.content, self.url, fetched=self.copy.created_at)
        try:
            response = self._ask()
        except _Failed as failed:
            return self._from_copy(f"{self.source}: {failed}", f"{failed}, and there is no earlier copy")
        notes = [self.trouble] if self.trouble else []
        if response.status_code == 203:
            notes.append(f"{self.source}: this version of its data will be withdrawn, the service says (HTTP 203).")
        return Reply(response.content, self.url, note=" ".join(notes), fetched=getattr(response, "created_at", None))

    def _from_copy(self, why: str, without: str) -> Reply:
        if self.copy is None:
            raise SourceUnavailable(self.source, f"{without}.")
        made = self.copy.created_at
        note = f"{why}; using the copy of {day(made.date(), year=True)}, {made:%H:%M} UTC."
        return Reply(self.copy.content, self.url, self.copy.is_expired, note, made)

    def _ask(self) -> requests.Response:
        """Asks the server, once more after a short Retry-After. Raises _Failed."""
        until = self._leave_alone_until()
        if until is not None:
            raise _Failed(f"it asked to be left alone until {until:%H:%M} UTC")
        response = self._send()
        if response.status_code in BUSY and 0 <= _retry_after_s(response, LONGEST_PAUSE_S) <= SHORT_PAUSE_S:
            self.door.pause(_retry_after_s(response, 0))
            response = self._send()
        if response.status_code in USABLE:
            self._keep(response)
            return response
        if response.status_code == 429 or (response.status_code in BUSY and "Retry-After" in response.headers):
            self._remember_pause(response)
        status = response.status_code
        raise _Failed(STATUS_WORDS.get(status, f"it answered with an error (HTTP {status})"))

    def _send(self) -> requests.Response:
        import requests

        try:
            return self.session.get(self.url, timeout=self.door.timeout_s, hooks={"response": self._inspect})
        except TooLong:
            raise _Failed(f"its answer was not whole within {self.door.whole_s:g} s") from None
        except TooLarge:
            raise _Failed(f"its answer is larger than {self.door.most_bytes / 1e6:g} MB") from None
        except requests.exceptions.TooManyRedirects:
            raise _Failed(f"it sent us on more than {MOST_REDIRECTS} times") from None
        except requests.exceptions.SSLError:
            raise _Failed("its certificate could not be verified") from None
        except requests.exceptions.Timeout:
            raise _Failed(f"it did not answer within {self.door.timeout_s:g} s") from None
        except (requests.exceptions.ConnectionError, requests.exceptions.ChunkedEncodingError):
            raise _Failed("it could not be reached, or broke off its answer") from None
        except (requests.exceptions.RequestException, ValueError) as error:
            raise _Failed(f"the request failed ({type(error).__name__})") from None

    def _inspect(self, response: requests.Response, *_: object, **__: object) -> None:
        """Runs before an answer is kept, so that one that fails the check never replaces a good copy."""
        if self.check is None or response.status_code not in USABLE:
            return
        try:
            self.check(response.content)
        except ValueError as error:
            raise _Failed(f"its answer cannot be used ({error})") from None

    def _keep(self, response: requests.Response) -> None:
        """Keeps what must be asked for every time as well, as expired: it is of use when the server fails."""
        told = response.headers.get("Cache-Control", "").lower()
        if "no-store" not in told and ("no-cache" in told or not self.session.cache.contains(self.key)):
            from requests_cache.policy.expiration import get_expiration_datetime

            self.session.cache.save_response(response, self.key, get_expiration_datetime(0))

    @property
    def _pause_key(self) -> str:
        return f"pause:{urlsplit(self.url).netloc}"

    def _leave_alone_until(self) -> datetime | None:
        kept = self.session.cache.get_response(self._pause_key)
        return None if kept is None or kept.is_expired else kept.expires

    def _remember_pause(self, response: requests.Response) -> None:
        from requests_cache.policy.expiration import get_expiration_datetime

        told = response.headers.get("Retry-After", "")
        seconds = _retry_after_s(response, UNSAID_PAUSE_S)
        ends = [get_expiration_datetime(end) for end in (seconds if seconds >= 0 else parsedate_to_datetime(told),
                                                         LONGEST_PAUSE_S)]
        self.session.cache.save_response(response, self._pause_key, min(end for end in ends if end is not None))


def _host(url: str) -> str:
    """The host of a web address; "" when it is none."""
    try:
        parts = urlsplit(url)
    except ValueError:
        return ""
    return parts.hostname or "" if parts.scheme in ("http", "https") else ""


def _open_session(folder: Path) -> tuple[requests_cache.CachedSession, str]:
    """A session over the cache in `folder`; one without memory, and a sentence, where that cannot be used."""
    from requests_cache import CachedSession

    def session(backend: str) -> requests_cache.CachedSession:
        if backend == "sqlite":
            _for_the_person_alone(folder)
        made = CachedSession(str(folder / "http"), backend=backend, cache_control=True, allowable_codes=USABLE,
                             expire_after=SILENT_SERVER_S)
        made.cache.contains("")
        return made

    try:
        return session("sqlite"), ""
    except (sqlite3.Error, OSError) as error:
        return session("memory"), f"No copies are kept: the cache in {folder} cannot be used ({error})."


def _for_the_person_alone(folder: Path) -> None:
    """Makes the cache's file so that nobody else may read it; what was asked for says where the person lives."""
    if not folder.exists():
        folder.mkdir(parents=True, mode=0o700)
    file = folder / "http.sqlite"
    file.touch(mode=0o600)
    with suppress(OSError):                           # a disk without owners
        file.chmod(0o600)


def _retry_after_s(response: requests.Response, unsaid: int) -> int:
    """Retry-After in seconds; `unsaid` where it is missing or nonsense, -1 where it is a date."""
    told = response.headers.get("Retry-After", "").strip()
    if told.isascii() and told.isdigit():
        return min(int(told[:LONG_ENOUGH]), LONGEST_PAUSE_S)
    return -1 if is_http_date(told) else unsaid
