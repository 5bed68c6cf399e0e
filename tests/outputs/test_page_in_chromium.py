"""Page, sheet and index in a real headless Chromium: quiet, self-contained, in order, legible, and whole on paper."""

from __future__ import annotations

import io
import json
import re
import unicodedata
from dataclasses import replace
from datetime import date
from pathlib import Path

import axe_playwright_python
import pytest
from chromium import Browser, Page, chromium_path
from invented import make_plan, make_scenario, make_site
from outputs.sizes import larger, sides, without_pictures
from pypdf import PdfReader

from seasonplan import build_plan, load_scenario
from seasonplan.model import Plan, Rules
from seasonplan.outputs.page import render_index, render_page
from seasonplan.outputs.shed import render_shed

pytestmark = [pytest.mark.skipif(chromium_path() is None, reason="no Chromium is installed here"),
              pytest.mark.usefixtures("remembered_plans")]

LEAST_CONTRAST = 4.5
"""WCAG 2.2, success criterion 1.4.3 (level AA), for text of ordinary size; asked of all text here, large or small."""
SCENARIOS = Path(__file__).parents[2] / "scenarios"
PAPERS_IN = {"A4": (8.27, 11.69), "Letter": (8.5, 11.0)}
LONG = "Mother-in-law's-tongue" * 455
HOSTILE = ("<script>alert(1)</script>", "🌵 \u202eevil & \u05d0\u05d1\u05d2 <b>", LONG)

CONTRAST = """(() => {
  const canvas = document.createElement('canvas'); canvas.width = canvas.height = 1;
  const pen = canvas.getContext('2d', {willReadFrequently: true});
  const rgb = css => { pen.clearRect(0, 0, 1, 1); pen.fillStyle = css; pen.fillRect(0, 0, 1, 1);
    return [...pen.getImageData(0, 0, 1, 1).data]; };
  const over = (top, below) => { const a = top[3] / 255;
    return below.map((c, i) => i < 3 ? top[i] * a + c * (1 - a) : 255); };
  const light = c => { const [r, g, b] = c.slice(0, 3).map(v => v / 255)
    .map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4); return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
  const ratio = (a, b) => { const [x, y] = [light(a), light(b)].sort((p, q) => q - p);
    return (x + 0.05) / (y + 0.05); };
  const paint = (el, style) => el instanceof SVGElement ? 'none' : style.backgroundColor;
  const paper = rgb(getComputedStyle(document.body).backgroundColor);
  const found = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const node = walker.currentNode, el = node.parentElement;
    if (!node.textContent.trim() || el.closest('style, title, desc, .skip') || !el.checkVisibility()) continue;
    if (innerWidth <= 640 && el.closest('thead')) continue;  // read aloud there, not shown
    const range = document.createRange(); range.selectNodeContents(node);
    const box = range.getBoundingClientRect();
    if (box.width < 1 || box.height < 1) continue;
    window.scrollTo(0, box.top + window.scrollY - window.innerHeight / 2);
    const now = range.getClientRects()[0], home = (el.closest('.bar i') ?? el).getBoundingClientRect();
    const right = el instanceof SVGElement ? now.right : Math.min(now.right, home.right);
    const stack = document.elementsFromPoint((now.left + right) / 2, now.top + now.height / 2);
    const from = stack.findIndex(e => e === el || el.contains(e));
    if (from < 0) { found.push([0, node.textContent.trim().slice(0, 40), 'hidden']); continue; }
    let back = paper;
    for (const each of stack.slice(from).reverse()) {
      const fill = paint(each, getComputedStyle(each));
      if (fill && fill !== 'none') back = over(rgb(fill), back);
    }
    const style = getComputedStyle(el);
    const ink = over(rgb(el instanceof SVGElement ? style.fill : style.color), back);
    found.push([ratio(ink, back), node.textContent.trim().slice(0, 40), el.className.baseVal ?? el.className]);
  }
  return JSON.stringify(found);
})()"""
"""Contrast of every visible text against what really lies behind its middle: [ratio, text, class]."""

HIDE_DRAWINGS = "document.head.insertAdjacentHTML('beforeend', '<style>svg * { visibility: hidden }</style>')"
"""The charts keep their room but leave the PDF quick to read."""
MARK_ROWS = """(() => {
  const rows = [...document.querySelectorAll('tr, .jobs > li, .alert, .row')].filter(e => e.checkVisibility());
  rows.forEach((row, n) => { for (const end of ['Top', 'Base']) {
    const mark = document.createElement('span');
    mark.textContent = `q${n}${end}`;
    mark.style.cssText = 'position:absolute;font:2px sans-serif;color:#000;left:0;';
    mark.style[end == 'Top' ? 'top' : 'bottom'] = 0;
    const home = row.tagName == 'TR' ? row.firstElementChild : row;
    home.style.position = 'relative';
    if (row.tagName == 'TR' && end == 'Base') row.lastElementChild.style.position = 'relative';
    (row.tagName == 'TR' && end == 'Base' ? row.lastElementChild : home).appendChild(mark);
  } });
  return rows.length;
})()"""
"""Puts a tiny mark at the top and the base of everything that must not be cut; returns how many there are."""


def metric() -> Plan:
    return make_plan()


def imperial_south() -> Plan:
    scenario = make_scenario(site=make_site(name="Invented harbour", latitude_deg=-41.0),
                             rules=Rules(year=2027, units="imperial", policy="careful"))
    return make_plan(scenario, today=date(2027, 9, 12))


def hostile() -> Plan:
    """Names that are markup, right-to-left with an override, emoji, or 10,000 characters without a break."""
    plan = make_plan(make_scenario(site=make_site(name=HOSTILE[0])))
    plants = tuple(replace(each, plant=replace(each.plant, name=HOSTILE[n % 3] + (f" {n}" if n > 2 else "")))
                   for n, each in enumerate(plan.plants))
    names = tuple(each.plant.name for each in plants)
    steps = tuple(replace(step, plants=names[:3], title=f"Out: {names[n % 3]}", place=names[1], detail=LONG, why=LONG)
                  for n, step in enumerate(plan.steps))
    alerts = tuple(replace(alert, plants=names, place=LONG, action=HOSTILE[0]) for alert in plan.alerts)
    return replace(plan, plants=plants, steps=steps, alerts=alerts, assumptions=HOSTILE)


PLANS = {"metric": metric, "imperial-south": imperial_south, "hostile": hostile}


@pytest.fixture(scope="session")
def browser(tmp_path_factory):
    started = Browser(chromium_path(), tmp_path_factory.mktemp("chromium"))
    yield started
    started.close()


@pytest.fixture(scope="session")
def files(tmp_path_factory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("pages")
    pages = {name: render_page(make()) for name, make in PLANS.items()}
    hostile_name = make_plan(make_scenario(site=make_site(name=HOSTILE[1])))
    pages["sheet"] = render_shed(metric())
    pages["index"] = render_index([("a b/plan.html", metric()), ("c/plan.html", imperial_south()), ("d", hostile_name)])
    for name, text in pages.items():
        (folder / f"{name}.html").write_text(text, encoding="utf-8")
    return {name: folder / f"{name}.html" for name in pages}


ALL = (*PLANS, "index", "sheet")


@pytest.mark.parametrize("name", ALL)
def test_quiet_and_self_contained(browser: Browser, files, name):
    with browser.page(files[name]) as page:
        page.run("document.querySelectorAll('details').forEach(d => d.open = true)")
        asked = {e["request"]["url"] for e in page.told("Network.requestWillBeSent")}
        assert {url for url in asked if not url.startswith("data:")} == {files[name].resolve().as_uri()}
        assert page.told("Log.entryAdded") == [] and page.told("Runtime.consoleAPICalled") == []
        assert page.told("Runtime.exceptionThrown") == []
        assert page.run("document.scripts.length") == 0
        assert page.run("document.compatMode") == "CSS1Compat"


@pytest.mark.parametrize("name", ALL)
def test_no_horizontal_scroll(browser: Browser, files, name):
    with browser.page(files[name], 360, 740) as page:
        page.run("document.querySelectorAll('details').forEach(d => d.open = true)")
        for width in (320, 360, 740, 1280):
            page.look(width, 740)
            assert page.run("document.documentElement.scrollWidth") <= width
            beyond = page.run("""JSON.stringify([...document.body.querySelectorAll('*')].filter(e => e.checkVisibility()
                && !e.closest('.skip, thead, .bar, svg') && e.getBoundingClientRect().right > innerWidth + 0.5)
                .map(e => e.outerHTML.slice(0, 80)))""")
            assert json.loads(beyond) == []


@pytest.mark.parametrize("name", ALL)
def test_headings_and_landmarks_in_order(browser: Browser, files, name):
    with browser.page(files[name]) as page:
        tags = page.run("[...document.querySelectorAll('h1,h2,h3,h4,h5,h6')].map(h => h.tagName)")
        levels = [int(tag[1]) for tag in tags]
        assert levels[0] == 1 and levels.count(1) == 1
        assert all(b - a <= 1 for a, b in zip(levels, levels[1:], strict=False))
        order = page.run("[...document.body.children].map(e => e.tagName + (e.className?.at ? e.className && "
                         "'.' + e.className : ''))")
        assert [each for each in order if each != "svg"] == (
            ["MAIN"] if name == "sheet" else ["A.skip", "HEADER", "MAIN", "FOOTER"])
        assert page.run("document.documentElement.lang") == "en-GB"
        assert page.run("[...document.querySelectorAll('a[href^=\"#\"]')].every(a => document.getElementById("
                        "a.getAttribute('href').slice(1)))") is True
        ids = page.run("[...document.querySelectorAll('[id]')].map(e => e.id)")
        assert len(ids) == len(set(ids))
        assert page.run("[...document.querySelectorAll('[aria-labelledby], [aria-describedby]')].every(e =>"
                        "((e.getAttribute('aria-labelledby') ?? '') + ' ' + (e.getAttribute('aria-describedby') ?? ''))"
                        ".trim().split(/ +/).every(id => document.getElementById(id)))") is True


@pytest.mark.parametrize("name", ["metric", "imperial-south", "sheet"])
def test_every_picture_has_its_words(browser: Browser, files, name):
    with browser.page(files[name]) as page:
        tree = browser.call("Accessibility.getFullAXTree", page.session)["nodes"]
        images = [n for n in tree if n.get("role", {}).get("value") in ("image", "img") and not n["ignored"]]
        assert len(images) >= 4 and all(len(image["name"]["value"].strip()) > 20 for image in images)
        assert page.run("[...document.querySelectorAll('svg')].every(s => s.ariaHidden == 'true')") is True


MARKS = """(() => {
  const canvas = document.createElement('canvas'); canvas.width = canvas.height = 1;
  const pen = canvas.getContext('2d');
  const light = css => { pen.fillStyle = css; pen.fillRect(0, 0, 1, 1);
    const [r, g, b] = [...pen.getImageData(0, 0, 1, 1).data].slice(0, 3).map(v => v / 255)
      .map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
    return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
  const ratio = (a, b) => { const [x, y] = [light(a), light(b)].sort((p, q) => q - p);
    return (x + 0.05) / (y + 0.05); };
  const paper = getComputedStyle(document.body).backgroundColor;
  return JSON.stringify([...document.querySelectorAll('.field path')].map(path => {
    const style = getComputedStyle(path);
    const inks = [style.stroke, style.fill].filter(ink => ink.startsWith('rgb'));
    return [path.className.baseVal, Math.max(0, ...inks.map(ink => ratio(ink, paper)))]; }));
})()"""
"""The strongest contrast of each mark of a picture with the paper: [class, ratio]."""
GROUND = {"rule", "under", "cloth"}
"""Grid lines, and fills whose edge is a mark of its own (light) or a pattern of ink (cloth)."""


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_marks_of_pictures_stand_out_from_the_paper(browser: Browser, files, dark):
    """3 : 1, WCAG 2.2 success criterion 1.4.11."""
    with browser.page(files["metric"], dark=dark) as page:
        found = json.loads(page.run(MARKS))
        assert {kind for kind, _ in found} >= {"mean", "harm", "stay", "chance", "light", "rescue", "cloth", "work",
                                               "pots", "moving", "sunny", "band"}
        assert [each for each in found if each[1] < 3 and each[0] not in GROUND] == []


AXE = next(Path(axe_playwright_python.__file__).parent.glob("axe.min.js"))
"""axe-core 4, as the package axe-playwright-python carries it: the rules of WCAG 2.2 A and AA, and best practice."""

VIOLATIONS = "axe.run().then(r => r.violations.map(v => [v.id, v.nodes[0].html.slice(0, 120)]))"


@pytest.mark.parametrize("name", ["metric", "index", "sheet", "hostile"])
def test_axe_finds_nothing(browser: Browser, files, name):
    with browser.page(files[name]) as page:
        page.run("document.querySelectorAll('details').forEach(d => d.open = true)")
        page.run(AXE.read_text(encoding="utf-8"))
        for width in (360, 768, 1280):
            page.look(width)
            assert page.run(VIOLATIONS, wait=True) == []


def test_tables_keep_their_meaning_on_a_phone(browser: Browser, files):
    with browser.page(files["metric"], 360, 740) as page:
        tree = browser.call("Accessibility.getFullAXTree", page.session)["nodes"]
        roles = [node.get("role", {}).get("value") for node in tree if not node["ignored"]]
        assert roles.count("table") >= 2 and roles.count("columnheader") >= 8 and roles.count("rowheader") >= 3
        assert page.run("[...document.querySelectorAll('table')].every(t => t.caption.textContent.length > 10)") is True


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize(("name", "width"), [("metric", 360), ("imperial-south", 1280), ("index", 360)])
def test_contrast_of_all_text(browser: Browser, files, name, width, dark):
    with browser.page(files[name], width, 900, dark) as page:
        page.run("document.querySelectorAll('details').forEach(d => d.open = true)")
        found = json.loads(page.run(CONTRAST))
        assert len(found) > 30
        assert [each for each in found if each[0] < LEAST_CONTRAST] == []


def test_dark_mode_is_dark_and_the_charts_follow(browser: Browser, files):
    grounds = []
    for dark in (False, True):
        with browser.page(files["metric"], dark=dark) as page:
            grounds.append((page.run("getComputedStyle(document.body).backgroundColor"),
                            page.run("getComputedStyle(document.querySelector('.field .axis')).color")))
    (paper, ink), (dark_paper, dark_ink) = grounds
    assert _grey(paper) > 200 > 80 > _grey(dark_paper)
    assert _grey(ink) < 120 < _grey(dark_ink)


def _grey(css: str) -> float:
    return sum(int(n) for n in re.findall(r"\d+", css)[:3]) / 3


@pytest.mark.parametrize("name", ["metric", "index"])
def test_print_cuts_no_row(browser: Browser, files, name):
    with browser.page(files[name]) as page:
        marks = mark_rows(page)
        assert marks > 5
        for paper in PAPERS_IN.values():
            assert cut_rows(page.pdf(*paper), marks) == []


def mark_rows(page: Page) -> int:
    """Marks what paper will show; then back to the screen (a second print under an emulated medium comes out blank)."""
    page.look(1280, media="print")
    page.run(HIDE_DRAWINGS)
    marks = page.run(MARK_ROWS)
    page.look(1280)
    return marks


def cut_rows(pdf: bytes, marks: int) -> list[int]:
    """Numbers of the marked things whose top and base are not on one sheet; every mark must be on some sheet."""
    where = {mark: n for n, text in enumerate(sheets_of(pdf)) for mark in re.findall(r"q\d+(?:Top|Base)", text)}
    assert len(where) == 2 * marks
    return [n for n in range(marks) if where[f"q{n}Top"] != where[f"q{n}Base"]]


def sheets_of(pdf: bytes) -> list[str]:
    """The text of each sheet, ligatures undone."""
    return [unicodedata.normalize("NFKC", sheet.extract_text()) for sheet in PdfReader(io.BytesIO(pdf)).pages]


def test_print_opens_what_the_screen_folds(browser: Browser, files):
    with browser.page(files["metric"]) as page:
        page.run(HIDE_DRAWINGS)
        sheets = sheets_of(page.pdf(*PAPERS_IN["A4"]))
        text = re.sub(r"\s+", " ", " ".join(sheets))
        assert len(sheets) <= 6
        for words in ("Today, Mon 10 May", "Rosemary by the door (3 pots)", "Shopping list", "potting mix",
                      "Read the product label first", "Sun 10 Oct", "Because the invented plan"):
            assert words in text, words
        assert "Skip to the plan" not in text


def test_a_phones_first_screen_answers(browser: Browser, files):
    """Alert, today, and the next two days of work lie within 740 px at 360 px wide."""
    with browser.page(files["metric"], 360, 740) as page:
        ends = page.run("[...document.querySelectorAll('.now .alert, .now-day')]"
                        ".map(e => e.getBoundingClientRect().bottom)")
        assert len(ends) == 4 and max(ends) <= 740


def test_forty_pots_in_the_fullest_month_are_a_page_under_140_kb_and_at_most_twelve_sides(browser: Browser, tmp_path):
    page = render_page(build_plan(load_scenario(larger(tmp_path, 40)), date(2027, 6, 12)))
    assert len(without_pictures(page).encode()) < 140_000
    assert sides(browser, tmp_path, page) <= 12


@pytest.mark.parametrize("garden", ["fallowmere", "upper-tarn"])
def test_a_real_garden_is_one_sheet_and_twelve_sides(browser: Browser, tmp_path, garden):
    plan = build_plan(load_scenario(SCENARIOS / garden), date(2027, 3, 1))
    for name, render, most in (("sheet", render_shed, 1), ("plan", render_page, 12)):
        file = tmp_path / f"{name}.html"
        file.write_text(render(plan), encoding="utf-8")
        with browser.page(file) as page:
            page.run(HIDE_DRAWINGS)
            for paper in PAPERS_IN.values():
                assert len(sheets_of(page.pdf(*paper))) <= most
    assert len(without_pictures(render_page(plan)).encode()) < 140_000


@pytest.mark.parametrize("garden", ["fallowmere", "heron-cay"])
def test_the_sheet_uses_its_paper_and_is_not_shrunk_to_it(browser: Browser, tmp_path, garden):
    """Nothing is wider than the paper (Chromium would print all of it smaller), the nights are to be seen, and type
    smaller than the largest fills the side. 733 px are the width of A4 within its margins, 994 the height of Letter."""
    file = tmp_path / "sheet.html"
    file.write_text(render_shed(build_plan(load_scenario(SCENARIOS / garden), date(2027, 3, 1))), encoding="utf-8")
    with browser.page(file) as page:
        page.look(733, 994, media="print")
        wide, tall, strip, size = page.run("(() => { const main = document.querySelector('main'); return ["
            "document.documentElement.scrollWidth, main.scrollHeight, document.querySelector('.nights').offsetWidth, "
            "parseFloat(getComputedStyle(main).fontSize) * .75]; })()")
    assert wide <= 733 and strip > 180
    assert tall <= 994 and (size == pytest.approx(9.0) or tall >= 0.9 * 994), (tall, size)


def test_a_sheet_of_sixty_pots_is_two_sides_each_with_its_cautions(browser: Browser, tmp_path):
    file = tmp_path / "sheet.html"
    file.write_text(render_shed(build_plan(load_scenario(larger(tmp_path, 60)), date(2027, 3, 1))), encoding="utf-8")
    with browser.page(file) as page:
        for paper in PAPERS_IN.values():
            told = sheets_of(page.pdf(*paper))
            assert len(told) == 2 and all("the product label is the law" in re.sub(r"\s+", " ", side) for side in told)


def test_a_cut_row_would_be_seen(browser: Browser, files):
    """The check above is able to fail: without the rule against it, some row does get cut."""
    with browser.page(files["metric"]) as page:
        page.run("document.head.insertAdjacentHTML('beforeend', '<style>* { break-inside: auto !important; orphans: 1; "
                 "widows: 1; }</style>')")
        marks = mark_rows(page)
        assert any(cut_rows(page.pdf(8.27, tall), marks) for tall in (3.0, 3.4, 3.8, 4.2))
