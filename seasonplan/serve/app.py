"""Which address leads where. No address holds a path or a file name: gardens, plants and places are named by number."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any
from urllib.parse import parse_qs, urlencode

from markupsafe import Markup
from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from seasonplan import wording as w
from seasonplan import workflow
from seasonplan.deeds import AS_PLANNED, Deed
from seasonplan.errors import InputFaults, SeasonplanError
from seasonplan.inputs.pests import pest_keys
from seasonplan.inputs.scenario import PLANTS, SCENARIO
from seasonplan.model import Plan, Step
from seasonplan.model.life import BEGIN
from seasonplan.outputs.page import css
from seasonplan.serve import edits, forms, views
from seasonplan.serve.answers import NotHere, at, not_there, once, own_path, refused, templates, text
from seasonplan.serve.field_words import FIRST, words
from seasonplan.serve.forms import Form
from seasonplan.serve.gate import Guarded
from seasonplan.serve.guard import COOKIE, Guard, same
from seasonplan.serve.household import Household, Now

YEAR_S = 365 * 86400
SETTLE_S = 20.0
"""How long a tick waits for a plan that another tick has asked for."""


class Screens:
    """The application's answers. seconds: a clock that only ever goes forward, for pairing."""

    def __init__(self, household: Household, guard: Guard, seconds: Callable[[], float]):
        self.house, self.guard, self.seconds = household, guard, seconds
        self.put_off: dict[tuple[date, int], set[str]] = {}

    # What everybody sees

    async def today(self, request: Request) -> Response:
        now = self.house.look()
        off = frozenset(uid for (day, _), uids in self.put_off.items() if day == now.today for uid in uids)
        rooms = [{place.name for place in plan.places if not place.outdoors} for plan in now.plans]
        begun = request.query_params.get("begun", "")
        return self.shown("today.j2", now, title=w.day(now.today, year=True), gardens=views.days_of(now, off),
                          alarms=views.alarms(now), done=views.done_lately(now), rooms=rooms,
                          today=now.today.isoformat(), today_words="To do", several=len(now.plans) > 1,
                          begun=int(begun) if begun.isdecimal() else 0,
                          open_before=request.query_params.get("open", "") if begun.isdecimal() else "",
                          calendar=f"/calendar/{self.guard.calendar_key}.ics")

    async def plants(self, request: Request) -> Response:
        now = self.house.look()
        index = [{each.plant.name: n for n, each in enumerate(plan.plants)} for plan in now.plans]
        return self.shown("plants.j2", now, title="Plants", gardens=views.shelves(now), index=index)

    async def plant(self, request: Request) -> Response:
        now, garden, plan = self._garden(request)
        n = at(request, "n", len(plan.plants))
        found = views.plant_page(plan, plan.plants[n].plant.name)
        assert found is not None
        each, view, steps = found
        form = self._told_form(now, garden, (each.plant.name,), f"/plants/{garden}/{n}")
        return self.shown("plant.j2", now, title=each.plant.name, view=view, garden=garden, n=n, told_form=form,
                          steps=[(w.day(step.date), views.plant_step(plan, each, step)) for step in steps])

    async def tell(self, request: Request) -> Response:
        now = self.house.look()
        gardens = [(plan.site.name, self._told_form(now, n, tuple(each.plant.name for each in plan.plants), "/"),
                    [place.name for place in plan.places if place.outdoors],
                    "°F" if plan.rules.units == w.IMPERIAL else "°C") for n, plan in enumerate(now.plans)]
        return self.shown("tell.j2", now, title="Tell what happened", gardens=gardens, today=now.today.isoformat())

    def _told_form(self, now: Now, garden: int, plants: tuple[str, ...], back: str) -> Markup:
        places = [place.name for place in now.plans[garden].places]
        return Markup(templates().get_template("tell_form.j2").render(
            token=self.guard.token, once=once, garden=garden, back=back, kinds=forms.OTHER_KINDS, plants=plants,
            pests=[key for key in pest_keys() if key != "none"], places=places, today=now.today.isoformat()))

    async def places(self, request: Request) -> Response:
        now = self.house.look()
        gardens = [(plan.site.name, [(place.name, _place_words(plan, place.name)) for place in plan.places])
                   for plan in now.plans]
        return self.shown("places.j2", now, title="Places", gardens=gardens)

    async def page(self, request: Request) -> Response:
        return self._written(request, workflow.PAGE)

    async def sheet(self, request: Request) -> Response:
        return self._written(request, workflow.SHEET)

    def _written(self, request: Request, name: str) -> Response:
        _, garden, _ = self._garden(request)
        data = self.house.output(garden, name)
        return HTMLResponse(data) if data is not None else not_there()

    async def calendar(self, request: Request) -> Response:
        if request.path_params["key"] != f"{self.guard.calendar_key}.ics":
            return not_there()
        data = await run_in_threadpool(self.house.output, None, workflow.CALENDAR)
        return Response(data, media_type="text/calendar; charset=utf-8") if data is not None else not_there()

    async def state(self, request: Request) -> Response:
        now = self.house.look()
        return JSONResponse({"version": now.version, "busy": now.busy, "when": now.when, "token": self.guard.token})

    # What forms do

    async def done(self, request: Request) -> Response:
        return await self._act(request, self._done)

    def _done(self, form: Form) -> str:
        now = self.house.look()
        garden = forms.number_in(form, "garden", len(now.plans))
        try:
            opened = self._tick(form, now, garden)
        except InputFaults:                          # the other phone's tick may have changed the plan under this one
            self.house.look()
            if not self.house.settled(SETTLE_S) or self.house.look().version == now.version:
                raise
            opened = self._tick(form, self.house.look(), garden)
        return f"/?{urlencode({'begun': garden, 'open': len(opened)})}" if opened else ""

    def _tick(self, form: Form, now: Now, garden: int) -> tuple[Step, ...]:
        plan = now.plans[garden]
        log = [*plan.scenario.log, *(entry for n, entry in now.noted if n == garden)]
        deed, step = forms.deed_of_step(form, plan, now.today, self.house.shown(garden), log)
        return self.house.note(garden, deed, form.one("once"), step) if deed else ()

    async def told(self, request: Request) -> Response:
        return await self._act(request, self._told)

    def _told(self, form: Form) -> str:
        now = self.house.look()
        garden = forms.number_in(form, "garden", len(now.plans))
        if form.one("what") in (AS_PLANNED, BEGIN):
            deed = Deed(form.one("what"), now.today)
        else:
            deed = forms.deed_of_plants(form, now.plans[garden], now.today)
        opened = self.house.note(garden, deed, form.one("once"))
        return f"/?{urlencode({'begun': garden, 'open': len(opened)})}" if opened and deed.step != BEGIN else ""

    async def reading(self, request: Request) -> Response:
        return await self._act(request, self._reading)

    def _reading(self, form: Form) -> str:
        now = self.house.look()
        garden = forms.number_in(form, "garden", len(now.plans))
        folder, imperial = self.house.folders.sources[garden], now.plans[garden].rules.units == w.IMPERIAL
        day = forms.day_in(form, "on", now.today)

        def change(held) -> dict[str, bytes]:
            name = edits.readings_file(held.read(SCENARIO) or b"")
            made = edits.with_reading(held.read(name), day.isoformat(), form.one("place"), form.one("low"), imperial)
            return edits.checked(held, {name: made}, folder, self.house.fetch)

        self.house.write(garden, change, form.one("once"))
        return ""

    async def undo(self, request: Request) -> Response:
        def work(form: Form) -> str:
            now = self.house.look()
            garden = forms.number_in(form, "garden", len(now.plans))
            self.house.undo(garden, form.one("step"), form.all("plant"), forms.day_in(form, "on", now.today),
                            form.one("once"))
            return ""
        return await self._act(request, work)

    async def later(self, request: Request) -> Response:
        def work(form: Form) -> str:
            now = self.house.look()
            garden = forms.number_in(form, "garden", len(now.plans))
            self.put_off = {key: uids for key, uids in self.put_off.items() if key[0] == now.today}
            self.put_off.setdefault((now.today, garden), set()).add(form.one("step"))
            return ""
        return await self._act(request, work)

    async def _act(self, request: Request, work: Callable[[Form], str]) -> Response:
        """Does what a form asks for, off the loop; then back to a screen of ours, or a word for the script."""
        form = Form(parse_qs((await request.body()).decode("utf-8", "replace"), keep_blank_values=True))
        live = request.headers.get("x-live") == "1"
        if not same(form.one("token"), self.guard.token):
            return refused("This form is from before the program was started again. Look at the page anew.", live, 403)
        try:
            back = await run_in_threadpool(work, form) or own_path(form.one("back"))
        except SeasonplanError as error:
            return refused(str(error), live, 422, own_path(form.one("back")))
        return JSONResponse({"back": back}) if live else RedirectResponse(back, 303)

    # Rows and places

    async def edit_plant(self, request: Request) -> Response:
        now, garden, plan = self._garden(request)
        new = "n" not in request.path_params
        plant = None if new else plan.plants[at(request, "n", len(plan.plants))].plant
        name = "" if plant is None else plant.row or plant.name
        known = {} if new else edits.plant_values(self.house.input(garden, PLANTS) or b"", name)
        usual = {"count": "1", "arrived": now.today.isoformat()} if new else {}
        rooms = [place.name for place in plan.places if not place.outdoors]
        choices = {"place": rooms, "pests": list(pest_keys()), "root_bound": ["", "yes", "no"]}

        def change(values: dict[str, str], folder: Any) -> Callable:
            return lambda held: edits.checked(
                held, {PLANTS: edits.with_plant(held.read(PLANTS) or b"", name, values)}, folder, self.house.fetch)

        return await self._edit(request, now, garden, "Plants", "Bought a plant" if new else name, edits.PLANT_FIELDS,
                                usual | known, choices, () if new else ("name",), change, "/plants")

    async def edit_place(self, request: Request) -> Response:
        now, garden, plan = self._garden(request)
        new = "n" not in request.path_params
        place = None if new else plan.places[at(request, "n", len(plan.places))]
        known = {} if place is None else edits.place_values(self.house.input(garden, SCENARIO) or b"", place.name)
        kind = "outdoor" if place is None else place.kind
        choices = {"kind": ["outdoor", "indoor"], "wall_behind": ["", "yes", "no"],
                   "curtain": ["", "none", "sheer", "blind"]}
        fields = tuple(dict.fromkeys((*edits.PLACE_FIELDS["outdoor"], *edits.PLACE_FIELDS["indoor"]))) if new else \
            edits.PLACE_FIELDS[kind]

        def change(values: dict[str, str], folder: Any) -> Callable:
            name = "" if place is None else place.name
            return lambda held: edits.checked(
                held, {SCENARIO: edits.with_place(held.read(SCENARIO) or b"", name, values)}, folder, self.house.fetch)

        return await self._edit(request, now, garden, "Places", "A place more" if place is None else place.name, fields,
                                {"kind": kind} | known, choices, () if new else ("name", "kind"), change, "/places")

    async def _edit(self, request: Request, now: Now, garden: int, tab: str, title: str, keys, values, choices, fixed,
                    change, back: str) -> Response:
        """Shows a form of such fields; saves what it sends, or shows it again with what is wrong."""
        fault = ""
        if request.method == "POST":
            form = Form(parse_qs((await request.body()).decode("utf-8", "replace"), keep_blank_values=True))
            if not same(form.one("token"), self.guard.token):
                return refused("This form is from before the program was started again.", False, 403)
            values = {key: form.one(key) for key in keys}
            try:
                await run_in_threadpool(self.house.write, garden, change(values, self.house.folders.sources[garden]),
                                        form.one("once"))
                return RedirectResponse(back, 303)
            except SeasonplanError as error:
                fault = str(error)
        fields = [(key, values.get(key, ""), *words(key)) for key in keys]
        shown = [each for each in fields if each[0] in FIRST or each[1]]
        return self.shown("edit.j2", now, 422 if fault else 200, title=title, tab=tab, action=request.url.path,
                          fields=shown, more=[each for each in fields if each not in shown], choices=choices,
                          fixed=fixed, fault=fault)

    # Who may come in

    async def pair(self, request: Request) -> Response:
        word = request.query_params.get("word", "")
        if request.method == "POST":
            word = Form(parse_qs((await request.body()).decode("utf-8", "replace"))).one("word")
        if word and self.guard.try_word(word, self.seconds()):
            answer = RedirectResponse("/", 303)
            answer.set_cookie(COOKIE, self.guard.cookie, max_age=YEAR_S, httponly=True, samesite="strict")
            return answer
        page = templates().get_template("pair.j2").render(wrong=bool(word))
        return HTMLResponse(page, 403 if word else 200)

    def shown(self, template: str, now: Now, status: int = 200, **given: Any) -> HTMLResponse:
        """A screen."""
        return HTMLResponse(templates().get_template(template).render(
            now=now, token=self.guard.token, once=once, **given), status)

    def _garden(self, request: Request) -> tuple[Now, int, Plan]:
        now = self.house.look()
        garden = at(request, "garden", len(now.plans))
        return now, garden, now.plans[garden]


def _place_words(plan: Plan, name: str) -> str:
    place = next(place for place in plan.places if place.name == name)
    return f"{place.kind}s" + (f", room for {place.room_for}" if place.room_for is not None else "")


def _fixed(text: str, kind: str):
    async def answer(request: Request) -> Response:
        return Response(text, media_type=kind)
    return answer


def application(household: Household, guard: Guard, seconds: Callable[[], float]):
    """The ASGI application behind its guard."""
    screens = Screens(household, guard, seconds)
    both, post = ["GET", "POST"], ["POST"]
    routes = [
        Route("/", screens.today), Route("/state", screens.state), Route("/plants", screens.plants),
        Route("/tell", screens.tell),
        Route("/places", screens.places), Route("/plants/{garden:int}/new", screens.edit_plant, methods=both),
        Route("/plants/{garden:int}/{n:int}", screens.plant),
        Route("/plants/{garden:int}/{n:int}/edit", screens.edit_plant, methods=both),
        Route("/places/{garden:int}/new", screens.edit_place, methods=both),
        Route("/places/{garden:int}/{n:int}", screens.edit_place, methods=both),
        Route("/page/{garden:int}", screens.page), Route("/sheet/{garden:int}", screens.sheet),
        Route("/calendar/{key}", screens.calendar), Route("/pair", screens.pair, methods=both),
        Route("/done", screens.done, methods=post), Route("/told", screens.told, methods=post),
        Route("/reading", screens.reading, methods=post),
        Route("/undo", screens.undo, methods=post), Route("/later", screens.later, methods=post),
        Route("/style.css", _fixed(css("page.css") + (text("live.css") or ""), "text/css; charset=utf-8")),
        Route("/live.js", _fixed(text("live.js") or "", "text/javascript; charset=utf-8")),
        Route("/icon.svg", _fixed(text("icon.svg") or "", "image/svg+xml")),
    ]
    handlers = {NotHere: lambda request, error: not_there(), 404: lambda request, error: not_there(),
                InputFaults: lambda request, error: refused(str(error), False, 422)}
    return Guarded(Starlette(routes=routes, exception_handlers=handlers), guard)
