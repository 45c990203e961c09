"""Files that come to the page and go from it: days on the water brought in, parts taken away."""

from __future__ import annotations

import asyncio
import os
import shutil
import tempfile
from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.responses import FileResponse, JSONResponse, PlainTextResponse, Response
from starlette.background import BackgroundTask
from starlette.requests import ClientDisconnect

from foilwright.core.errors import FoilwrightError, PlaceError
from foilwright.page import water
from foilwright.page.room import House, Room
from foilwright.parts.ready.session import blank

TOLD = 4
"""Sentences that are told of one file."""
SHOWN = {".html", ".svg", ".png", ".pdf", ".md"}
"""Endings of what a browser shows; all else is kept as a file."""


def routes(made: FastAPI, house: House) -> None:
    """Add the addresses at which files come and go."""

    @made.post("/day")
    async def day(request: Request) -> JSONResponse:
        return await _brought(house, request)

    @made.get("/sheet/{name}")
    async def sheet(name: str) -> Response:
        room = _room(house, name)
        if room is None:
            return JSONResponse({"told": "There is no build file of that name in this folder."}, status_code=404)
        heads = {"content-disposition": 'attachment; filename="day.toml"'}
        return PlainTextResponse(blank(room.desk.build), media_type="application/toml", headers=heads)

    @made.get("/made/{name}.zip")
    async def archive(name: str) -> Response:
        return await _archive(house, name)

    @made.get("/made/{name}/{file:path}")
    async def part(name: str, file: str) -> Response:
        room = _room(house, name)
        found = None if room is None else await asyncio.to_thread(room.shop.file, file)
        if found is None:
            return JSONResponse({"told": "There is no such part; make the parts first."}, status_code=404)
        return FileResponse(found) if found.suffix in SHOWN else FileResponse(found, filename=found.name)


def _room(house: House, name: str) -> Room | None:
    try:
        return house.room(name)
    except FoilwrightError:
        return None


async def _archive(house: House, name: str) -> Response:
    room = _room(house, name)
    if room is None or not room.shop.files():
        return JSONResponse({"told": "There are no parts yet; make them first."}, status_code=404)
    handle, path = tempfile.mkstemp(prefix="foilwright-", suffix=".zip")
    os.close(handle)
    out = Path(path)
    try:
        await asyncio.to_thread(room.shop.archive, out)
    except PlaceError as error:
        out.unlink(missing_ok=True)
        return JSONResponse({"told": str(error)}, status_code=422)
    return FileResponse(
        out, filename=f"{room.shop.folder.name}.zip", background=BackgroundTask(out.unlink, missing_ok=True)
    )


async def _brought(house: House, request: Request) -> JSONResponse:
    """Take one file of a day as it comes, in pieces; it is read before it gets its place beside the build."""
    asked = request.query_params
    room = _room(house, asked.get("build", ""))
    if room is None:
        return _refused("There is no build file of that name in this folder.", 404)
    try:
        name = water.plain_name(asked.get("name", ""), asked.get("day", ""))
        most = water.SUFFIXES[Path(name).suffix]
        with tempfile.TemporaryDirectory(prefix=".coming-", dir=house.folder) as coming:
            path = Path(coming) / name
            if not await _written(request, path, most):
                return _refused(
                    f"{name}: more than {most // 1_000_000} MB are no file of one day; it was not kept.", 413
                )
            told = await house.helper.run("checked", room.desk.build, path)
            again = await asyncio.to_thread(_placed, path, house.folder / name)
    except ClientDisconnect:
        return _refused("It did not arrive whole; nothing was kept.", 400)
    except FoilwrightError as error:
        return _refused("\n".join(str(error).splitlines()[:TOLD]), 422)
    except OSError as error:
        return _refused(f"It cannot be written here: {error.strerror or error}.", 422)
    room.stir()
    return JSONResponse({"told": f"{name} {'was there already' if again else 'is kept'}: {told}."})


def _refused(told: str, status: int) -> JSONResponse:
    return JSONResponse({"told": told}, status_code=status)


async def _written(request: Request, path: Path, most: int) -> bool:
    """Write what comes, a piece at a time; say whether it was no more than is taken."""
    size = 0
    with path.open("xb") as out:
        async for piece in request.stream():
            size += len(piece)
            if size > most:
                return False
            out.write(piece)
    return True


def _placed(path: Path, place: Path) -> bool:
    """Put a file in its place, which must be free or hold the same; say whether it held the same."""
    try:
        with place.open("xb") as out, path.open("rb") as come:
            shutil.copyfileobj(come, out)
    except FileExistsError:
        if place.is_file() and place.read_bytes() == path.read_bytes():
            return True
        raise PlaceError(
            f"{place.name} is there already and says something else; nothing was overwritten. Give the day another"
            " name."
        ) from None
    except OSError:
        place.unlink(missing_ok=True)
        raise
    return False
