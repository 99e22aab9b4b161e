"""The routes: what a page may ask for. Each is a few lines over the desk."""

from __future__ import annotations

import secrets
import sys
from collections.abc import Awaitable, Callable
from contextlib import asynccontextmanager
from importlib.resources import files
from typing import Any

from starlette.applications import Starlette
from starlette.requests import ClientDisconnect, Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from braces.base.problems import Where
from braces.web import views
from braces.web.compare import compared, others
from braces.web.desk import Desk, Looking, Refusal
from braces.web.guard import App, Guard
from braces.web.handles import Drag
from braces.web.hub import Hub
from braces.web.picture import Table
from braces.web.side_picture import section_picture

_KINDS = {
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".ttf": "font/ttf",
    ".svg": "image/svg+xml",
    ".pdf": "application/pdf",
}
_PAPERS = ("a4", "letter", "a3", "tabloid")
#: What is shown in the browser itself, shut off from everything else; the rest is downloaded.
_SHUT_OFF = "sandbox; default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:"


class BadRequest(Exception):  # noqa: N818 - reads as what it is
    """A request that no page of ours makes."""


def application(hub: Hub, port: int) -> App:
    """Return the server's application."""
    hub.once = secrets.token_urlsafe(16)
    once = {hub.once}

    async def enter(request: Request) -> Response:
        table = await _body(request)
        key = _text(table, "once", 64)
        if key not in once:
            return _refused("this address was used already: take the one that the program printed", 403)
        once.discard(key)
        return JSONResponse({"token": hub.token})

    routes = [Route("/api/enter", _safe(enter), methods=["POST"]), *_static(), *_asking(hub), *_doing(hub)]

    @asynccontextmanager
    async def lifespan(_app: Any) -> Any:
        hub.begin()
        yield
        await hub.end()

    app = Starlette(routes=routes, lifespan=lifespan)
    return Guard(app, port, hub.token)


def _static() -> list[Route]:
    """The page's own files, read once at the start: no path of a request is ever opened."""
    page = files("braces.web").joinpath("page")
    texts = {f.name: f.read_bytes() for f in page.iterdir() if f.is_file()}
    fonts = files("braces.sheets").joinpath("fonts")
    texts |= {f.name: f.read_bytes() for f in fonts.iterdir() if f.name.endswith(".ttf")}

    async def index(_request: Request) -> Response:
        return Response(texts["index.html"], media_type=_KINDS[".html"])

    async def one(request: Request) -> Response:
        name = request.path_params["name"]
        if name not in texts:
            return Response(status_code=404)
        return Response(texts[name], media_type=_KINDS["." + name.rsplit(".", 1)[-1]])

    return [Route("/", index), Route("/page/{name}", one)]


def _asking(hub: Hub) -> list[Route]:
    async def news(_request: Request) -> Response:
        return StreamingResponse(hub.news(), media_type="application/x-ndjson")

    async def begin(request: Request) -> Response:
        looking = _looking(request.query_params)
        table = await hub.do(lambda d: views.view(d, looking) | {"sheets": views.sheets(d), "others": list(others(d))})
        return JSONResponse(
            table | {"sections": views.sections(), "products": views.products(), "papers": list(_PAPERS)}
        )

    async def view(request: Request) -> Response:
        looking = _looking(request.query_params)
        return JSONResponse(await hub.do(lambda d: views.view(d, looking)))

    async def section(request: Request) -> Response:
        name, x = request.query_params.get("brace", ""), _number(request.query_params.get("x"))

        def at(desk: Desk) -> Table:
            brace = next((b for b in desk.carved.braces if b.name == name), None) if desk.carved else None
            return section_picture(brace, x) if brace is not None else {}

        return JSONResponse(await hub.do(at))

    async def form(request: Request) -> Response:
        where = _path(request.query_params.get("where", ""))
        return JSONResponse(await hub.do(lambda d: views.form_table(d, where)))

    async def strength(_request: Request) -> Response:
        return JSONResponse(hub.strength)

    async def sheet(request: Request) -> Response:
        key = request.query_params.get("key", "")
        data = await hub.do(lambda d: views.sheet(d, key))
        return Response(data, media_type=_KINDS[".svg"]) if data else Response(status_code=404)

    async def compare(request: Request) -> Response:
        key, plate = request.query_params.get("with", ""), _looking(request.query_params).plate
        return JSONResponse(await hub.do(lambda d: compared(d, key, plate)))

    async def made(request: Request) -> Response:
        path = hub.made.get(request.path_params["key"])
        if path is None or not path.is_file():
            return Response(status_code=404)
        data = path.read_bytes()
        kind = _KINDS.get(path.suffix)
        headers = {"Content-Disposition": f'attachment; filename="{path.name}"'} if kind is None else {}
        if kind is not None and path.suffix != ".pdf":
            headers["Content-Security-Policy"] = _SHUT_OFF
        return Response(data, media_type=kind or "application/octet-stream", headers=headers)

    return [
        Route("/api/news", _safe(news)),
        Route("/api/begin", _safe(begin)),
        Route("/api/view", _safe(view)),
        Route("/api/section", _safe(section)),
        Route("/api/form", _safe(form)),
        Route("/api/strength", _safe(strength)),
        Route("/api/sheet", _safe(sheet)),
        Route("/api/compare", _safe(compare)),
        Route("/made/{key}/{name}", _safe(made)),
    ]


def _doing(hub: Hub) -> list[Route]:
    async def edit(request: Request) -> Response:
        table = await _body(request)
        looking = _looking(table)
        work = _edit(table, looking)
        hub.waiting += 1

        def do(desk: Desk) -> Table:
            hub.waiting -= 1
            last = hub.waiting == 0
            refusal = ""
            try:
                work(desk, last)
            except Refusal as error:
                refusal = str(error)
            if not last:
                return {"number": desk.number, "later": True, "refusal": refusal}
            desk.settle()
            return views.view(desk, looking) | {"number": desk.number, "refusal": refusal}

        return JSONResponse(await hub.change(do))

    async def act(request: Request) -> Response:
        table = await _body(request)
        looking = _looking(table)
        work = _ACTS.get(request.path_params["what"])
        if work is None:
            return Response(status_code=404)

        def do(desk: Desk) -> Table:
            refusal = ""
            try:
                work(desk)
            except Refusal as error:
                refusal = str(error)
            return views.view(desk, looking) | {"number": desk.number, "refusal": refusal}

        return JSONResponse(await hub.change(do))

    async def make(request: Request) -> Response:
        table = await _body(request)
        known = {p["key"] for p in views.products()}
        wanted = table.get("products")
        if not isinstance(wanted, list) or not wanted or not all(isinstance(w, str) and w in known for w in wanted):
            raise BadRequest
        if table.get("paper") not in _PAPERS:
            raise BadRequest
        try:
            await hub.start_make(wanted, table["paper"])
        except Refusal as error:
            return _refused(str(error), 409)
        return JSONResponse({"busy": True})

    async def solve(_request: Request) -> Response:
        hub.solve(0.0)
        return JSONResponse({"busy": True})

    return [
        Route("/api/edit", _safe(edit), methods=["POST"]),
        Route("/api/act/{what}", _safe(act), methods=["POST"]),
        Route("/api/make", _safe(make), methods=["POST"]),
        Route("/api/solve", _safe(solve), methods=["POST"]),
    ]


_ACTS: dict[str, Callable[[Desk], object]] = {
    "undo": lambda d: d.undo(),
    "redo": lambda d: d.redo(),
    "save": lambda d: d.save(),
    "discard": lambda d: d.discard(),
    "merge-mine": lambda d: d.merge(keep_mine=True),
    "merge-file": lambda d: d.merge(keep_mine=False),
}


def _edit(table: Table, looking: Looking) -> Callable[[Desk, bool], None]:
    """Return what an edit does to the desk. Raises BadRequest."""
    kind = table.get("kind")
    if kind == "write":
        where, text = _path(table.get("where")), _text(table, "text", 200)
        return lambda desk, _last: desk.write(where, text)
    picture, key = table.get("picture"), _text(table, "key", 120)
    if picture not in ("plan", "side"):
        raise BadRequest
    u, v = (_number(n) for n in (table.get("u"), table.get("v")))
    if kind == "drag":
        drag, gesture = Drag((u, -v), table.get("fine") is True), _text(table, "gesture", 40)
        return lambda desk, last: desk.drag(looking, picture, key, drag, gesture, check=last)
    if kind == "nudge":
        step = 0.1 if table.get("fine") is True else 1.0
        return lambda desk, _last: desk.nudge(looking, picture, key, (u, -v), step)
    raise BadRequest


Endpoint = Callable[[Request], Awaitable[Response]]


def _safe(endpoint: Endpoint) -> Endpoint:
    async def inner(request: Request) -> Response:
        try:
            return await endpoint(request)
        except BadRequest:
            return Response(status_code=400)
        except ClientDisconnect:
            return Response(status_code=413)
        except Exception as error:  # the last resort: a maker never sees a traceback
            print(f"braces failed: {type(error).__name__}: {error}", file=sys.stderr)
            return _refused("this is a fault of the program, not of your design; nothing was changed", 500)

    return inner


def _refused(why: str, status: int) -> Response:
    return JSONResponse({"refusal": why}, status_code=status)


async def _body(request: Request) -> Table:
    try:
        table = await request.json()
    except (ValueError, RecursionError):
        raise BadRequest from None
    if not isinstance(table, dict):
        raise BadRequest
    return table


def _text(table: Table, key: str, longest: int) -> str:
    value = table.get(key)
    if not isinstance(value, str) or len(value) > longest:
        raise BadRequest
    return value


def _number(value: object) -> float:
    try:
        number = float(value)  # type: ignore[arg-type]
    except (TypeError, ValueError):
        raise BadRequest from None
    if not -1e5 < number < 1e5:
        raise BadRequest
    return number


def _path(value: object) -> Where:
    """Read a path of the file, as a list or as written in an address: top/braces/0/height."""
    parts = value.split("/") if isinstance(value, str) else value
    if not isinstance(parts, list) or len(parts) > 8:
        raise BadRequest
    out: list[str | int] = []
    for part in parts:
        if isinstance(part, bool) or not isinstance(part, str | int) or len(str(part)) > 60:
            raise BadRequest
        if part != "":
            out.append(int(part) if isinstance(part, str) and part.isdigit() and part.isascii() else part)
    return tuple(out)


def _looking(table: Any) -> Looking:
    plate, brace = table.get("plate", "top"), table.get("brace", "")
    if plate not in ("top", "back") or not isinstance(brace, str) or len(brace) > 60:
        raise BadRequest
    return Looking(plate, brace)
