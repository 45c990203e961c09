"""Who is let in: names, origins, sizes, tokens."""

from __future__ import annotations

from pathlib import Path

import pytest

from foilwright.cli.paging import page
from foilwright.core.errors import PlaceError
from foilwright.page.gate import COOKIE, LARGEST, Gate

EVERYWHERE = "0.0.0.0"  # noqa: S104


def _asked(*, method: str = "GET", query: str = "", **heads: str) -> dict[str, object]:
    pairs = [(name.replace("_", "-").encode(), value.encode()) for name, value in heads.items()]
    return {"type": "http", "method": method, "path": "/", "query_string": query.encode(), "headers": pairs}


def _gate(host: str = "127.0.0.1") -> tuple[Gate, list[str]]:
    told: list[str] = []
    return Gate(host, 8420, told.append), told


@pytest.mark.parametrize("host", ["127.0.0.1:8420", "localhost:8420", "[::1]:8420"])
def test_this_machine_is_let_in(host: str) -> None:
    gate, _ = _gate()
    assert gate.refusal(_asked(host=host)) is None
    assert gate.refusal(_asked(host=host, origin=f"http://{host}")) is None


@pytest.mark.parametrize(
    "host", ["evil.example:8420", "127.0.0.1:9", "", "127.0.0.1.evil.example:8420", "10.0.0.5:8420", "a:b:c"]
)
def test_a_foreign_name_is_refused(host: str) -> None:
    gate, _ = _gate()
    assert gate.refusal(_asked(host=host)) is not None


@pytest.mark.parametrize("origin", ["http://evil.example", "null", "http://127.0.0.1:9999", "file://127.0.0.1:8420"])
def test_a_foreign_origin_is_refused(origin: str) -> None:
    gate, _ = _gate()
    assert gate.refusal(_asked(host="127.0.0.1:8420", origin=origin)) is not None


def test_what_is_sent_must_come_from_the_page() -> None:
    gate, _ = _gate()
    assert gate.refusal(_asked(method="POST", host="127.0.0.1:8420")) is not None


def test_too_much_is_refused() -> None:
    gate, _ = _gate()
    asked = _asked(
        method="POST", host="localhost:8420", origin="http://localhost:8420", content_length=str(LARGEST + 1)
    )
    refused = gate.refusal(asked)
    assert refused is not None
    assert refused[0] == 413


def test_a_token_lets_one_browser_in_once() -> None:
    gate, told = _gate(EVERYWHERE)
    token = gate.token
    plain = _asked(host="192.168.1.7:8420")
    assert gate.refusal(plain) is None
    assert not gate.lets_in(plain)
    assert gate.admits(_asked(host="192.168.1.7:8420", query="token=wrong")) is None
    mark = gate.admits(_asked(host="192.168.1.7:8420", query=f"token={token}"))
    assert mark is not None
    assert gate.lets_in(_asked(host="192.168.1.7:8420", cookie=f"{COOKIE}={mark}"))
    assert not gate.lets_in(_asked(host="192.168.1.7:8420", cookie=f"{COOKIE}=other"))
    assert gate.admits(_asked(host="192.168.1.7:8420", query=f"token={token}")) is None
    assert told
    assert gate.token in told[0]
    assert gate.token != token


def test_names_are_refused_even_with_a_token() -> None:
    gate, _ = _gate(EVERYWHERE)
    assert gate.refusal(_asked(host="evil.example:8420", query=f"token={gate.token}")) is not None


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("first-try.toml", "foilwright new first-try --from first-try"),
        ("mine.toml", "foilwright new mine;"),
        ("mine.zip", "is no file; to choose"),
    ],
)
def test_a_build_that_is_not_there_is_begun_by_a_command(tmp_path: Path, name: str, told: str) -> None:
    with pytest.raises(PlaceError, match="is no file") as error:
        page(tmp_path / name)
    assert told in str(error.value)
