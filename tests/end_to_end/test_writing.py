"""The output folder: all or nothing, nothing of others lost, nothing outside."""

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest
from support.command import run_here

import braces.app.writer as writer
from braces.app.writer import UnsafeTarget, write_set

FIRST = {"a.txt": b"1", "sub/b.txt": b"2"}
SECOND = {"a.txt": b"one", "sub/c.txt": b"three"}


def visible(folder: Path) -> dict[str, bytes]:
    return {
        str(p.relative_to(folder)): p.read_bytes()
        for p in sorted(folder.rglob("*"))
        if p.is_file() and not any(part.startswith(".") for part in p.relative_to(folder).parts)
    }


def test_set_is_replaced_as_a_whole(tmp_path: Path) -> None:
    assert write_set(tmp_path, "bird", FIRST) == tmp_path / "bird"
    write_set(tmp_path, "bird", SECOND)
    assert visible(tmp_path) == {"bird/a.txt": b"one", "bird/sub/c.txt": b"three"}
    assert [p.name for p in tmp_path.iterdir()] == ["bird"]


def test_partial_set_keeps_the_rest(tmp_path: Path) -> None:
    write_set(tmp_path, "bird", FIRST)
    write_set(tmp_path, "bird", {"a.txt": b"one"}, keep_others=True)
    assert visible(tmp_path) == {"bird/a.txt": b"one", "bird/sub/b.txt": b"2"}
    write_set(tmp_path, "bird", SECOND)  # what an earlier run made goes when a whole run does not make it
    assert visible(tmp_path) == {"bird/a.txt": b"one", "bird/sub/c.txt": b"three"}


def test_files_of_others_are_kept(tmp_path: Path) -> None:
    (tmp_path / "bird" / "sub").mkdir(parents=True)
    (tmp_path / "bird" / "notes.md").write_text("mine")
    (tmp_path / "bird" / "sub" / "photo.jpg").write_bytes(b"\xff\xd8")
    for files in (FIRST, SECOND):
        write_set(tmp_path, "bird", files)
        assert (tmp_path / "bird" / "notes.md").read_text() == "mine"
        assert (tmp_path / "bird" / "sub" / "photo.jpg").read_bytes() == b"\xff\xd8"


@pytest.mark.parametrize("path", ["../x", "/etc/x", "a/../../x", "", "."])
def test_paths_stay_inside(path: str, tmp_path: Path) -> None:
    with pytest.raises(UnsafeTarget):
        write_set(tmp_path / "out", "bird", {path: b"x"})
    assert not (tmp_path / "x").exists()


def test_linked_target_is_refused(tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "elsewhere" / "keep").write_text("mine")
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "fieldfare").symlink_to(tmp_path / "elsewhere")
    done = run_here("make", "fieldfare", "--out", tmp_path / "out", "--only", "summary")
    assert done.code == 2
    assert "not a plain folder" in done.err
    assert [p.name for p in (tmp_path / "elsewhere").iterdir()] == ["keep"]


def test_link_inside_the_target_is_refused(tmp_path: Path) -> None:
    write_set(tmp_path, "bird", FIRST)
    (tmp_path / "bird" / "way-out").symlink_to("/etc")
    with pytest.raises(UnsafeTarget):
        write_set(tmp_path, "bird", SECOND)
    assert (tmp_path / "bird" / "a.txt").read_bytes() == b"1"


def test_file_where_the_folder_should_be(tmp_path: Path) -> None:
    (tmp_path / "fieldfare").write_text("mine")
    done = run_here("make", "fieldfare", "--out", tmp_path, "--only", "summary")
    assert done.code == 2
    assert (tmp_path / "fieldfare").read_text() == "mine"


def test_out_is_a_file(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("mine")
    done = run_here("make", "fieldfare", "--out", tmp_path / "out", "--only", "summary")
    assert done.code == 2
    assert "Cannot write there" in done.err
    assert "Errno" not in done.err


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everywhere")
def test_unwritable_folder(tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    done = run_here("make", "fieldfare", "--out", tmp_path / "out", "--only", "summary")
    tmp_path.chmod(0o700)
    assert done.code == 2
    assert "Cannot write there" in done.err


def test_folder_that_no_one_can_write(tmp_path: Path) -> None:
    """Also for root: the kernel's own folder takes no files."""
    done = run_here("make", "fieldfare", "--out", "/proc/self/out", "--only", "summary")
    assert done.code == 2
    assert "Cannot write there" in done.err


class Killed(BaseException):
    """Stands for the end of the process."""


@pytest.mark.parametrize("step", range(8))
def test_failure_at_any_step_leaves_the_first_set_whole(
    step: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every move and every write may be the last one: before the exchange the first set stands, after it the second."""
    write_set(tmp_path, "bird", FIRST)
    left = [step]

    def counted(name: str) -> None:
        real = getattr(Path, name)

        def wrapped(self: Path, *args: object, **more: object) -> object:
            if left[0] == 0:
                left[0] = -1
                raise Killed
            left[0] -= 1
            return real(self, *args, **more)

        monkeypatch.setattr(Path, name, wrapped)

    for name in ("write_bytes", "rename", "write_text"):
        counted(name)
    try:
        write_set(tmp_path, "bird", SECOND)
        finished = True
    except Killed:
        finished = False
    monkeypatch.undo()
    expected = {"a.txt": b"one", "sub/c.txt": b"three"} if finished else {"a.txt": b"1", "sub/b.txt": b"2"}
    assert visible(tmp_path / "bird") == expected
    assert finished == (step >= 5)  # two files, the list of files, two moves


KILL = """
import os, sys, signal
from pathlib import Path
import braces.app.writer as w
after, real = int(sys.argv[2]), os.rename
moves = 0
def rename(self, target):
    global moves
    if moves == after:
        os.kill(os.getpid(), signal.SIGKILL)
    moves += 1
    real(self, target)
    return Path(target)
Path.rename = rename
w.write_set(Path(sys.argv[1]), "bird", {"a.txt": b"one", "sub/c.txt": b"three"})
"""


@pytest.mark.parametrize("moves", [0, 1])
def test_killed_run_loses_nothing(moves: int, tmp_path: Path) -> None:
    """Killed before the first move, or between the two: the next run finds the first set whole and goes on."""
    write_set(tmp_path, "bird", FIRST | {})
    (tmp_path / "bird" / "notes.md").write_text("mine")
    done = subprocess.run([sys.executable, "-c", KILL, str(tmp_path), str(moves)], check=False)
    assert done.returncode == -9
    whole = [p for p in tmp_path.iterdir() if (p / "a.txt").exists() and (p / "a.txt").read_bytes() == b"1"]
    assert len(whole) == 1
    assert visible(whole[0]) == {"a.txt": b"1", "sub/b.txt": b"2", "notes.md": b"mine"}
    write_set(tmp_path, "bird", SECOND)
    assert visible(tmp_path / "bird") == {"a.txt": b"one", "sub/c.txt": b"three", "notes.md": b"mine"}


def test_killed_make_leaves_the_last_output(tmp_path: Path) -> None:
    """A real run killed at a moment nobody chose."""
    assert run_here("make", "dunnock", "--out", tmp_path, "--only", "summary,tables").code == 0
    before = visible(tmp_path / "dunnock")
    code = "from braces.cli.main import run; run()"
    args = [sys.executable, "-c", code, "make", "dunnock", "--out", str(tmp_path), "--only", "summary,tables"]
    for wait in (0.05, 0.2, 0.35, 0.5, 0.65):
        process = subprocess.Popen(args, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        time.sleep(wait)
        process.kill()
        process.wait()
        assert visible(tmp_path / "dunnock") == before


def test_list_of_files_survives_damage(tmp_path: Path) -> None:
    for damage in ("", "[", "{}", '["../../x", 3]'):
        write_set(tmp_path, "bird", FIRST)
        (tmp_path / "bird" / writer._MANIFEST).write_text(damage)
        write_set(tmp_path, "bird", SECOND)
        assert (tmp_path / "bird" / "a.txt").read_bytes() == b"one"
