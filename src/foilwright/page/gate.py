"""Who is let in: only this machine's own names and addresses, no page of another site, and with --host a token."""

from __future__ import annotations

import hmac
import ipaddress
import secrets
import socket
from collections.abc import Callable
from http.cookies import CookieError, SimpleCookie
from typing import Any
from urllib.parse import parse_qs, urlsplit

from foilwright.page.marks import safe

HERE = "127.0.0.1"
LOCAL = ("localhost", HERE, "::1")
COOKIE = "foilwright"
LARGEST = 2_000_000
"""Bytes of a request at most; a build file has half of it."""
LARGER = {"/day": 62_000_000}
"""Bytes of a request at most where tracks and logs come in, which are written to the disk as they come."""

Scope = dict[str, Any]
HEAD = (
    '<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">'
    '<title>Foilwright</title><body style="font:1.1rem/1.5 system-ui,sans-serif;max-width:34rem;margin:3rem auto;'
    'padding:0 1rem"><h1 style="font-size:1.4rem">'
)


class Gate:
    """Decides on each request before anything else sees it.

    Parameters
    ----------
    host : str
        The address that the page is bound to.
    tell : callable
        Hears the address with the next token, when one has been used; each lets one browser in.
    """

    def __init__(self, host: str, port: int, tell: Callable[[str], None]) -> None:
        self.host, self.port, self._tell = host, port, tell
        self.guarded = host not in LOCAL
        self.token = secrets.token_urlsafe(24)
        self._known: set[str] = set()

    def address(self) -> str:
        """Return where the page is, with the token that lets one browser in."""
        shown = _own_address() if self.host in ("0.0.0.0", "::") else self.host  # noqa: S104
        shown = f"[{shown}]" if ":" in shown else shown
        return f"http://{shown}:{self.port}/" + (f"?token={self.token}" if self.guarded else "")

    def named_right(self, name: str) -> bool:
        """Say whether a request is meant for this machine: a foreign name that leads here is a trap."""
        if name in LOCAL:
            return True
        if not self.guarded:
            return False
        if name in (self.host, socket.gethostname().lower(), f"{socket.gethostname().lower()}.local"):
            return True
        try:
            ipaddress.ip_address(name)
        except ValueError:
            return False
        return self.host in ("0.0.0.0", "::")  # noqa: S104

    def refusal(self, scope: Scope) -> tuple[int, str] | None:
        """Return why a request is refused; None where it may pass."""
        heads = _heads(scope)
        host = _host(heads.get("host", ""))
        if not self.named_right(host[0]) or (host[1] is not None and host[1] != self.port):
            return 421, "This page answers only to the address under which it was started."
        origin = heads.get("origin", "")
        if origin and (urlsplit(origin).scheme not in ("http", "https") or _host(urlsplit(origin).netloc) != host):
            return 403, "A page of another site asked for this; it gets nothing."
        if scope.get("method") == "POST" and not origin:
            return 403, "What is sent here must come from the page itself."
        if int(heads["content-length"]) > most(scope) if heads.get("content-length", "").isdigit() else False:
            return 413, f"More than {most(scope)} bytes at once are not taken."
        return None

    def lets_in(self, scope: Scope) -> bool:
        """Say whether a browser has shown a token before."""
        if not self.guarded:
            return True
        jar = SimpleCookie()
        try:
            jar.load(_heads(scope).get("cookie", ""))
        except CookieError:
            return False
        shown = jar[COOKIE].value if COOKIE in jar else ""
        return any(hmac.compare_digest(shown.encode(), each.encode()) for each in self._known)

    def admits(self, scope: Scope) -> str | None:
        """Take a token; return the cookie that stands for it from then on. A token works once."""
        given = parse_qs(scope.get("query_string", b"").decode("latin-1")).get("token", [""])[0]
        if not self.guarded or not given or not hmac.compare_digest(given.encode(), self.token.encode()):
            return None
        mark = secrets.token_urlsafe(24)
        self._known.add(mark)
        self.token = secrets.token_urlsafe(24)
        self._tell(self.address())
        return mark


def most(scope: Scope) -> int:
    """Return how many bytes a request may have."""
    return LARGER.get(str(scope.get("path", "")), LARGEST)


def _heads(scope: Scope) -> dict[str, str]:
    return {name.decode("latin-1").lower(): value.decode("latin-1") for name, value in scope.get("headers", [])}


def _host(netloc: str) -> tuple[str, int | None]:
    try:
        parts = urlsplit(f"//{netloc}")
        return (parts.hostname or "").lower(), parts.port
    except ValueError:
        return "", None


def _own_address() -> str:
    """Return the address under which others in the same network find this machine; nothing is sent for it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))
            return str(probe.getsockname()[0])
        except OSError:
            return HERE


class Guard:
    """The gate around an application; no foreign content, no frames, nothing kept by a cache in between."""

    def __init__(self, app: Any, gate: Gate) -> None:
        self.app, self.gate = app, gate

    async def __call__(self, scope: Scope, receive: Any, send: Any) -> None:
        """Refuse a request, or pass it on."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        refused = self.gate.refusal(scope)
        if refused is None and not self.gate.lets_in(scope):
            mark = self.gate.admits(scope) if scope["type"] == "http" and scope["method"] == "GET" else None
            if mark is not None:
                cookie = f"{COOKIE}={mark}; HttpOnly; SameSite=Strict; Path=/"
                await _answer(send, 303, "", ((b"location", scope["path"].encode()), (b"set-cookie", cookie.encode())))
                return
            refused = (
                401,
                (
                    "This page needs the token that stands in the terminal where it was started. Each token lets one"
                    " browser in, once; the terminal then shows the next."
                ),
            )
        if refused is None:
            await self._pass(scope, receive, send)
        elif scope["type"] == "websocket":
            await receive()
            await send({"type": "websocket.close", "code": 1008})
        else:
            await _answer(send, refused[0], f"{HEAD}Not let in</h1><p>{safe(refused[1])}</p>")

    async def _pass(self, scope: Scope, receive: Any, send: Any) -> None:
        reader = _Reader(receive, most(scope))
        try:
            await self.app(scope, reader, _sealed(send))
        except RuntimeError:
            if not reader.left:  # a browser that was closed waits for no answer
                raise


class _Reader:
    """Reads a request and stops where more arrives than is taken, whatever was announced; knows whether it was left."""

    def __init__(self, receive: Any, most: int) -> None:
        self._receive, self._most, self._seen, self.left = receive, most, 0, False

    async def __call__(self) -> Any:
        message = await self._receive()
        self._seen += len(message.get("body", b"")) if message["type"] == "http.request" else 0
        if self._seen > self._most:
            message = {"type": "http.disconnect"}
        self.left = self.left or message["type"] == "http.disconnect"
        return message


def _sealed(send: Any) -> Any:
    """Return a sender that adds what keeps foreign content out."""

    async def pass_on(message: Any) -> None:
        if message["type"] == "http.response.start":
            message["headers"] = [*message.get("headers", []), *SEALS]
        await send(message)

    return pass_on


POLICY = (
    "default-src 'self'; script-src 'self' 'unsafe-inline' 'unsafe-eval'; style-src 'self' 'unsafe-inline';"
    " img-src 'self' data: blob:; font-src 'self' data:; connect-src 'self'; object-src 'none';"
    " frame-ancestors 'none'; base-uri 'self'; form-action 'self'"
)
SEALS = (
    (b"content-security-policy", POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
)


async def _answer(send: Any, status: int, text: str, heads: tuple[tuple[bytes, bytes], ...] = ()) -> None:
    body = text.encode()
    plain = ((b"content-type", b"text/html; charset=utf-8"), (b"content-length", str(len(body)).encode()))
    await send({"type": "http.response.start", "status": status, "headers": [*plain, *SEALS, *heads]})
    await send({"type": "http.response.body", "body": body})
