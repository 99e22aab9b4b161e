"""The base of every part of a design."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict


class Part(BaseModel):
    """Frozen; a key it does not know is an error; texts with units come in through their aliases."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=False)
