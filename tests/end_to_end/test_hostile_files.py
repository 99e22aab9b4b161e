"""Files that are no designs at all, or mean harm: refused in good time, with nothing raw on the terminal."""

import os
import resource
from collections.abc import Iterator
from pathlib import Path

import pytest
from support.command import Ran, run, run_here
from support.designs import edited, text_of

SECONDS = 2.0
MOST_BYTES = 8 * 2**30


@pytest.fixture(autouse=True)
def _bounded_memory() -> Iterator[None]:
    """A file that would eat the machine's memory fails its test instead."""
    before = resource.getrlimit(resource.RLIMIT_AS)
    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, before[1]))
    yield
    resource.setrlimit(resource.RLIMIT_AS, before)


def refused(done: Ran, code: str) -> None:
    assert done.code == 2, done.text
    assert code in done.err
    clean(done)


def clean(done: Ran) -> None:
    assert "Traceback" not in done.text
    assert "fault of the program" not in done.text
    assert done.seconds < SECONDS
    for line in done.text.split("\n"):
        assert line.isprintable(), repr(line)


def test_a_sparse_gigabyte(tmp_path: Path) -> None:
    path = tmp_path / "huge.toml"
    with path.open("wb") as file:
        file.truncate(2**30)
    refused(run("check", path), "F02")


def test_a_pipe_that_nobody_writes_to(tmp_path: Path) -> None:
    path = tmp_path / "pipe.toml"
    os.mkfifo(path)
    refused(run("check", path, seconds=10), "F01")


@pytest.mark.parametrize("path", ["/dev/zero", "/dev/null", "/dev/tty", "/proc/self/mem", "/"])
def test_devices(path: str) -> None:
    refused(run("check", path, seconds=10), "F0")


def test_a_folder(tmp_path: Path) -> None:
    (tmp_path / "design.toml").mkdir()
    refused(run("check", tmp_path / "design.toml"), "F01")


def test_nothing_there(tmp_path: Path) -> None:
    done = run("check", tmp_path / "missing.toml")
    refused(done, "F01")
    assert "fieldfare" in done.err  # the presets are named


def test_a_broken_link(tmp_path: Path) -> None:
    (tmp_path / "link.toml").symlink_to(tmp_path / "nowhere")
    refused(run("check", tmp_path / "link.toml"), "F01")


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read(tmp_path: Path) -> None:
    path = tmp_path / "locked.toml"
    path.write_text("name = 'x'")
    path.chmod(0)
    refused(run("check", path), "F01")


NASTY = {
    "empty": (b"", "K02"),
    "nul bytes": (b"name = \"a\0b\"\n", "F04"),
    "all nul": (b"\0" * 5000, "F04"),
    "not utf-8": (b"\xff\xfe\x00n", "F03"),
    "utf-16": ("name = 'x'".encode("utf-16"), "F03"),
    "lone surrogate": (b"name = \"\xed\xa0\x80\"", "F03"),
    "escaped surrogate": (b'name = "\\ud800"', "F04"),
    "deep lists": (b"a = " + b"[" * 50_000 + b"]" * 50_000, "F05"),
    "deep tables": (b"a = " + b"{a=" * 20_000 + b"1" + b"}" * 20_000, "F05"),
    "deep key": (b".".join([b"a"] * 100_000) + b" = 1", "F05"),
    "deep quoted key": (b".".join([b'"a b"'] * 30_000) + b" = 1", "F05"),
    "deep header": (b"[" + b" . ".join([b"a"] * 50_000) + b"]", "F05"),
    "long number": (b"name = " + b"9" * 200_000, "F04"),
    "long hex number": (b"name = 0x" + b"f" * 200_000, "K03"),
    "long float": (b"name = 1." + b"3" * 200_000, "K03"),
    "long key": (b"k" * 200_000 + b" = 1", "K01"),
    "long quoted key": (b'"' + b"\\u001b" * 20_000 + b'" = 1', "K01"),
    "long blank": (b"a" + b" " * 250_000 + b"= 1", "K01"),
    "many dots": (b"# " + b"." * 250_000, "K02"),
    "many quotes": (b"# " + b'"' * 250_000, "K02"),
    "many headers": (b"\n".join(b"[t%d]" % i for i in range(25_000)), "K01"),
    "unclosed text": (b'name = """' + b"x\n" * 100_000, "F04"),
    "carriage returns": (b"name = 1\r" * 1000, "F04"),
    "html": (b"<!DOCTYPE html><html></html>", "F04"),
    "zip": (b"PK\x03\x04\x14\x00\x00\x00\x08\x00", "F04"),
    "infinity": (b"name = inf\nbody = nan", "K03"),
    "a date": (b"name = 1979-05-27\n", "K03"),
}  # fmt: skip


@pytest.mark.parametrize("what", NASTY)
def test_nasty_bytes(what: str, tmp_path: Path) -> None:
    data, code = NASTY[what]
    path = tmp_path / "nasty.toml"
    path.write_bytes(data)
    refused(run_here("check", path), code)


def test_thousands_of_empty_braces(tmp_path: Path) -> None:
    path = tmp_path / "crowd.toml"
    path.write_text(text_of("siskin") + "\n[[top.braces]]\n" * 15_000, encoding="utf-8")
    done = run("check", path)
    refused(done, "K02")
    assert "and " in done.err
    assert len(done.err) < 50_000


def test_a_hundred_thousand_braces(tmp_path: Path) -> None:
    path = tmp_path / "crowd.toml"
    path.write_text(text_of("siskin") + '\n[[top.braces]]\nname = "a"\n' * 100_000, encoding="utf-8")
    refused(run("check", path), "F02")


def test_as_many_braces_as_are_allowed(tmp_path: Path) -> None:
    """Two hundred valid braces on top of each other: every clash is found, in good time."""
    brace = (
        '\n[[back.braces]]\nname = "b{n}"\nlay = "across"\nat = "{y} mm from the tail"\n'
        'width = "6 mm"\nheight = "9 mm"\n'
    )
    text = text_of("siskin") + "".join(brace.format(n=n, y=round(40 + 1.9 * n, 1)) for n in range(190))
    path = tmp_path / "full.toml"
    path.write_text(text, encoding="utf-8")
    refused(run("check", path, seconds=30), "L08")


def test_byte_order_mark_and_windows_lines_are_welcome(tmp_path: Path) -> None:
    path = tmp_path / "windows.toml"
    path.write_bytes(b"\xef\xbb\xbf" + text_of("siskin").replace("\n", "\r\n").encode())
    done = run_here("check", path)
    assert done.code == 0, done.text


@pytest.mark.parametrize(
    "name", ["\\u001b[31mred", "bell\\u0007", "\\u202Edlrow", "line\\nbreak", "\\u0085", "zero\\u200Bwidth"]
)
def test_control_characters_in_a_name(name: str, tmp_path: Path) -> None:
    path = tmp_path / "loud.toml"
    path.write_text(edited(text_of("siskin"), ('"Siskin"', f'"{name}"')), encoding="utf-8")
    for command in ("check", "show"):
        refused(run_here(command, path), "V02")


def test_markup_in_a_name_is_only_text(tmp_path: Path) -> None:
    path = tmp_path / "markup.toml"
    path.write_text(edited(text_of("siskin"), ('"Siskin"', '"[red]S<i>&amp; [/nope] 鳥"')), encoding="utf-8")
    done = run("show", path)
    clean(done)
    assert done.code == 0
    assert "[red]S<i>&amp; [/nope] 鳥" in done.out


@pytest.mark.parametrize(
    "name", ["../../x", "..", "/etc/passwd", "a/b", "a\\\\b", "con:", ".hidden", "", " x", "x\\u0000"]
)
def test_names_that_would_be_paths(name: str, tmp_path: Path) -> None:
    path = tmp_path / "path.toml"
    path.write_text(edited(text_of("siskin"), ('name = "bar"', f'name = "{name}"')), encoding="utf-8")
    done = run_here("make", path, "--out", tmp_path / "out")
    assert done.code == 2
    assert "V0" in done.err
    clean(done)


def test_instrument_names_do_not_name_folders(tmp_path: Path) -> None:
    path = tmp_path / "plain.toml"
    path.write_text(edited(text_of("siskin"), ('"Siskin"', '"../../../Siskin"')), encoding="utf-8")
    done = run_here("make", path, "--out", tmp_path / "out", "--only", "summary")
    assert done.code == 0, done.text
    assert [p.name for p in (tmp_path / "out").iterdir()] == ["plain"]


@pytest.mark.parametrize("name", ["\x1b[31mred.toml", "a\nb.toml", "....toml", "-x.toml", "bird\udcff.toml", "鳥.toml"])
def test_file_names_of_all_kinds(name: str, tmp_path: Path) -> None:
    path = tmp_path / name
    path.write_text(text_of("siskin"), encoding="utf-8")
    for args in (
        ("check", path),
        ("make", path, "--out", tmp_path / "out", "--only", "summary"),
        ("check", tmp_path / f"no{name}"),
    ):
        done = run(*args)
        assert done.code in (0, 2), done.text
        clean(done)
    made = [p.name for p in (tmp_path / "out").iterdir()]
    assert len(made) == 1
    assert made[0].isascii()


def test_a_terminal_without_the_letters(tmp_path: Path) -> None:
    done = run("show", "fieldfare", PYTHONIOENCODING="ascii", PYTHONUTF8="0", LC_ALL="C")
    assert done.code == 0, done.text
    clean(done)
