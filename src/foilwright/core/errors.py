"""The one error tree: every message is a sentence that a maker can act on."""

from __future__ import annotations

from dataclasses import dataclass


class FoilwrightError(Exception):
    """Anything that Foilwright itself has to say about what it was given."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing wrong in a build file or on the command line.

    ``file``, ``line`` and ``field`` say where; ``got`` what was written; ``allowed`` and
    ``example`` what would be right; ``nearest`` the known key that looks most like the unknown one.
    """

    file: str
    line: int | None
    field: str
    got: str
    allowed: str
    example: str
    nearest: str | None = None

    def sentence(self) -> str:
        """Return the fault as text: where, what was written, what is allowed, an example."""
        place = self.file if self.line is None else f"{self.file}, line {self.line}"
        where = f"{place}, {self.field}" if self.field else place
        text = f"{where}: got {self.got}; allowed: {self.allowed}"
        if self.nearest:
            text += f"; did you mean {self.nearest}?"
        return f"{text} (example: {self.example})" if self.example else text


class BuildFileError(FoilwrightError):
    """The text does not make a Build: one or several faults, told together."""

    def __init__(self, faults: list[Fault] | tuple[Fault, ...]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(fault.sentence() for fault in self.faults))


class MissingExtraError(FoilwrightError):
    """A part of Foilwright needs a library that is not installed."""


class PlaceError(FoilwrightError):
    """A file or folder cannot be read or written."""


class DataError(FoilwrightError):
    """A table that ships with Foilwright, or a maker's own data file, is not as it must be."""


class ModelError(FoilwrightError):
    """A physics function was called in a way that has no meaning (a programmer's mistake)."""
