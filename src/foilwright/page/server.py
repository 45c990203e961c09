"""The application: one folder of builds, served to this machine's browsers; nothing comes from any other host."""

from __future__ import annotations

import asyncio
import socket
import webbrowser
from collections.abc import Callable
from pathlib import Path
from typing import Any
from urllib.parse import quote

import uvicorn
from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse
from nicegui import app as pages
from nicegui import ui

from foilwright.build import load
from foilwright.build.save import write_new
from foilwright.core.errors import FoilwrightError, PlaceError
from foilwright.page import landing, start
from foilwright.page.desk import plain_name
from foilwright.page.gate import Gate, Guard
from foilwright.page.room import House
from foilwright.page.screen import Screen

HERE = Path(__file__).parent
STYLE = "".join((HERE / name).read_text(encoding="utf-8") for name in ("page.css", "places.css"))
SCRIPT = (HERE / "page.js").read_text(encoding="utf-8")
HEAD = f"<style>{STYLE}</style><script>{SCRIPT}</script>"


def application(house: House, first: str) -> FastAPI:
    """Return the application for one folder; ``first`` is the build that is opened at once, if any."""
    made = FastAPI(title="Foilwright", docs_url=None, redoc_url=None, openapi_url=None)

    @made.post("/bring")
    async def bring(request: Request) -> JSONResponse:
        return await _brought(house, request)

    landing.routes(made, house)

    @ui.page("/", title="Foilwright")
    def home() -> None:
        if first:
            ui.navigate.to(f"/build/{quote(first)}")
            return
        start.show(house, HEAD)

    @ui.page("/start", title="Foilwright: builds")
    def begin() -> None:
        start.show(house, HEAD)

    @ui.page("/build/{name}", title="Foilwright")
    def build(name: str) -> None:
        ui.add_head_html(HEAD)
        try:
            room = house.room(name)
        except FoilwrightError as error:
            start.show(house, "", told=str(error))
            return
        if room is None:
            start.show(house, "", told=f"There is no build file of that name in {house.folder.name}.")
            return
        ui.page_title(f"{room.desk.build.name} · Foilwright")
        screen = Screen(house, room)
        screen.stir()

    pages.on_shutdown(house.end)
    pages.config.quasar_config["loadingBar"]["skipHijack"] = True  # a bar of its own that says nothing
    ui.run_with(
        made, title="Foilwright", favicon=MARK, tailwind=False, language="en-US", show_welcome_message=False,
        reconnect_timeout=20.0, binding_refresh_interval=None, message_history_length=200,
    )  # fmt: skip
    return made


MARK = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32"><rect width="32" height="32" rx="7" fill="#0d5666"/>'
    '<path d="M5 11.5h22M15 12l-1 11M7 23.5c5-2.5 12-2.5 18 0" stroke="#fff" stroke-width="2.6" fill="none"'
    ' stroke-linecap="round"/></svg>'
)


async def _brought(house: House, request: Request) -> JSONResponse:
    """Take a build file that was brought from elsewhere; its name is never a path, nothing is overwritten."""
    body = bytearray()
    async for piece in request.stream():
        body += piece
        if len(body) > load.LARGEST:
            return JSONResponse({"told": f"More than {load.LARGEST} bytes are no build file."}, status_code=413)
    given = request.query_params.get("name", "")
    try:
        name = plain_name(given)
        build = load.read(body.decode("utf-8-sig"), name=name, file=f"{name}.toml", beside=house.folder)
        place = house.folder / f"{name}.toml"
        with place.open("x", encoding="utf-8", newline="") as file:
            file.write(build.text)
    except UnicodeDecodeError:
        return JSONResponse({"told": "That is no text; a build file is TOML, saved as UTF-8."}, status_code=422)
    except FileExistsError:
        return JSONResponse({"told": f"{name}.toml is there already; give the file another name."}, status_code=409)
    except OSError as error:
        return JSONResponse({"told": f"It cannot be written here: {error.strerror or error}."}, status_code=422)
    except FoilwrightError as error:
        return JSONResponse({"told": "\n".join(str(error).splitlines()[:4])}, status_code=422)
    return JSONResponse({"go": f"/build/{quote(place.name)}"})


def new_from(house: House, scenario: str, name: str) -> Path:
    """Write a new build file, with every field explained, from one that ships with the program."""
    plain = plain_name(name)
    place = house.folder / f"{plain}.toml"
    write_new(load.scenario(scenario), place)
    return place


def serve(
    build: Path | None, *, host: str, port: int, tell: Callable[[str], None], show: bool, folder: Path | None = None
) -> None:
    """Serve the page until it is interrupted.

    Parameters
    ----------
    build : Path or None
        The build to open; none for a choice of those in this folder.
    host : str
        The address to bind to; any but this machine's own asks each browser for a token.
    port : int
        The port; 0 for any that is free.
    tell : callable
        Hears each address that opens the page.
    show : bool
        Open the page in a browser.
    """
    bound = _bound(host, port)
    gate = Gate(host, bound.getsockname()[1], tell)
    house = House((build.parent if build is not None else folder or Path()).resolve())
    made = application(house, build.name if build is not None else "")
    settings = uvicorn.Config(
        Guard(made, gate), log_level="warning", access_log=False, server_header=False, ws_max_size=4_000_000,
        timeout_graceful_shutdown=2, lifespan="on",
    )  # fmt: skip
    tell(gate.address())
    server = uvicorn.Server(settings)

    async def run() -> None:
        if show:
            asyncio.get_running_loop().call_later(0.8, webbrowser.open, gate.address())
        await server.serve(sockets=[bound])

    asyncio.run(run())


def _bound(host: str, port: int) -> socket.socket:
    family: Any = socket.AF_INET6 if ":" in host else socket.AF_INET
    made = socket.socket(family, socket.SOCK_STREAM)
    made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        made.bind((host, port))
        made.listen(128)
    except (OSError, OverflowError) as error:
        made.close()
        why = getattr(error, "strerror", None) or str(error)
        raise PlaceError(f"the page cannot be served at {host}:{port}: {why}; try another --port") from None
    return made
