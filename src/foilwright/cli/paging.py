"""`page`: the craft in a browser."""

from __future__ import annotations

from pathlib import Path

from foilwright.cli.app import FINE, Flag, app
from foilwright.core.errors import PlaceError
from foilwright.core.extras import need


@app.command
def page(build: Path | None = None, /, *, host: str = "127.0.0.1", port: int = 8420, no_browser: Flag = False) -> int:
    """Open the craft in a browser: change a number and see every answer follow.

    The page is served from this machine, to this machine, until the command is interrupted; what is
    changed and not saved is kept in a draft beside the build. Exit status: 3 where the extra `page` is
    missing or the page cannot be served.

    Parameters
    ----------
    build
        The build file; left out: a choice of those in this folder.
    host
        Address to serve at, such as 0.0.0.0 for others in the same network (a phone at the beach). Each
        browser then needs a token, which is printed here and works once; the next is printed as soon as
        it is used. What travels is not encrypted: use it in a network that you trust.
    port
        Port to serve at; 0 for one that is free.
    no_browser
        Print the address and open no browser.
    """
    need("nicegui", extra="page")
    need("plotly", extra="page")
    from foilwright.build.load import scenarios  # noqa: PLC0415
    from foilwright.page import server  # noqa: PLC0415

    if build is not None and not build.is_file():
        begin = f"; to begin one of that name: foilwright new {build.stem}" if build.suffix in ("", ".toml") else ""
        if begin and build.stem in scenarios():
            begin += f" --from {build.stem}"
        raise PlaceError(f"{build} is no file{begin}; to choose from those in this folder: foilwright page")
    local = host in ("127.0.0.1", "localhost", "::1")
    shows = local and not no_browser

    def tell(address: str) -> None:
        front = "The page is at" if local else "For one browser, once:"
        print(f"{front} {address}", flush=True)

    if not local:
        print(
            "Others in this network can reach the page. Each browser needs its own token, printed below; whoever"
            " has one can read and change the builds in this folder. Nothing is encrypted on the way."
        )
    print("Ctrl+C ends it; what is not saved is kept.", flush=True)
    server.serve(build, host=host, port=port, tell=tell, show=shows)
    return FINE
