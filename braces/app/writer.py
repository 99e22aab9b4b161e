"""Writing a finished set of files so that a killed run leaves the previous set whole.

Everything is written into a folder beside the target first; then the two change places. Files in the target that
this program did not make are kept.
"""

from __future__ import annotations

import json
import os
import shutil
import tempfile
from pathlib import Path, PurePosixPath

_MANIFEST = ".made.json"
_ASIDE = ".previous"


class UnsafeTarget(Exception):  # noqa: N818 - reads as what it is
    """The target is not a plain folder of ours to replace."""


def write_set(folder: Path, name: str, files: dict[str, bytes], keep_others: bool = False) -> Path:
    """Write ``files`` (relative paths) as the folder ``folder/name`` and return it.

    ``keep_others`` keeps what an earlier run made and this one did not. Raises UnsafeTarget if the target is a link
    or a file, or if a path would leave it; OSError if the disk refuses. Nothing is changed then.
    """
    for path in files:
        parts = PurePosixPath(path)
        if parts.is_absolute() or ".." in parts.parts or not parts.parts:
            raise UnsafeTarget(f"{path} would be outside the folder")
    target = folder / name
    folder.mkdir(parents=True, exist_ok=True)
    aside = folder / f".{name}{_ASIDE}"
    if not os.path.lexists(target) and aside.is_dir():
        aside.rename(target)  # a run was killed between the two renames below
    if target.is_symlink() or (target.exists() and not target.is_dir()):
        raise UnsafeTarget(f"{target} is not a plain folder")
    stage = Path(tempfile.mkdtemp(prefix=f".{name}.new-", dir=folder))
    try:
        stage.chmod(0o755)
        made = set(_manifest(target)) if target.is_dir() else set()
        _carry_over(target, stage, set() if keep_others else made)
        for path, data in files.items():
            goal = stage / path
            goal.parent.mkdir(parents=True, exist_ok=True)
            goal.unlink(missing_ok=True)
            goal.write_bytes(data)
        listed = sorted(set(files) | (made if keep_others else set()))
        (stage / _MANIFEST).unlink(missing_ok=True)
        (stage / _MANIFEST).write_text(json.dumps(listed, indent=0) + "\n", encoding="utf-8")
        if aside.exists():
            shutil.rmtree(aside)
        if target.exists():
            target.rename(aside)
        stage.rename(target)
    except BaseException:
        if aside.is_dir() and not os.path.lexists(target):
            aside.rename(target)
        shutil.rmtree(stage, ignore_errors=True)
        raise
    shutil.rmtree(aside, ignore_errors=True)
    return target


def _manifest(target: Path) -> list[str]:
    try:
        listed = json.loads((target / _MANIFEST).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return []
    return [str(p) for p in listed] if isinstance(listed, list) else []


def _carry_over(target: Path, stage: Path, replaced: set[str]) -> None:
    """Bring over every file of the target that is not to be replaced. A link in there could lead outside: refused."""
    if not target.is_dir():
        return
    for root, folders, names in os.walk(target):
        for link in (Path(root) / n for n in (*folders, *names)):
            if link.is_symlink():
                raise UnsafeTarget(f"{link} is a link, which could lead out of the folder")
        for file_name in names:
            source = Path(root) / file_name
            relative = source.relative_to(target)
            if relative.as_posix() in replaced or relative.as_posix() == _MANIFEST:
                continue
            goal = stage / relative
            goal.parent.mkdir(parents=True, exist_ok=True)
            try:
                os.link(source, goal)
            except OSError:
                shutil.copy2(source, goal)
