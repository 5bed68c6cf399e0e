"""What a server may do to us: large, slow and endless answers, headers of nonsense; and copies for one pair of eyes."""

import gzip
import os
import socket
import threading
import time
from contextlib import suppress
from dataclasses import replace

import pytest
from weather.conftest import GOOD_FOR_AN_HOUR, Answer

from seasonplan.errors import SourceUnavailable
from seasonplan.weather.bounds import clean_headers, is_http_date
from seasonplan.weather.door import DEFAULT_USER_AGENT, Door

NONSENSE = ("\u00b2\u00b3", "9" * 5000, "soon", "-5", "1e9", "", "Sometime, 99 Foo 2027 99:99:99 GMT", "GMT")


def test_an_answer_that_unpacks_to_too_much_is_refused(server, door):
    """60 MB of zeros are 60 KB on the way."""
    bomb = gzip.compress(bytes(60_000_000))
    server.answers["/x"] = Answer(bomb, headers={"Content-Encoding": "gzip"})
    with pytest.raises(SourceUnavailable, match="its answer is larger than 1 MB"):
        replace(door, most_bytes=1_000_000).get(f"{server.url}/x")


def test_a_packed_answer_within_the_bounds_is_unpacked(server, door):
    packed = {"Content-Encoding": "gzip"} | GOOD_FOR_AN_HOUR
    server.answers["/x"] = Answer(gzip.compress(b"good" * 1000), headers=packed)
    assert [door.get(f"{server.url}/x").content for _ in range(2)] == [b"good" * 1000] * 2
    assert len(server.seen) == 1


def test_a_server_that_sends_byte_by_byte_is_left(server, door):
    server.answers["/x"] = Answer(b"x" * 200, byte_s=0.05)
    start = time.monotonic()
    with pytest.raises(SourceUnavailable, match="not whole within 0.4 s"):
        replace(door, whole_s=0.4).get(f"{server.url}/x")
    assert time.monotonic() - start < 2.0


def test_headers_that_trickle_in_are_not_waited_for(door):
    with socket.create_server(("127.0.0.1", 0)) as listening:
        def trickle():
            with suppress(OSError):
                connection, _ = listening.accept()
                with connection:
                    connection.sendall(b"HTTP/1.1 200 OK\r\n")
                    for n in range(100):
                        connection.sendall(f"X-{n}: y\r\n".encode())
                        time.sleep(0.05)

        threading.Thread(target=trickle, daemon=True).start()
        start = time.monotonic()
        with pytest.raises(SourceUnavailable, match="not whole within 0.4 s"):
            replace(door, whole_s=0.4).get(f"http://127.0.0.1:{listening.getsockname()[1]}/x")
        assert time.monotonic() - start < 2.0


def test_the_expired_copy_serves_when_an_answer_breaks_the_bounds(server, door):
    server.answers["/x"] = Answer(b"old", headers={"Cache-Control": "max-age=0"})
    door.get(f"{server.url}/x")
    server.answers["/x"] = Answer(b"x" * 2000)
    reply = replace(door, most_bytes=1000).get(f"{server.url}/x")
    assert reply.content == b"old" and "larger than" in reply.note


def test_a_ring_of_redirects_ends(server, door):
    server.answers["/x"] = Answer(status=302, headers={"Location": "/x"})
    with pytest.raises(SourceUnavailable, match="sent us on more than 5 times"):
        door.get(f"{server.url}/x")
    assert len(server.seen) == 6


@pytest.mark.parametrize("told", NONSENSE)
def test_nonsense_in_retry_after_does_no_harm(server, door, pauses, told):
    server.answers["/x"] = Answer(status=429, headers={"Retry-After": told})
    for _ in range(2):
        with pytest.raises(SourceUnavailable):
            door.get(f"{server.url}/x")
    assert len(server.seen) == 1 and pauses.taken == []


@pytest.mark.parametrize("name, form", [("Cache-Control", "max-age={}"), ("Cache-Control", "public, s-maxage={}"),
                                        ("Expires", "{}"), ("Last-Modified", "{}"), ("Date", "{}")])
@pytest.mark.parametrize("told", NONSENSE)
def test_nonsense_about_how_long_an_answer_holds_does_no_harm(server, door, name, form, told):
    server.answers["/x"] = Answer(b"good", headers={name: form.format(told)})
    assert [door.get(f"{server.url}/x").content for _ in range(2)] == [b"good", b"good"]


def test_only_what_cannot_be_understood_is_taken_out():
    headers = {"Cache-Control": "no-cache, max-age=60, s-maxage=abc, private=\"x\"",
               "Expires": "Fri, 01 Jan 2100 00:00:00 GMT", "Last-Modified": "yesterday", "ETag": "1"}
    clean_headers(headers)
    assert headers == {"Cache-Control": "no-cache, max-age=60", "Expires": "Fri, 01 Jan 2100 00:00:00 GMT", "ETag": "1"}
    assert not any(map(is_http_date, NONSENSE))


@pytest.mark.skipif(os.name != "posix", reason="owners are a matter of POSIX")
def test_copies_are_for_the_person_alone(server, door):
    server.answers["/x"] = Answer(b"good", headers=GOOD_FOR_AN_HOUR)
    door.get(f"{server.url}/x")
    files = [path for path in door.cache_folder.iterdir() if path.is_file()]
    assert files and all(path.stat().st_mode & 0o077 == 0 for path in files)
    assert door.cache_folder.stat().st_mode & 0o077 == 0


@pytest.mark.parametrize("agent, reachable", [
    ("you@example.org", True), ("plants (https://example.org/me)", True), ("example.org", True), ("me", False),
    ("", False), (DEFAULT_USER_AGENT, False)])
def test_a_contact_is_an_address_or_a_site(tmp_path, agent, reachable):
    assert Door(tmp_path, user_agent=agent).names_a_contact is reachable
