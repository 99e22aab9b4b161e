"""Imports run one way. The order below is the order of the pipeline."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "braces"
LAYERS = [
    {"base"}, {"curves"}, {"traced"}, {"design"}, {"placed"}, {"carved"}, {"mechanics"}, {"workshop"},
    {"sheets", "solids", "reports"},  # siblings: may not import one another
    {"app"}, {"web"}, {"cli"},
]  # fmt: skip
RANK = {name: i for i, layer in enumerate(LAYERS) for name in layer}
FILES = sorted(PACKAGE.rglob("*.py"))
MODULES = [p for p in FILES if p.parent != PACKAGE]


def shown(path: Path) -> str:
    return str(path.relative_to(PACKAGE))


def imports(path: Path) -> Iterator[tuple[int, str, str]]:
    """Every import in a file, also inside functions and TYPE_CHECKING blocks: line, module, layer if one of ours."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names = [a.name for a in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}:{node.lineno}: write the full name, braces.x.y"
            assert all(a.name != "*" for a in node.names), f"{path}:{node.lineno}: name what is imported"
            names = [f"{node.module}.{a.name}" for a in node.names]
        else:
            continue
        for name in names:
            parts = name.split(".")
            yield node.lineno, name, parts[1] if parts[0] == "braces" and len(parts) > 1 else ""


@pytest.mark.parametrize("path", MODULES, ids=shown)
def test_imports_point_down(path: Path) -> None:
    here = path.relative_to(PACKAGE).parts[0]
    for line, _, other in imports(path):
        if other and other != "__version__":
            assert other == here or RANK[other] < RANK[here], (
                f"{path}:{line}: {here} may not import {other}; order: {LAYERS}"
            )


def test_every_folder_has_a_layer() -> None:
    folders = {p.name for p in PACKAGE.iterdir() if any(p.glob("*.py"))}  # data/ holds no code
    assert folders <= set(RANK)
    assert folders >= {"base", "curves", "design", "placed", "carved", "reports", "app", "cli"}


@pytest.mark.parametrize("path", FILES, ids=shown)
def test_file_is_short_and_says_what_it_is(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert text.count("\n") <= 400, f"{path} is too long; split it by what it is about"
    assert ast.get_docstring(ast.parse(text)), f"{path} does not say what it is"


#: Heavy libraries and the only place each may be imported from.
ONLY_IN = {
    "cadquery": "solids",
    "OCP": "solids",
    "reportlab": "sheets",
    "pikepdf": "sheets",
    "pypdfium2": "none",
}


@pytest.mark.parametrize("path", MODULES, ids=shown)
def test_heavy_libraries_stay_in_their_place(path: Path) -> None:
    here = path.relative_to(PACKAGE).parts[0]
    for line, name, _ in imports(path):
        place = ONLY_IN.get(name.split(".")[0])
        assert place is None or place == here, f"{path}:{line}: {name} belongs in {place}"
