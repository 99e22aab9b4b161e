"""The tools that read the source: lint, layout and types are clean."""

from __future__ import annotations

import subprocess
import sys

import pytest
from support.designs import ROOT


@pytest.mark.parametrize(
    "words",
    [
        ("ruff", "check", "--no-cache", "braces", "tests"),
        ("ruff", "format", "--check", "--no-cache", "braces", "tests"),
        ("mypy", "--cache-dir", "/dev/null" if sys.platform != "win32" else "nul"),
    ],
    ids=lambda w: "-".join(w[:2]),
)
def test_clean(words: tuple[str, ...]) -> None:
    done = subprocess.run([sys.executable, "-m", *words], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout[-3000:] + done.stderr[-1000:]
