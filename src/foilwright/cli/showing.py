"""`ready`, `evidence` and `installed`: cards, checks, and what is here."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from foilwright.cli.app import FINE, AsJson, Flag, app
from foilwright.cli.given import build_of, print_json

if TYPE_CHECKING:
    pass


@app.command
def ready(
    build: str,
    /,
    *cards: str,
    folder: Annotated[Path | None, Parameter(name=["-o", "--folder"])] = None,
    no_pdf: Flag = False,
) -> int:
    """Write bench tests, sheets, cards for bench and beach, and the staged plan of trials of a build.

    Without -o: the index of the cards, or the named ones. With -o: ready.md, ready.pdf and session.toml.

    Parameters
    ----------
    build
        The build file.
    cards
        Names of cards to print here; all for every one.
    folder
        Folder to write into; a session.toml that is there is left alone, for it holds readings.
    no_pdf
        Leave the PDF out.
    """
    from foilwright.parts import ready as cards_of  # noqa: PLC0415

    made = build_of(build, {}, [])
    all_cards = cards_of.cards(made)
    if folder is None:
        print(cards_of.text(all_cards, cards, build), end="")
        return FINE
    kept = cards_of.chosen(all_cards, cards) if cards else all_cards
    written = cards_of.write(made, kept, folder, printed=not no_pdf)
    print(f"In {folder}: {', '.join(path.name for path in written)}")
    return FINE


@app.command
def evidence(*, json_: AsJson = False) -> int:
    """Show every check against a published value, with its source and error.

    Exit status: 0 unless a value is missed and nobody said why.

    Parameters
    ----------
    json_
        Print the documented JSON instead of text.
    """
    from foilwright.study import evidence as study  # noqa: PLC0415

    checks = study.run()
    if json_:
        print_json(study.document(checks))
    else:
        print(study.text(checks))
    return study.exit_status(checks)


@app.command
def installed(*, json_: AsJson = False) -> int:
    """Show what is installed, what an extra would add, and how to get it.

    Parameters
    ----------
    json_
        Print JSON instead of text.
    """
    from foilwright import installed as here  # noqa: PLC0415

    found = here.look()
    if json_:
        print_json(here.document(found))
    else:
        print(here.text(found))
    return FINE
