"""The door against a local server: fresh, kept, revalidated, expired, refused, silent, broken."""

import socket
import subprocess
import sys
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from requests_cache import CachedSession
from weather.conftest import EXPIRED_AT_ONCE, GOOD_FOR_AN_HOUR, Answer

from seasonplan.errors import EXIT_SOURCE, SourceUnavailable
from seasonplan.weather.door import DEFAULT_USER_AGENT, Door, default_cache_folder

FAILURES = {403: "User-Agent with your contact", 404: "nothing at that address", 500: "error (HTTP 500)"}


def must_be_good(content: bytes) -> None:
    if not content.startswith(b"good"):
        raise ValueError("it is not good")


def test_a_fresh_answer_comes_whole_and_without_a_note(server, door):
    server.answers["/x"] = Answer(b'{"a":  1}\n', headers=GOOD_FOR_AN_HOUR)
    reply = door.get(f"{server.url}/x")
    assert (reply.content, reply.stale, reply.note) == (b'{"a":  1}\n', False, "")
    assert reply.url == f"{server.url}/x"
    assert abs((datetime.now(UTC) - reply.fetched).total_seconds()) < 60


def test_a_copy_that_is_still_good_is_used_without_asking(server, door):
    server.answers["/x"] = Answer(b"one", headers=GOOD_FOR_AN_HOUR)
    first = door.get(f"{server.url}/x")
    server.answers["/x"] = Answer(b"two", headers=GOOD_FOR_AN_HOUR)
    again = Door(door.cache_folder).get(f"{server.url}/x")
    assert again.content == first.content == b"one" and not again.stale and not again.note
    assert len(server.seen) == 1


def test_must_revalidate_does_not_ask_before_the_copy_expires(server, door):
    server.answers["/x"] = Answer(b"one", headers={"Cache-Control": "max-age=3600, must-revalidate", "ETag": '"one"'})
    assert [door.get(f"{server.url}/x").content for _ in range(2)] == [b"one", b"one"]
    assert len(server.seen) == 1


def test_the_expires_header_is_honoured(server, door):
    server.answers["/x"] = Answer(b"one", headers={"Expires": "Fri, 01 Jan 2100 00:00:00 GMT"})
    server.answers["/y"] = Answer(b"one", headers={"Expires": "Sat, 01 Jan 2000 00:00:00 GMT"})
    for path in ("/x", "/x", "/y", "/y"):
        door.get(server.url + path)
    assert [path for path, _ in server.seen] == ["/x", "/y", "/y"]


def test_an_expired_copy_is_revalidated_and_a_304_keeps_it(server, door):
    server.answers["/x"] = Answer(b"one", headers=EXPIRED_AT_ONCE)
    door.get(f"{server.url}/x")
    server.answers["/x"] = Answer(b"ignored", headers=GOOD_FOR_AN_HOUR | {"ETag": '"one"'})
    renewed = door.get(f"{server.url}/x")
    door.get(f"{server.url}/x")
    assert renewed.content == b"one" and not renewed.stale and not renewed.note
    assert [headers.get("If-None-Match") for _, headers in server.seen] == [None, '"one"']


def test_last_modified_goes_back_as_the_very_same_text(server, door):
    when = "Wed, 02 Jun 2027 05:04:03 GMT"
    server.answers["/x"] = Answer(b"one", headers={"Cache-Control": "max-age=0", "Last-Modified": when})
    door.get(f"{server.url}/x")
    door.get(f"{server.url}/x")
    assert [headers.get("If-Modified-Since") for _, headers in server.seen] == [None, when]


def test_an_expired_copy_is_replaced_when_the_server_has_something_new(server, door):
    server.answers["/x"] = Answer(b"one", headers=EXPIRED_AT_ONCE)
    door.get(f"{server.url}/x")
    server.answers["/x"] = Answer(b"two", headers={"Cache-Control": "max-age=0", "ETag": '"two"'})
    assert door.get(f"{server.url}/x").content == b"two"


@pytest.mark.parametrize("headers", [EXPIRED_AT_ONCE, {"Cache-Control": "max-age=0"},
                                     {"Expires": "Sat, 01 Jan 2000 00:00:00 GMT"}, {"Cache-Control": "no-cache"}])
def test_an_expired_copy_is_used_and_said_so_when_the_server_is_down(server, door, headers):
    server.answers["/x"] = Answer(b"one", headers=headers)
    made = door.get(f"{server.url}/x").fetched
    server.stop()
    reply = door.get(f"{server.url}/x", "The invented service")
    assert reply.content == b"one" and reply.stale
    assert "The invented service: it could not be reached" in reply.note
    assert f"{made:%H:%M} UTC" in reply.note and str(made.year) in reply.note


@pytest.mark.parametrize("status", FAILURES)
def test_an_expired_copy_is_used_when_the_server_refuses(server, door, status):
    server.answers["/x"] = Answer(b"one", headers=EXPIRED_AT_ONCE)
    door.get(f"{server.url}/x")
    server.answers["/x"] = Answer(b"no", status)
    reply = door.get(f"{server.url}/x")
    assert reply.content == b"one" and reply.stale and FAILURES[status] in reply.note


@pytest.mark.parametrize("status", FAILURES)
def test_a_refusal_without_a_copy_ends_with_a_sentence_and_exit_code_3(server, door, status):
    server.answers["/x"] = Answer(b"no", status)
    with pytest.raises(SourceUnavailable) as caught:
        door.get(f"{server.url}/x", "The invented service")
    assert FAILURES[status] in str(caught.value) and str(caught.value).startswith("The invented service: ")
    assert caught.value.exit_code == EXIT_SOURCE and len(server.seen) == 1


def test_no_store_is_honoured(server, door):
    server.answers["/x"] = Answer(b"secret", headers={"Cache-Control": "no-store"})
    door.get(f"{server.url}/x")
    server.stop()
    with pytest.raises(SourceUnavailable, match="no earlier copy"):
        door.get(f"{server.url}/x")


def test_a_silent_server_is_given_up_on(server, door):
    server.answers["/x"] = Answer(b"late", wait_s=1.0)
    with pytest.raises(SourceUnavailable, match="did not answer within 0.5 s"):
        door.get(f"{server.url}/x")


def test_a_broken_off_answer_never_counts(server, door):
    server.answers["/x"] = Answer(b"half of it", headers=GOOD_FOR_AN_HOUR, told_bytes=500)
    with pytest.raises(SourceUnavailable, match="broke off its answer"):
        door.get(f"{server.url}/x")


def test_an_answer_that_fails_the_check_does_not_replace_a_good_copy(server, door):
    server.answers["/x"] = Answer(b"good", headers=EXPIRED_AT_ONCE)
    door.get(f"{server.url}/x", check=must_be_good)
    server.answers["/x"] = Answer(b"bad", headers=GOOD_FOR_AN_HOUR)
    for _ in range(2):
        reply = door.get(f"{server.url}/x", check=must_be_good)
        assert reply.content == b"good" and reply.stale and "it is not good" in reply.note
    server.answers["/x"] = Answer(b"good again", headers=GOOD_FOR_AN_HOUR)
    assert door.get(f"{server.url}/x", check=must_be_good).content == b"good again"


def test_a_short_retry_after_is_waited_out_once(server, door, pauses):
    server.answers["/x"] = Answer(b"no", 429, {"Retry-After": "2"})
    with pytest.raises(SourceUnavailable, match="fewer requests"):
        door.get(f"{server.url}/x")
    assert pauses.taken == [2] and len(server.seen) == 2


def test_a_long_retry_after_is_respected_by_later_runs_too(server, door, pauses):
    server.answers["/x"] = Answer(b"one", headers=EXPIRED_AT_ONCE)
    door.get(f"{server.url}/x")
    server.answers["/x"] = Answer(b"no", 429, {"Retry-After": "3600"})
    first = door.get(f"{server.url}/x")
    later = Door(door.cache_folder).get(f"{server.url}/x")
    assert first.content == later.content == b"one" and first.stale and later.stale
    assert "fewer requests" in first.note and "left alone until" in later.note
    assert len(server.seen) == 2 and not pauses.taken
    with pytest.raises(SourceUnavailable, match="left alone until"):
        door.get(f"{server.url}/other-page-of-the-same-server")
    assert len(server.seen) == 2


@pytest.mark.parametrize("told", ["Fri, 01 Jan 2100 00:00:00 GMT", "nonsense", "-5", ""])
def test_other_forms_of_retry_after_mean_leave_alone(server, door, pauses, told):
    server.answers["/x"] = Answer(b"no", 429, {"Retry-After": told} if told else {})
    for _ in range(2):
        with pytest.raises(SourceUnavailable):
            door.get(f"{server.url}/x")
    assert len(server.seen) == 1 and not pauses.taken


def test_a_pause_lasts_a_day_at_most(server, door):
    server.answers["/x"] = Answer(b"no", 429, {"Retry-After": "Fri, 01 Jan 2100 00:00:00 GMT"})
    with pytest.raises(SourceUnavailable):
        door.get(f"{server.url}/x")
    with CachedSession(str(door.cache_folder / "http")) as kept:
        (pause,) = kept.cache.responses.values()
    assert timedelta(hours=23) < pause.expires - datetime.now(UTC) <= timedelta(days=1)


def test_a_retry_after_in_the_past_does_not_lock_the_door(server, door):
    server.answers["/x"] = Answer(b"no", 503, {"Retry-After": "Sat, 01 Jan 2000 00:00:00 GMT"})
    with pytest.raises(SourceUnavailable):
        door.get(f"{server.url}/x")
    server.answers["/x"] = Answer(b"one")
    assert door.get(f"{server.url}/x").content == b"one"


def test_offline_uses_a_copy_and_says_so(server, door):
    server.answers["/x"] = Answer(b"one", headers=EXPIRED_AT_ONCE)
    door.get(f"{server.url}/x")
    reply = replace(door, offline=True).get(f"{server.url}/x")
    assert reply.content == b"one" and reply.stale and "offline" in reply.note
    assert len(server.seen) == 1


def test_offline_without_a_copy_fails_and_asks_nobody(server, door):
    server.answers["/x"] = Answer(b"one")
    with pytest.raises(SourceUnavailable, match="offline, and there is no copy"):
        replace(door, offline=True).get(f"{server.url}/x")
    assert not server.seen


def test_the_person_is_named_to_the_server(server, door):
    server.answers["/x"] = Answer(headers=EXPIRED_AT_ONCE)
    door.get(f"{server.url}/x")
    replace(door, user_agent="plants.example me@plants.example").get(f"{server.url}/x")
    named = [headers["User-Agent"] for _, headers in server.seen]
    assert named == [DEFAULT_USER_AGENT, "plants.example me@plants.example"]
    assert DEFAULT_USER_AGENT.startswith("seasonplan/")


def test_a_withdrawal_notice_reaches_the_person(server, door):
    server.answers["/x"] = Answer(b"one", 203)
    reply = door.get(f"{server.url}/x")
    assert reply.content == b"one" and "withdrawn" in reply.note


@pytest.mark.parametrize("url", ["file:///etc/hosts", "normals.csv", "ftp://example.invalid/x", "https://",
                                 "http://[::1/x"])
def test_only_web_addresses_are_fetched(door, url):
    with pytest.raises(SourceUnavailable, match="not a web address"):
        door.get(url)


@pytest.mark.parametrize(("url", "agent"), [("http://*/x", "me"), ("http://127.0.0.1:1/x", "two\nlines"),
                                            ("http://127.0.0.1:1/x", "日本")])
def test_what_cannot_be_asked_ends_with_a_sentence(door, url, agent):
    with pytest.raises(SourceUnavailable, match="cannot be asked|the request failed"):
        replace(door, user_agent=agent).get(url, "The invented service")


def test_a_damaged_cache_is_no_reason_to_fail(server, door):
    door.cache_folder.mkdir()
    (door.cache_folder / "http.sqlite").write_bytes(b"not a database at all" * 100)
    server.answers["/x"] = Answer(b"one")
    reply = door.get(f"{server.url}/x")
    assert reply.content == b"one" and "No copies are kept" in reply.note


def test_a_cache_folder_that_cannot_be_made_is_no_reason_to_fail(server, door, tmp_path):
    (tmp_path / "a file").write_text("in the way")
    server.answers["/x"] = Answer(b"one")
    reply = replace(door, cache_folder=tmp_path / "a file" / "copies").get(f"{server.url}/x")
    assert reply.content == b"one" and "No copies are kept" in reply.note


def test_an_unreachable_host_is_named(door):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        port = taken.getsockname()[1]
    with pytest.raises(SourceUnavailable, match="127.0.0.1: it could not be reached"):
        door.get(f"http://127.0.0.1:{port}/x")


def test_the_cache_has_a_folder_of_our_own():
    assert default_cache_folder().name == "seasonplan" and default_cache_folder().is_absolute()


def test_importing_the_room_loads_no_network_library():
    code = ("import sys, seasonplan.weather.door, seasonplan.weather.sources, seasonplan.weather.alerts; "
            "print(sorted({'requests_cache', 'requests', 'urllib3', 'platformdirs'} & set(sys.modules)))")
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
