"""The gate before every screen: who may come in, how much may be sent, and the headers that keep a page to itself."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from seasonplan.serve.guard import COOKIE, HEADERS, LONGEST_FORM, PUBLIC, Guard


class Guarded:
    """Lets through what the guard lets through, and adds the headers that keep a page to itself."""

    def __init__(self, inner, guard: Guard):
        self.inner, self.guard = inner, guard

    async def __call__(self, scope, receive, send) -> None:
        if scope["type"] != "http":
            return await self.inner(scope, receive, send)
        refusal = self._refusal(Request(scope))

        async def sent(message) -> None:
            if message["type"] == "http.response.start":
                known = {key for key, _ in message["headers"]}
                message["headers"] += [(key.encode(), value.encode()) for key, value in HEADERS.items()
                                       if key.encode() not in known]
            await send(message)

        if refusal is not None:
            return await refusal(scope, receive, sent)
        return await self.inner(scope, _bounded(receive), sent)

    def _refusal(self, request: Request) -> Response | None:
        path, headers = request.url.path, request.headers
        if not self.guard.knows_host(headers.get("host", "")):
            return Response("This address is not served here.\n", 421, media_type="text/plain")
        if request.method == "POST" and not self.guard.knows_origin(headers.get("origin")):
            return Response("That page may not write here.\n", 403, media_type="text/plain")
        if headers.get("content-length", "0").isdecimal() and int(headers.get("content-length", "0")) > LONGEST_FORM:
            return Response("That is too much for a form.\n", 413, media_type="text/plain")
        keyed = path.startswith("/calendar/")
        if path in PUBLIC or keyed or self.guard.knows_browser(request.cookies.get(COOKIE)):
            return None
        return RedirectResponse("/pair", 303) if request.method == "GET" else Response("Pair first.\n", 403)


def _bounded(receive):
    """Reads no more of a request than a form may have."""
    taken = 0

    async def bounded():
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        return message if taken <= LONGEST_FORM else {"type": "http.disconnect"}
    return bounded
