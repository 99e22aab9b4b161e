"""The design's file and the unsaved draft beside it on disk: read, compared, written in one stroke."""

from __future__ import annotations

import hashlib
import json
import os
import tempfile
from dataclasses import dataclass
from pathlib import Path

from braces.design.load import read_text
from braces.web.draft import Draft, Step, begin

_BOM = b"\xef\xbb\xbf"
_DRAFT_VERSION = 1


class CannotSave(Exception):  # noqa: N818 - reads as what it is
    """Why nothing was written, in a sentence for the maker."""


def on_disk(path: Path) -> str:
    """Return the text of the design file. Raises BadFile."""
    return read_text(path)


def save(path: Path, text: str, expected: str) -> None:
    """Put ``text`` in the place of a file that still holds ``expected``, all of it or nothing.

    Raises CannotSave if the file holds something else by now, or the disk refuses. A link is followed, the file's
    permissions and byte order mark are kept.
    """
    try:
        real = path.resolve(strict=True)
        data = real.read_bytes()
        if data.removeprefix(_BOM).decode("utf-8", "replace") != expected:
            raise CannotSave("the file was changed by someone else meanwhile; nothing was written")
        mark = _BOM if data.startswith(_BOM) else b""
        _replace(real, mark + text.encode("utf-8"), real.stat().st_mode & 0o777)
    except OSError as error:
        raise CannotSave(f"the file cannot be written: {error.strerror}") from None


def save_new(path: Path, text: str) -> None:
    """Write a file that must not be there yet. Raises CannotSave."""
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o644)
    except FileExistsError:
        raise CannotSave(f"{path.name} is there already; open that one, or move it away") from None
    except OSError as error:
        raise CannotSave(f"{path.name} cannot be written: {error.strerror}") from None
    with os.fdopen(handle, "wb") as out:
        out.write(text.encode("utf-8"))
        out.flush()
        os.fsync(out.fileno())


def _replace(path: Path, data: bytes, mode: int) -> None:
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(data)
            out.flush()
            os.fsync(out.fileno())
        os.chmod(name, mode)
        os.replace(name, path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


@dataclass(frozen=True, slots=True)
class DraftFile:
    """Where the unsaved steps of one design are kept while they are unsaved."""

    path: Path

    def keep(self, draft: Draft) -> None:
        """Write the draft, or remove it if there is nothing unsaved. A disk that refuses is no reason to stop."""
        try:
            if not draft.unsaved:
                self.path.unlink(missing_ok=True)
                return
            self.path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            _replace(self.path, json.dumps(_table(draft)).encode(), 0o600)
        except OSError:
            return

    def found(self) -> Draft | None:
        """Return the draft that a killed server left, or None."""
        try:
            return _draft(json.loads(self.path.read_text(encoding="utf-8")))
        except (OSError, ValueError, KeyError, TypeError):
            return None


def draft_file(design: Path) -> DraftFile:
    """Return where a design's draft lies: the user's own state folder, by the design's full path."""
    root = os.environ.get("XDG_STATE_HOME") or os.environ.get("LOCALAPPDATA") or ""
    folder = Path(root) if root and Path(root).is_absolute() else Path.home() / ".local" / "state"
    key = hashlib.sha256(str(design.resolve()).encode()).hexdigest()[:16]
    return DraftFile(folder / "braces" / f"{design.stem}-{key}.draft.json")


def _table(draft: Draft) -> dict[str, object]:
    return {
        "version": _DRAFT_VERSION,
        "saved": draft.saved,
        "base": draft.base,
        "steps": [[s.gesture, [[list(w), v] for w, v in s.changes], s.text] for s in draft.done],
    }


def _draft(table: dict[str, object]) -> Draft | None:
    if table["version"] != _DRAFT_VERSION:
        return None
    saved, base, rows = table["saved"], table["base"], table["steps"]
    if not isinstance(saved, str) or not isinstance(base, str) or not isinstance(rows, list):
        return None
    steps = tuple(Step(str(g), tuple((tuple(w), v) for w, v in changes), str(text)) for g, changes, text in rows)
    return Draft(saved, base, steps) if steps else begin(saved)
