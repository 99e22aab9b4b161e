"""Every plain number in a public value says its unit in its name."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "braces"
SUFFIXES = (
    "_mm", "_mm2", "_mm3", "_mm4", "_deg", "_rad", "_n", "_n_mm", "_n_mm2", "_mpa", "_kg_m3", "_g", "_hz",
    "_ratio", "_fraction", "_count", "_celsius",
)  # fmt: skip
ALONE = {"mm", "ratio"}  #: names that are nothing but a unit, as in Reach.mm


def number_fields(tree: ast.AST) -> Iterator[tuple[int, str, str]]:
    for cls in ast.walk(tree):
        if isinstance(cls, ast.ClassDef) and any("dataclass" in ast.unparse(d) for d in cls.decorator_list):
            for node in cls.body:
                if isinstance(node, ast.AnnAssign) and ast.unparse(node.annotation) in {"float", "float | None"}:
                    assert isinstance(node.target, ast.Name)
                    yield node.lineno, cls.name, node.target.id


def unnamed(tree: ast.AST) -> list[str]:
    return [f"{n}: {c}.{f}" for n, c, f in number_fields(tree) if not f.endswith(SUFFIXES) and f not in ALONE]


@pytest.mark.parametrize("path", sorted(PACKAGE.rglob("*.py")), ids=lambda p: str(p.relative_to(PACKAGE)))
def test_units_in_names(path: Path) -> None:
    bad = unnamed(ast.parse(path.read_text(encoding="utf-8")))
    assert not bad, f"{path}: name the unit (radius_mm, load_n, e_long_mpa): {bad}"


def test_the_guard_sees_a_field_without_a_unit() -> None:
    tree = ast.parse("@dataclass\nclass A:\n    radius: float\n    width_mm: float\n")
    assert unnamed(tree) == ["3: A.radius"]


def test_units_of_design_fields() -> None:
    """A field of the design file that holds a length or an angle says so inside: help and limits need a unit."""
    from braces.design.fields import all_parts
    from braces.design.model import Design

    bad = [
        f"{part.__name__}.{name}"
        for part in all_parts(Design)
        for name, field in part.model_fields.items()
        if field.annotation is float and not name.endswith((*SUFFIXES, "share"))
    ]
    assert not bad
