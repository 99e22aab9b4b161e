"""The JSON Schema: the presets fit it, broken files do not, and it says nothing that TOML cannot.

The checker below knows the few keywords of draft 2020-12 that the schema uses, and refuses to meet any other.
"""

import copy
import re
from typing import Any

import pytest
from support.designs import BAD, raw_of

from braces.design.load import preset_names
from braces.design.schema import schema, schema_text

SCHEMA = schema()
KINDS = {"string": str, "object": dict, "array": list, "integer": int, "boolean": bool}
SILENT = {"type", "title", "description", "examples", "default", "$schema", "$defs"}


def faults(value: Any, shape: dict[str, Any], place: str = "") -> list[str]:
    """What a value lacks to fit a shape."""
    found: list[str] = []
    kind = shape.get("type")
    if kind and (not isinstance(value, KINDS[kind]) or (kind == "integer" and isinstance(value, bool))):
        return [f"{place}: no {kind}"]
    for word, says in shape.items():
        if word in SILENT:
            continue
        if word == "$ref":
            found += faults(value, SCHEMA["$defs"][says.removeprefix("#/$defs/")], place)
        elif word == "oneOf":
            fitting = [s for s in says if not faults(value, s, place)]
            found += [] if len(fitting) == 1 else [f"{place}: fits {len(fitting)} of {len(says)}"]
        elif word == "anyOf":
            found += [] if any(not faults(value, s, place) for s in says) else [f"{place}: fits none"]
        elif word == "properties":
            for key in value.keys() & says.keys():
                found += faults(value[key], says[key], f"{place}.{key}")
        elif word == "additionalProperties":
            for key in value.keys() - shape.get("properties", {}).keys():
                found += faults(value[key], says, f"{place}.{key}") if says else [f"{place}.{key}: unknown"]
        elif word == "required":
            found += [f"{place}.{k}: missing" for k in says if k not in value]
        elif word == "items":
            for i, item in enumerate(value):
                found += faults(item, says, f"{place}[{i}]") if isinstance(says, dict) else []
        elif word == "prefixItems":
            for i, (item, s) in enumerate(zip(value, says, strict=False)):
                found += faults(item, s, f"{place}[{i}]")
        elif word in ("minItems", "minLength"):
            found += [f"{place}: short"] if len(value) < says else []
        elif word in ("maxItems", "maxLength"):
            found += [f"{place}: long"] if len(value) > says else []
        elif word == "minimum":
            found += [f"{place}: low"] if value < says else []
        elif word == "maximum":
            found += [f"{place}: high"] if value > says else []
        elif word == "pattern":
            found += [] if re.search(says, value) else [f"{place}: {value!r} does not fit"]
        elif word in ("enum", "const"):
            found += [] if value in (says if word == "enum" else [says]) else [f"{place}: {value!r} not allowed"]
        else:
            raise AssertionError(f"the schema uses a word this checker does not know: {word}")
    return found


@pytest.mark.parametrize("name", [*preset_names(), "siskin"])
def test_sound_designs_fit(name: str) -> None:
    assert faults(raw_of(name), SCHEMA) == []


#: Codes that an editor can see without knowing geometry.
VISIBLE = ("K01", "K02", "K03", "V01", "V02", "V04")
ONLY_INSIDE = {  # what a schema cannot say of a text
    "K02-neither-bow-nor-radius",
    "K02-no-height-of-a-tucked-end",
    "K02-no-dome-radius",
    "K02-own-string-without-pull",
    "K02-own-wood-like-nothing",
    "V01-place-without-unit",
    "V02-division-by-nothing",
    "V02-name-with-a-control-character",
    "V04-filament",
    "V04-unknown-tool",
}


@pytest.mark.parametrize("path", [p for p in sorted(BAD.glob("*.toml")) if p.name[:3] in VISIBLE], ids=lambda p: p.stem)
def test_broken_designs_do_not_fit(path: Any) -> None:
    import tomllib

    found = faults(tomllib.loads(path.read_text(encoding="utf-8")), SCHEMA)
    assert bool(found) == (path.stem not in ONLY_INSIDE), found


def test_the_checker_can_fail() -> None:
    raw = copy.deepcopy(raw_of("siskin"))
    raw["body"]["length"] = "470"
    raw["top"]["braces"][1]["lay"] = "upside down"
    assert len(faults(raw, SCHEMA)) == 2


def walk(value: Any) -> list[dict[str, Any]]:
    if isinstance(value, dict):
        return [value, *(d for v in value.values() for d in walk(v))]
    return [d for v in value for d in walk(v)] if isinstance(value, list) else []


def test_defaults_fit_their_own_fields_and_nothing_is_null() -> None:
    for table in walk(SCHEMA):
        assert table.get("type") != "null"
        assert "discriminator" not in table  # of another standard
        if "default" in table and ("$ref" in table or "type" in table):
            assert not faults(table["default"], {k: v for k, v in table.items() if k != "default"}), table


def test_every_reference_leads_somewhere_and_every_field_is_described() -> None:
    for table in walk(SCHEMA):
        if "$ref" in table:
            assert table["$ref"].removeprefix("#/$defs/") in SCHEMA["$defs"]
    for name, part in SCHEMA["$defs"].items():
        for key, field in part.get("properties", {}).items():
            described = "description" in field or "const" in field or "oneOf" in field
            inherits = "$ref" in field or "items" in field
            assert described or inherits, f"{name}.{key}"


def test_same_text_at_every_call() -> None:
    assert schema_text() == schema_text()
