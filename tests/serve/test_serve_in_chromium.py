"""The live page in a real Chromium, on a phone and on a wide screen: a whole day's work; ticks without a network."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path
from types import SimpleNamespace

import pytest
from chromium import chromium_path

pytest.importorskip("starlette", reason="the live page needs its extra: pip install '.[serve]'")
playwright = pytest.importorskip("playwright.sync_api", reason="Playwright is not installed here")
uvicorn = pytest.importorskip("uvicorn")
pytestmark = [pytest.mark.skipif(chromium_path() is None, reason="no Chromium is installed here"),
              pytest.mark.usefixtures("remembered_plans")]

import axe_playwright_python  # noqa: E402
from served import served  # noqa: E402

from seasonplan.model import Alert  # noqa: E402
from seasonplan.serve.guard import hosts_of  # noqa: E402

AXE = next(Path(axe_playwright_python.__file__).parent.glob("axe.min.js")).read_text(encoding="utf-8")
VIOLATIONS = "axe.run().then(r => r.violations.map(v => [v.id, v.nodes[0].html.slice(0, 160)]))"
SATURDAY = date(2027, 6, 12)
ALERT = Alert("2027-alert-1@seasonplan.invalid", SATURDAY, "behind the house", 3.0, 2.0, 0.4, 5.0, ("Big lemon",),
              "Carry Big lemon to the stair landing.", "2027-06-12T19:30", to="stair landing")


@pytest.fixture(scope="module")
def live(tmp_path_factory) -> Iterator[SimpleNamespace]:
    """A garden served on a port of this machine, with an alert for tonight."""
    found = served(tmp_path_factory.mktemp("live"), today=SATURDAY, roomy=True)
    server = uvicorn.Server(uvicorn.Config(found.app, port=0, log_level="error", lifespan="off"))
    socket = server.config.bind_socket()
    port = socket.getsockname()[1]
    found.guard.hosts = hosts_of(["127.0.0.1"], port)
    look = found.house.look
    found.house.look = lambda: with_alert(look())
    thread = threading.Thread(target=server.run, kwargs={"sockets": [socket]}, daemon=True)
    thread.start()
    found.url = f"http://127.0.0.1:{port}/"
    yield found
    server.should_exit = True
    thread.join(timeout=20)
    found.house.stop()


def with_alert(now):
    return replace(now, plans=tuple(replace(plan, alerts=(ALERT,)) for plan in now.plans))


@pytest.fixture(scope="module")
def browser():
    with playwright.sync_playwright() as started:
        one = started.chromium.launch(executable_path=chromium_path(), args=["--no-sandbox"])
        yield one
        one.close()


def log(live) -> list[str]:
    file = live.folder / "log.csv"
    return file.read_text().splitlines()[1:] if file.exists() else []


def all_sent(page) -> None:
    """Until no tick waits on the phone (asked from outside: the page's own policy lets no text be run as a script)."""
    for _ in range(1200):
        page.wait_for_timeout(50)
        if page.evaluate("localStorage.getItem('kept-ticks')") == "[]":
            return
    raise AssertionError("ticks wait still")


def phone(browser, live):
    """A phone of its own: its cookies and the ticks that it keeps are nobody else's."""
    page = browser.new_context(viewport={"width": 360, "height": 740}).new_page()
    said: list[str] = []
    page.on("dialog", lambda dialog: (said.append(dialog.message), dialog.accept()))
    page.goto(live.url)
    return page, said


def uids(page) -> list[str]:
    """The steps of today's open cards, as this phone shows them now."""
    return page.evaluate("[...document.querySelectorAll('.card:not(.ticked)')].filter(c => !c.closest('.later'))"
                         ".map(c => c.querySelector('[name=step]').value)")


def tick(page, uid: str) -> None:
    page.evaluate("uid => document.querySelector(`.card form[data-tick] [name=step][value=\"${uid}\"]`)"
                  ".form.querySelector('.tick').click()", uid)


def told_of(live, step) -> list[str]:
    """The lines of today's log that tell a step."""
    return [line for line in log(live) if line.startswith(f"{SATURDAY},{step.kind},")
            and line.split(",")[2] in step.plants]


def test_two_phones_at_once_lose_nothing_and_double_nothing(live, browser):
    """Different ticks, the same tick, one that is undone, one without a network: as two people do it in one garden."""
    (one, said_one), (two, said_two) = phone(browser, live), phone(browser, live)
    earlier = len(log(live))
    steps = {step.uid: step for step in live.house.look().plans[0].steps}
    jobs = [uid for uid in uids(one) if steps[uid].kind not in ("move", "move-out", "move-in", "cloth")]
    second, third = [uid for uid in jobs if steps[uid].kind == "isolate"]       # taking back one leaves the other
    first = next(uid for uid in jobs if uid not in (second, third))
    tick(one, first)
    tick(two, second)
    for page in (one, two):                          # the same card at the same time
        tick(page, third)
    all_sent(one)
    all_sent(two)
    assert live.house.settled(60)
    for uid in (first, second, third):
        lines = told_of(live, steps[uid])
        assert lines and len(lines) == len(set(lines)), (uid, lines, said_one, said_two)

    two.goto(live.url)
    steps |= {step.uid: step for step in live.house.look().plans[0].steps}
    fourth = next(uid for uid in uids(two) if uid not in (first, second, third) and steps[uid].kind != "isolate")
    two.context.set_offline(True)
    tick(two, fourth)
    two.get_by_text("1 tick waits on this phone until the network is back.").wait_for()
    one.goto(live.url)
    one.locator(f'form[action="/undo"]:has([name=step][value="{steps[third].kind}"])').filter(
        has=one.locator(f'[name=plant][value="{steps[third].plants[0]}"]')).locator("button").first.click()
    one.wait_for_load_state()
    two.context.set_offline(False)
    all_sent(two)
    assert live.house.settled(60)
    assert told_of(live, steps[third]) == []
    for uid in (first, second, fourth):
        assert told_of(live, steps[uid]), (uid, log(live), said_one, said_two)
    ours = log(live)[earlier:]
    assert len(ours) == len(set(ours)) and said_one == said_two == [], (ours, said_one, said_two)
    one.context.close()
    two.context.close()


@pytest.mark.parametrize(("width", "height"), [(360, 740), (1280, 900)])
def test_a_whole_day_in_the_garden(live, browser, width, height):
    """An alert seen and answered, the day's jobs ticked, some of them in part, a pest found, a plant bought, undo."""
    page = browser.new_context(viewport={"width": width, "height": height}).new_page()
    faults: list[str] = []
    page.on("console", lambda said: faults.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda wrong: faults.append(str(wrong)))
    page.goto(live.url)
    assert page.get_by_text("Act: night of Sat 12 Jun, behind the house").is_visible()
    assert page.get_by_text("Do it by 19:30 on Sat 12 Jun.").bounding_box()["y"] < height
    page.get_by_role("button", name="Carried in").click()
    page.get_by_text("Noted today").wait_for()
    assert log(live)[-1] == "2027-06-12,rescue,Big lemon,stair landing,"
    assert live.house.settled(30)

    page.goto(live.url)
    told = len(log(live))
    ticks = page.locator(".card:not(.ticked) > form .tick:visible")
    for _ in range(min(ticks.count(), 2)):
        ticks.first.click()
        all_sent(page)
        assert live.house.settled(30)
        page.goto(live.url)
    assert len(log(live)) >= told + 2

    page.goto(f"{live.url}tell")
    page.get_by_label("Found a pest").check()
    page.get_by_label("Pest found").select_option("mealybug")
    page.get_by_label("Jade tree", exact=True).check()
    page.get_by_role("button", name="Note it").click()
    page.wait_for_url(live.url)
    assert log(live)[-1] == "2027-06-12,found-mealybug,Jade tree,,"

    name = f"Fern at {width}"
    page.goto(f"{live.url}plants/0/new")
    page.get_by_label("Name as you call it").fill(name)
    page.get_by_label("Kind botanical").fill("boston fern")
    page.get_by_label("Stands indoors at").select_option("stair landing")
    page.get_by_role("button", name="Save").click()
    page.wait_for_url(f"{live.url}plants")
    assert live.house.settled(30)
    page.goto(f"{live.url}plants")
    assert page.get_by_role("link", name=name).is_visible()

    page.goto(live.url)
    lines = len(log(live))
    page.get_by_role("button", name="Undo").first.click()
    page.wait_for_load_state()
    assert len(log(live)) < lines and live.house.settled(30)
    assert page.evaluate("document.documentElement.scrollWidth") <= width and faults == [], faults
    page.context.close()


def test_without_a_network_ticks_wait_and_are_sent_later(live, browser):
    page = browser.new_context(viewport={"width": 360, "height": 740}).new_page()
    page.goto(live.url)
    told = len(log(live))
    page.context.set_offline(True)
    page.locator(".card:not(.ticked) > form .tick:visible, .later .card > form .tick").first.evaluate("b => b.click()")
    page.get_by_text("1 tick waits on this phone until the network is back.").wait_for()
    assert len(log(live)) == told
    page.context.set_offline(False)
    all_sent(page)
    assert len(log(live)) > told and live.house.settled(30)
    page.context.close()


def test_it_works_without_scripts(live, browser):
    page = browser.new_context(viewport={"width": 360, "height": 740}, java_script_enabled=False).new_page()
    page.goto(live.url)
    told = len(log(live))
    page.locator("summary", has_text="More").first.click()
    page.get_by_role("button", name="Not today").first.click()
    page.wait_for_load_state()
    assert "Not today" in page.content() and len(log(live)) == told
    page.goto(f"{live.url}tell")
    page.get_by_label("Looked and found none").check()
    page.get_by_label("Jade tree", exact=True).check()
    page.get_by_role("button", name="Note it").click()
    page.wait_for_load_state()
    assert log(live)[-1] == "2027-06-12,pest-clear,Jade tree,," and live.house.settled(30)
    page.context.close()


BAD_DATE = ("() => { const f = document.querySelector('form[action=\"/done\"]'); f.elements.on.value = 'someday'; "
            "f.submit(); }")
BAD_PEST = ("() => { const f = document.querySelector('form[action=\"/told\"]'); f.elements.pest.append("
            "new Option('dragon', 'dragon', true, true)); f.elements.what.value = 'found'; "
            "f.querySelector('[name=plant]').checked = true; f.submit(); }")
BAD_WORD = "() => { const f = document.querySelector('form'); f.elements.word.value = 'wrong'; f.submit(); }"
BAD_ROW = "() => { const f = document.querySelector('form'); f.elements.count.value = 'many'; f.submit(); }"
REFUSED = {"a bad date": ("", BAD_DATE, "someday"), "an unknown pest": ("tell", BAD_PEST, "dragon"),
           "a wrong word": ("pair", BAD_WORD, "That is not the word."),
           "a wrong row": ("plants/0/3/edit", BAD_ROW, "Nothing was changed.")}


@pytest.mark.parametrize("refusal", REFUSED)
def test_axe_finds_nothing_where_a_form_is_refused(live, browser, refusal):
    page = browser.new_context(bypass_csp=True).new_page()
    start, script, said = REFUSED[refusal]
    before = log(live), (live.folder / "plants.csv").read_text()
    page.goto(live.url + start)
    with page.expect_navigation():
        page.evaluate(script)
    assert page.get_by_text(said).first.is_visible()
    assert before == (log(live), (live.folder / "plants.csv").read_text())
    accessible(page, refusal)
    page.context.close()


def test_axe_finds_nothing_where_the_files_are_wrong(live, browser):
    page = browser.new_context(bypass_csp=True).new_page()
    file = live.folder / "plants.csv"
    right = file.read_text()
    file.write_text(right.replace("Jade tree,", "Jade tree,,", 1))
    try:
        live.house.look()
        assert live.house.settled(30)
        page.goto(live.url)
        assert page.get_by_text("The files cannot be planned; what you see is the plan before.").is_visible()
        accessible(page, "wrong files")
    finally:
        file.write_text(right)
        live.house.look()
        assert live.house.settled(30)
    page.context.close()


def accessible(page, what: str) -> bool:
    """Nothing found by axe, and nothing wider than the screen, at three widths."""
    page.evaluate(AXE)
    for width in (360, 768, 1280):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate(VIOLATIONS) == [], f"{what} at {width}"
        assert page.evaluate("document.documentElement.scrollWidth") <= width, f"{what} at {width}"
    return True


def test_axe_finds_nothing_on_any_screen(live, browser):
    page = browser.new_context(bypass_csp=True).new_page()
    for path in ("", "plants/0/3", "plants/0/new", "tell", "plants", "places", "places/0/3", "pair"):
        page.goto(live.url + path)
        page.evaluate("document.querySelectorAll('.card:first-of-type details').forEach(d => d.open = true)")
        assert accessible(page, path)
    page.context.close()
