"""braces carve as a maker runs it; weights only, which need no solving of plates."""

from __future__ import annotations

from pathlib import Path

import pytest
from support.command import run_here
from support.designs import text_of

from braces.app.study import study


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    text = text_of("fieldfare").replace('height = "16 mm"\nsection', 'height = "5/8 in"   # as split\nsection', 1)
    (tmp_path / "mine.toml").write_text(text, encoding="utf-8")
    return tmp_path


def test_a_new_file_in_the_makers_own_words(bench: Path) -> None:
    before = (bench / "mine.toml").read_bytes()
    ran = run_here("carve", "mine.toml", "--target", "top braces weigh 45 g", "--braces", "x")
    assert ran.code == 0, ran.err
    assert (bench / "mine.toml").read_bytes() == before
    made = (bench / "mine-carved.toml").read_text(encoding="utf-8")
    assert "# as split\n" in made
    assert ' in"   # as split' in made  # the unit is the maker's
    carved = study(str(bench / "mine-carved.toml")).carved
    assert carved is not None
    grams = sum(b.mass_g for b in carved.top.braces)
    assert grams == pytest.approx(45, rel=0.01)
    assert f"{grams:.1f} g" in ran.out
    assert max(map(len, ran.out.splitlines())) <= 100
    assert "mine-carved.toml" in ran.out


def test_an_existing_file_is_never_written_over(bench: Path) -> None:
    (bench / "other.toml").write_text("precious", encoding="utf-8")
    for out in ("other.toml", "mine.toml"):
        ran = run_here("carve", "mine.toml", "--target", "top braces weigh 45 g", "--out", out)
        assert ran.code == 2
        assert "exists already" in ran.err
    assert (bench / "other.toml").read_text(encoding="utf-8") == "precious"


def test_the_tool_stops_a_valley_and_says_so(bench: Path) -> None:
    # A hollow tighter than the 25 mm drum is problem C01 when it is drawn; carving stops short of it, and names it.
    words = ("--target", "top braces weigh 46.5 g", "--change", "valleys", "--off", "9 mm", "--braces", "x")
    ran = run_here("carve", "mine.toml", *words)
    assert ran.code == 2
    assert ran.err.startswith("M01  mine.toml")
    assert "at best" in " ".join(ran.err.split())
    assert not (bench / "mine-carved.toml").exists()


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("--target", "make it good"), "M02"),
        (("--target", "top braces weigh 45"), "M02"),
        (("--target", "top braces weigh 45 g", "--braces", "y"), "M02"),
        (("--target", "top braces weigh 45 g", "--off", "much"), "M02"),
        (("--target", "top braces weigh 10 g"), "M01"),
        (("--target", "as stiff in granite"), "M02"),
    ],
)
def test_what_cannot_be_done_is_told_and_nothing_is_written(bench: Path, words: tuple[str, ...], code: str) -> None:
    ran = run_here("carve", "mine.toml", *words)
    assert ran.code == 2
    assert ran.err.startswith(f"{code}  mine.toml")
    assert "Nothing was written." in ran.err
    assert "Traceback" not in ran.err
    assert sorted(p.name for p in bench.iterdir()) == ["mine.toml"]
