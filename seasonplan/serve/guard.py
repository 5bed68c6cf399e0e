"""Who may ask: only this machine's own addresses, only pages of ours, only who knows the pairing word.

A page of somebody else, open in the same browser, can send requests here. It cannot choose the Host header (a name of
its own that it points here is refused), its Origin is its own (refused), and it cannot read the token that every form
carries. On the home network a phone is let in by the pairing word, once; its cookie is no use elsewhere.
"""

from __future__ import annotations

import hmac
from collections.abc import Iterable
from dataclasses import dataclass, field
from hashlib import blake2b

COOKIE = "garden"
TRIES = 5
"""Wrong pairing words before all are refused for PAUSE_S. Our setting."""
PAUSE_S = 60.0
LONGEST_FORM = 64 * 1024
"""Bytes of a form; the longest honest one ticks some hundred plants."""
PUBLIC = ("/pair", "/style.css", "/icon.svg")
CONSONANTS, VOWELS = "bdfgklmnprstvz", "aeiou"
HEADERS = {
    "content-security-policy": "default-src 'none'; style-src 'self' 'unsafe-inline'; script-src 'self'; "
                               "connect-src 'self'; img-src 'self' data:; form-action 'self'; base-uri 'none'; "
                               "frame-ancestors 'none'",
    "x-content-type-options": "nosniff", "referrer-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin", "cross-origin-opener-policy": "same-origin",
    "cache-control": "no-store",
}


@dataclass
class Guard:
    """secret: 32 bytes or more that nobody else knows. hosts: what the Host header may be. paired: whether a pairing
    word is asked for."""

    secret: bytes
    hosts: frozenset[str]
    paired: bool
    _wrong: list[float] = field(default_factory=list)

    @property
    def word(self) -> str:
        """The pairing word: two times three syllables, 2.4 thousand million of them."""
        digits = int.from_bytes(self._of("word"), "big")
        letters = []
        for n in range(12):
            kind = (CONSONANTS, VOWELS)[n % 2]
            digits, at = divmod(digits, len(kind))
            letters.append(kind[at] + ("-" if n == 5 else ""))
        return "".join(letters)

    @property
    def token(self) -> str:
        """What every form of ours carries."""
        return self._of("form").hex()

    @property
    def cookie(self) -> str:
        """What a paired browser sends."""
        return self._of("cookie").hex()

    @property
    def calendar_key(self) -> str:
        """A part of the calendar's address: calendar programs send no cookie."""
        return self._of("calendar").hex()

    def _of(self, use: str) -> bytes:
        return blake2b(use.encode(), key=self.secret[:64], digest_size=16).digest()

    def knows_host(self, host: str) -> bool:
        """Whether a request names one of our own addresses."""
        return host.lower() in self.hosts

    def knows_origin(self, origin: str | None) -> bool:
        """Whether a request comes from a page of ours; programs that are no browsers name none."""
        return origin is None or origin.lower().removeprefix("http://") in self.hosts and origin.startswith("http://")

    def knows_browser(self, cookie: str | None) -> bool:
        """Whether a browser is paired, or need not be."""
        return not self.paired or same(cookie or "", self.cookie)

    def try_word(self, word: str, now_s: float) -> bool:
        """Whether the pairing word is right; after TRIES wrong ones none is, for a while."""
        self._wrong = [when for when in self._wrong if now_s - when < PAUSE_S]
        right = len(self._wrong) < TRIES and same("".join(c for c in word.lower() if c.isalpha()),
                                                  self.word.replace("-", ""))
        if not right:
            self._wrong.append(now_s)
        return right


def same(one: str, two: str) -> bool:
    """Whether two texts are the same, in a time that does not tell where they differ."""
    return hmac.compare_digest(one.encode("utf-8", "surrogatepass"), two.encode("utf-8", "surrogatepass"))


def hosts_of(addresses: Iterable[str], port: int) -> frozenset[str]:
    """What the Host header may say for these addresses."""
    return frozenset(f"{f'[{address}]' if ':' in address else address}:{port}".lower() for address in addresses)
