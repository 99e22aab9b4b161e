"""What the documents and data files say is what the program does."""

import ast
import re
import tomllib
from typing import Any

import pytest
from support.designs import BAD, ROOT, TWO, carved_of

from braces.base.problems import known_codes
from braces.design.load import preset_names
from braces.design.schema import SHIPPED, schema_text
from braces.reports.bench_numbers import bench_numbers
from braces.reports.reference import bench_keys, summary_keys
from braces.reports.summary import summary
from braces.workshop.bench import BenchSpec, bench
from braces.workshop.props import PropSpec

PACKAGE = ROOT / "braces"
CODE = re.compile(r"^[A-Z][0-9]{2}$")


def codes_in_source() -> dict[str, str]:
    """Every text in the source that is a code, with the file it stands in."""
    found: dict[str, str] = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and CODE.match(node.value):
                found.setdefault(node.value, str(path.relative_to(ROOT)))
    return found


def test_every_code_used_is_listed_and_every_code_listed_is_used() -> None:
    used = codes_in_source()
    assert set(used) - set(known_codes()) == set(), used
    assert set(known_codes()) - set(used) == set()


@pytest.mark.parametrize("code", known_codes())
def test_each_code_is_explained(code: str) -> None:
    entry = known_codes()[code]
    assert set(entry) == {"sentence", "remedy"}
    assert all(text.strip() == text and text.endswith(".") and text[0].isupper() for text in entry.values())


#: Codes that no design file kept in the tree can give: a path that cannot be read, a file too large to keep.
NOT_FROM_A_FILE = {"F01", "F02"}


def test_every_code_of_a_design_has_a_bad_example() -> None:
    """T: drawings that are traced; their examples lie with the tests of tracing. M: what a call asks for; with those
    of carving and of stock.
    """
    shown = {path.name[:3] for path in BAD.glob("*.toml")}
    assert shown == {code for code in known_codes() if code[0] not in "TM"} - NOT_FROM_A_FILE


def key_paths(value: Any, path: str = "") -> set[str]:
    """Every key of nested tables, as in braces[].stations[].at."""
    if isinstance(value, dict):
        here = {f"{path}.{k}" if path else k for k in value}
        return here.union(*(key_paths(v, f"{path}.{k}" if path else k) for k, v in value.items()))
    if isinstance(value, list):
        return set().union(*(key_paths(v, f"{path}[]") for v in value)) if value else set()
    return set()


@pytest.mark.parametrize("name", TWO)
def test_summary_keys_are_documented_and_documented_keys_are_there(name: str) -> None:
    carved = carved_of(name)
    table = summary(carved, "00000000", {b.name: [f"{b.name}.svg"] for b in carved.braces})
    table["plates"] = {"top": table["plates"]["top"]}  # plates.back is written like plates.top
    paths = key_paths(table)
    documented = set(summary_keys())
    undocumented = {p for p in paths if not any(covers(d, p) for d in documented)}
    assert not undocumented
    missing = {d for d in documented if d not in paths and d.split("[]")[0] in paths and carries(table, d)}
    assert not missing


@pytest.mark.parametrize("name", TWO)
def test_bench_keys_are_documented_and_documented_keys_are_there(name: str) -> None:
    carved = carved_of(name)
    work = bench(carved, BenchSpec(props=(PropSpec(100.0, 380.0),) if name == "fieldfare" else ()))
    table = bench_numbers(carved.placed.design, work, "00000000")
    paths, documented = key_paths(table), set(bench_keys())
    assert not {p for p in paths if not any(covers(d, p) for d in documented)}
    assert not {d for d in documented if d not in paths and carries(table, d)}


def covers(documented: str, path: str) -> bool:
    """Whether a documented key speaks of a path: it is the path, a table above it, or a key below it."""
    below = re.split(r"[.\[]", path[len(documented) :])[0] == "" if path.startswith(documented) else False
    return below or documented.startswith((f"{path}.", f"{path}[]"))


def carries(table: dict[str, Any], documented: str) -> bool:
    """Whether the list that a documented key stands in has an entry in this design."""
    return "[]" not in documented or bool(table[documented.split("[]")[0]])


#: Keys that summary.json promised from the start; they may never go.
KEPT = {
    "design", "body.outline", "saddle_y", "plates.top.dome_radius", "plates.top.apex", "plates.top.thickness",
    "plates.top.inner_radius", "plates.back.inner_radius", "braces[].name", "braces[].plate", "braces[].start",
    "braces[].end", "braces[].length", "braces[].width", "braces[].glue_arc_radius", "braces[].bevel",
    "braces[].stations[].at", "braces[].stations[].height", "braces[].stations[].land", "braces[].volume",
    "braces[].mass", "braces[].blank.length", "braces[].blank.width", "braces[].blank.height",
    "braces[].relief_cuts", "braces[].files", "joints[].kind", "joints[].between", "joints[].at", "joints[].angle",
    "joints[].cuts[].brace", "joints[].cuts[].opens", "joints[].cuts[].from_start", "joints[].cuts[].width",
    "joints[].cuts[].depth", "pockets[].brace", "pockets[].end", "pockets[].along_rim", "pockets[].width",
    "pockets[].height", "pockets[].reach", "strip_pieces",
}  # fmt: skip


def test_promised_summary_keys_are_kept() -> None:
    carved = carved_of("fieldfare")
    paths = key_paths(summary(carved, "00000000", {}))
    assert not KEPT - paths


def test_shipped_schema_is_the_generated_one() -> None:
    assert SHIPPED.read_text(encoding="utf-8") == schema_text(), "run: python -m braces.design.schema"


def shell_blocks(text: str) -> list[str]:
    return [block.strip() for block in re.findall(r"^```sh\n(.*?)^```$", text, flags=re.M | re.S)]


def test_ci_runs_what_the_readme_prints() -> None:
    readme, ci = ROOT / "README.md", ROOT / ".ci" / "run"
    blocks = shell_blocks(readme.read_text(encoding="utf-8"))
    assert len(blocks) >= 2, "README.md shows two commands, each in a block of its own marked sh"
    command = blocks[1]
    assert "\n" not in command
    assert "pytest" in command
    lines = [line.strip() for line in ci.read_text(encoding="utf-8").splitlines()]
    assert command in lines


def test_every_folder_of_the_package_is_installed() -> None:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["setuptools"]
    listed = settings["packages"]
    folders = {".".join(p.parent.relative_to(ROOT).parts) for p in PACKAGE.rglob("__init__.py")}
    if isinstance(listed, dict):
        assert listed["find"]["include"] == ["braces*"]
    else:
        assert folders <= set(listed), f"not in pyproject.toml: {folders - set(listed)}"
        packaged = folders | {f"{f}.data" for f in folders} | {f"{f}.fonts" for f in folders}
        assert set(listed) - packaged <= {"braces.presets"}, "a package that is no folder"
    patterns = [p for some in settings["package-data"].values() for p in some]
    for path in sorted(PACKAGE.rglob("*")):
        if path.is_file() and path.suffix not in (".py", ".pyc"):
            assert any(path.match(p) for p in patterns), f"{path} would be left out of an installation"
    for folder in sorted(p for p in PACKAGE.iterdir() if p.is_dir() and any(p.glob("*.py"))):
        assert (folder / "__init__.py").exists(), f"{folder} is no package"


def test_presets_are_listed() -> None:
    assert set(TWO) <= set(preset_names())


#: Words that belong to how the work was handed out, not to the work.
FOREIGN = ("seed " + "document", "tran" + "script", "/wo" + "rk/", "/tmp/" + "w/")


@pytest.mark.parametrize("folder", ["braces", "presets", "tests", "."])
def test_the_tree_speaks_of_nothing_but_the_work(folder: str) -> None:
    paths = (ROOT / folder).rglob("*") if folder != "." else [*ROOT.glob("*.*"), *(ROOT / ".ci").glob("*")]
    for path in sorted(p for p in paths if p.is_file() and p.suffix in TEXT and "__pycache__" not in p.parts):
        text = path.read_text(encoding="utf-8", errors="replace").lower()
        found = [word for word in FOREIGN if word in text]
        assert not found, f"{path}: {found}"


TEXT = {".py", ".toml", ".md", ".json", ".txt", ".csv", ".svg", ".cfg", ".yml", ""}
