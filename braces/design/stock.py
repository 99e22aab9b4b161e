"""The fields about the maker's own wood: what blanks and tools allow, and sticks and plates that were measured."""

from __future__ import annotations

from pydantic import ConfigDict, Field

from braces.design.part import Part
from braces.design.quantities import Density, Length, Modulus, Percent, PlainText


class OwnWoodSpec(Part):
    """A stick or plate of your own, [stock.NAME], measured; a wood = "NAME" then means this one."""

    like: str | None = Field(
        None, description="the wood of the table that it is, for every number not given here; its own name if not given"
    )
    density_kg_m3: Density | None = Field(None, alias="density", ge=60, le=1500, description="weighed")
    e_along_mpa: Modulus | None = Field(
        None, alias="e_along", ge=500, le=40000, description="modulus along the grain, as braces stock finds it"
    )
    e_across_mpa: Modulus | None = Field(
        None, alias="e_across", ge=20, le=10000, description="modulus across the grain in the plane of a plate"
    )
    shear_mpa: Modulus | None = Field(
        None, alias="shear", ge=20, le=10000, description="shear modulus in the plane of a plate"
    )
    density_spread_fraction: Percent | None = Field(
        None, alias="density_spread", ge=0, le=0.5, description="standard uncertainty of the density"
    )
    e_along_spread_fraction: Percent | None = Field(
        None, alias="e_along_spread", ge=0, le=0.5, description="standard uncertainty of e_along"
    )
    note: PlainText = Field("", max_length=120, description="where the stick comes from, how it was measured")


class StockSpec(Part):
    """What the blanks and the tools allow; beside it [stock.NAME] sections, one for each piece of wood measured."""

    model_config = ConfigDict(extra="allow")
    __pydantic_extra__: dict[str, OwnWoodSpec] = Field(init=False)

    tightest_tool_radius_mm: Length = Field(
        25.0,
        alias="tightest_tool_radius",
        ge=1,
        le=500,
        description="smallest hollow the chisel sweep or sanding drum can follow",
    )
    extra_length_mm: Length = Field(
        20.0, alias="extra_length", ge=0, le=200, description="blank over-length, both ends together"
    )
    extra_height_mm: Length = Field(2.0, alias="extra_height", ge=0, le=30, description="blank over-height")
    relief_left_mm: Length = Field(
        1.0,
        alias="relief_left",
        ge=0,
        le=6,
        description="wood left above the finished valley under a relief cut",
    )

    @property
    def pieces(self) -> dict[str, OwnWoodSpec]:
        """The measured sticks and plates, by the names the file gives them."""
        return self.__pydantic_extra__ or {}
