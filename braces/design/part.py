"""The base of every part of a design."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict


class Part(BaseModel):
    """Frozen; a key it does not know is an error; texts with units come in through their aliases.

    Validators are built when a file is first read, once for all parts: building each alone doubles the start-up.
    """

    model_config = ConfigDict(
        frozen=True, extra="forbid", populate_by_name=False, defer_build=True, arbitrary_types_allowed=True
    )
