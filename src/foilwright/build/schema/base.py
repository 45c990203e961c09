"""The base of every table of the build file: strict keys, texts into SI by the field's own meta."""

from __future__ import annotations

import functools
from typing import Any, cast

from pydantic import BaseModel, ConfigDict, ValidationInfo, field_validator

from foilwright.build.schema.field import Meta


class Block(BaseModel):
    """One table of the build file."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    @field_validator("*", mode="before")
    @classmethod
    def _read(cls, written: Any, info: ValidationInfo) -> Any:
        meta = cls.meta(info.field_name or "")
        return written if meta is None else meta.admitting(info.context or {}).read(written)

    @classmethod
    def meta(cls, name: str) -> Meta | None:
        """Return what is known about a field, or None for a nested table."""
        extra = cls.model_fields[name].json_schema_extra
        return cast("Meta", extra["meta"]) if isinstance(extra, dict) and "meta" in extra else None

    @classmethod
    def metas(cls) -> dict[str, Meta]:
        """Return the fields of this table that hold a value, in order."""
        return _metas(cls)


@functools.cache
def _metas(block: type[Block]) -> dict[str, Meta]:
    found = {name: block.meta(name) for name in block.model_fields}
    return {name: meta for name, meta in found.items() if meta is not None}
