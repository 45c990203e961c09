"""Text made fit for a browser: shown, never obeyed."""

from __future__ import annotations

from html import escape


def safe(text: object) -> str:
    """Return a text so that a browser shows it and does not obey it."""
    return escape(str(text), quote=True)


def unbroken(text: object) -> str:
    """Return a safe text in which a number and its per cent stay on one line."""
    return safe(text).replace(" %", "\u00a0%")


def given(**pairs: object) -> str:
    """Return data attributes of an element; what does what it says when pressed has ``do``."""
    return " ".join(f'data-{name.replace("_", "-")}="{safe(value)}"' for name, value in pairs.items() if value != "")


def button(told: str, do: str, *, kind: str = "", off: bool = False, label: str = "", **pairs: object) -> str:
    """Return a button that does something; ``told`` is text that is safe already."""
    named = f' aria-label="{safe(label)}" title="{safe(label)}"' if label else ""
    return (
        f'<button type="button" class="button {kind}" {given(do=do, **pairs)}{named}{" disabled" if off else ""}>'
        f"{told}</button>"
    )
