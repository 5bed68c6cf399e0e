"""Who may ask: nobody by another name, no page of somebody else, no phone without the word."""

from __future__ import annotations

import pytest

pytest.importorskip("starlette", reason="the live page needs its extra: pip install '.[serve]'")

from served import served  # noqa: E402

from seasonplan.serve.guard import COOKIE, Guard, hosts_of  # noqa: E402

pytestmark = pytest.mark.usefixtures("remembered_plans")


@pytest.fixture(scope="module")
def paired(tmp_path_factory):
    found = served(tmp_path_factory.mktemp("paired"), paired=True)
    yield found
    found.house.stop()


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1", "127.0.0.1:80", "192.168.7.7:8675", "",
                                  "localhost.evil:8674"])
def test_another_name_is_refused(garden, host):
    assert garden.client.get("/", headers={"host": host}).status_code == 421


def test_our_own_names_are_served(garden):
    for host in ("127.0.0.1:8674", "192.168.7.7:8674"):
        assert garden.client.get("/state", headers={"host": host}).status_code == 200
    assert hosts_of(["::1"], 80) == {"[::1]:80"}


@pytest.mark.parametrize("origin", ["http://evil.example", "https://127.0.0.1:8674", "null", "http://127.0.0.1:9999"])
def test_a_page_of_somebody_else_writes_nothing(garden, log, origin):
    answer = garden.client.post("/told", data={"token": garden.guard.token, "garden": "0", "what": "begin"},
                                headers={"origin": origin})
    assert answer.status_code == 403 and log() == []


@pytest.mark.parametrize("token", ["", "0" * 32, None])
def test_a_form_without_its_token_writes_nothing(garden, log, token):
    data = {"garden": "0", "what": "begin"} | ({} if token is None else {"token": token})
    for path in ("/told", "/done", "/undo", "/later", "/plants/0/new", "/places/0/new"):
        assert garden.client.post(path, data=data).status_code == 403
    assert log() == [] and garden.house.settled(20)


@pytest.mark.parametrize("path", ["/../scenario.toml", "/page/../../scenario.toml", "/page/0/../../log.csv",
                                  "/static/x", "/page/scenario.toml", "/page/-1", "/plants/0/9999", "/plants/9/0",
                                  "/sheet/7", "/calendar/x.ics", "/calendar/..%2f..%2fscenario.toml",
                                  "/%2e%2e/log.csv"])
def test_no_path_leads_to_a_file(garden, path):
    answer = garden.client.get(path)
    assert answer.status_code == 404 and "latitude" not in answer.text


def test_a_form_has_bounds(garden, log):
    answer = garden.client.post("/told", content=b"token=" + b"x" * 70_000)
    assert answer.status_code == 413 and log() == []


def test_every_answer_keeps_to_itself(garden):
    for path in ("/", "/state", "/nowhere", "/page/0", "/style.css"):
        headers = garden.client.get(path).headers
        assert "frame-ancestors 'none'" in headers["content-security-policy"]
        assert "script-src 'self'" in headers["content-security-policy"]
        assert headers["x-content-type-options"] == "nosniff" and headers["cache-control"] == "no-store"


def test_a_phone_without_the_word_sees_nothing(paired):
    client = paired.client
    for path in ("/", "/plants", "/page/0", "/sheet/0", "/places"):
        answer = client.get(path)
        assert answer.status_code == 303 and answer.headers["location"] == "/pair"
    assert client.get("/state", headers={"cookie": f"{COOKIE}=no"}).status_code == 303
    assert client.post("/told", data={"token": paired.guard.token}).status_code == 403
    assert client.get("/pair").status_code == 200 and client.get("/style.css").status_code == 200


def test_the_word_lets_a_phone_in_once_and_for_all(paired):
    answer = paired.client.get("/pair", params={"word": paired.guard.word})
    assert answer.status_code == 303
    cookie = answer.headers["set-cookie"]
    assert "HttpOnly" in cookie and "SameSite=strict" in cookie and "Max-Age=31536000" in cookie
    assert paired.client.get("/plants", headers={"cookie": cookie.split(";")[0]}).status_code == 200
    upper = paired.guard.word.upper().replace("-", " ")
    assert paired.client.post("/pair", data={"word": upper}).status_code == 303, "as somebody reads it out"


def test_guessing_words_is_stopped_for_a_while(paired):
    paired.clock["seconds"] = 1000.0
    assert [paired.client.post("/pair", data={"word": f"wrong{n}"}).status_code for n in range(6)] == [403] * 6
    assert paired.client.post("/pair", data={"word": paired.guard.word}).status_code == 403, "not now"
    paired.clock["seconds"] = 1100.0
    assert paired.client.post("/pair", data={"word": paired.guard.word}).status_code == 303


def test_the_calendar_needs_its_address_only(paired):
    answer = paired.client.get(f"/calendar/{paired.guard.calendar_key}.ics")
    assert answer.status_code == 200 and answer.headers["content-type"].startswith("text/calendar")
    assert answer.content.startswith(b"BEGIN:VCALENDAR") and answer.content == (
        paired.folder / "out" / "calendar.ics").read_bytes()


def test_secrets_differ_by_use_and_by_household():
    one, two = (Guard(secret * 32, frozenset(), True) for secret in (b"a", b"b"))
    assert len({one.token, one.cookie, one.calendar_key, two.token, two.cookie, two.calendar_key}) == 6
    assert one.word != two.word and one.word == Guard(b"a" * 32, frozenset(), False).word
    assert len(one.word) == 13 and one.word[6] == "-"
