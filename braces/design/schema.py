"""The JSON Schema of a design file (draft 2020-12), for editors that complete and check TOML as it is typed.

It is made from the same fields as the validation. ``python -m braces.design.schema`` writes the copy that is shipped.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from braces.base.units import (
    ANGLE_PATTERN,
    BEDDING,
    DENSITY,
    FORCE,
    LENGTH_PATTERN,
    MODULUS,
    SHARE_PATTERN,
    TEMPERATURE_PATTERN,
    UNIT_WEIGHT,
)
from braces.design.fields import all_parts, key_of, limits_text, value_text
from braces.design.model import Design
from braces.design.quantities import PLACE_PATTERN, REACH_PATTERN

SHIPPED = Path(__file__).parent / "data" / "design.schema.json"
_DIALECT = "https://json-schema.org/draft/2020-12/schema"
_QUANTITIES = {
    "length": (LENGTH_PATTERN, "A length with its unit", ["6.5 mm", "5/16 in", "28 ft"]),
    "angle": (ANGLE_PATTERN, "An angle with its unit", ["98 deg"]),
    "temperature": (TEMPERATURE_PATTERN, "A temperature with its unit", ["20 C", "68 F"]),
    "share": (SHARE_PATTERN, "A percentage", ["50 %"]),
    "reach": (REACH_PATTERN, "A distance, or a share of what it is measured along", ["60 mm", "38 %"]),
    **{
        s.what.removeprefix("a ").split(" of")[0].replace(" ", "_"): (s.pattern, s.what.capitalize(), [s.example])
        for s in (MODULUS, DENSITY, FORCE, UNIT_WEIGHT, BEDDING)
    },
    "place": (PLACE_PATTERN, "A place on the centre line", ["38 mm below the soundhole", "at the saddle"]),
}


def schema_text() -> str:
    """Return the schema as JSON text, the same at every call."""
    return json.dumps(schema(), indent=1, ensure_ascii=False) + "\n"


def schema() -> dict[str, Any]:
    """Return the schema as a table."""
    made = Design.model_json_schema(by_alias=True)
    parts = {part.__name__: part for part in all_parts(Design)}
    defs = {name: _part(definition, parts[name]) for name, definition in sorted(made.pop("$defs").items())}
    defs["BodySpec"] = _outline_or_bouts(defs["BodySpec"])
    quantities = {
        name: {"type": "string", "pattern": pattern, "title": title, "examples": examples}
        for name, (pattern, title, examples) in _QUANTITIES.items()
    }
    return {
        "$schema": _DIALECT,
        **_part(made, Design),
        "title": "Design of a braced guitar",
        "$defs": quantities | defs,
    }


def _part(definition: dict[str, Any], model: type[BaseModel]) -> dict[str, Any]:
    """A part's definition, its fields described with their limits and defaults as a file writes them."""
    fields = {key_of(name, field): (name, field) for name, field in model.model_fields.items()}
    properties = {key: _field(shape, *fields[key]) for key, shape in definition["properties"].items()}
    title = "".join(f" {c.lower()}" if c.isupper() else c for c in model.__name__.removesuffix("Spec")).strip()
    return definition | {"title": title.capitalize(), "properties": properties}


def _outline_or_bouts(body: dict[str, Any]) -> dict[str, Any]:
    """A body names an outline file, or its length and bouts."""
    by_outline = ["length", "lower_bout", "waist", "upper_bout"]
    always = [key for key in body["required"] if key not in by_outline]
    return body | {"required": always, "oneOf": [{"required": ["outline"]}, {"required": by_outline}]}


def _field(shape: dict[str, Any], name: str, field: Any) -> dict[str, Any]:
    made = _plain(shape)
    made.pop("title", None)
    default = field.default
    if isinstance(default, bool | str):
        made["default"] = default
    elif isinstance(default, int | float):
        made["default"] = value_text(name, default) if "$ref" in made else default
    limits = limits_text(name, field) if "$ref" in made else ""
    text = "; ".join(t for t in (field.description or "", limits) if t)
    return made | ({"description": text} if text else {})


def _plain(shape: dict[str, Any]) -> dict[str, Any]:
    """The shape of a value without nulls, which TOML does not have, and with its quantity named."""
    options = [o for o in shape.get("anyOf", ()) if o != {"type": "null"}]
    if len(options) == 1:
        shape = options[0]
    kept = {k: v for k, v in shape.items() if k not in ("default", "discriminator")}
    for name, (pattern, _, _) in _QUANTITIES.items():
        if kept.get("pattern") == pattern:
            return {"$ref": f"#/$defs/{name}"}
    if isinstance(items := kept.get("items"), dict):
        kept["items"] = _plain(items)
    if "prefixItems" in kept:
        kept["prefixItems"] = [_plain(item) for item in kept["prefixItems"]]
    return kept


if __name__ == "__main__":
    SHIPPED.write_text(schema_text(), encoding="utf-8")
