"""Running the command line as a maker does: in a process of its own, or in this one where many runs are needed."""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

from typer.testing import CliRunner

from braces.cli.main import app


@dataclass(frozen=True, slots=True)
class Ran:
    """What became of one run."""

    code: int
    out: str
    err: str
    seconds: float  #: of processor time, which does not depend on what else the machine does

    @property
    def text(self) -> str:
        return self.out + self.err


def _children_seconds() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def run(*args: str | Path, cwd: Path | None = None, seconds: float = 60.0, **environment: str) -> Ran:
    """Run ``braces`` in a process of its own."""
    begun = _children_seconds()
    done = subprocess.run(
        [sys.executable, "-c", "from braces.cli.main import run; run()", *map(str, args)],
        cwd=cwd,
        env={**os.environ, **environment},
        capture_output=True,
        timeout=seconds,
        check=False,
        stdin=subprocess.DEVNULL,
    )
    took = _children_seconds() - begun
    return Ran(done.returncode, done.stdout.decode("utf-8", "replace"), done.stderr.decode("utf-8", "replace"), took)


def run_here(*args: str | Path) -> Ran:
    """Run ``braces`` in this process; what it raises comes through."""
    begun = time.process_time()
    done = CliRunner().invoke(app, [str(a) for a in args], catch_exceptions=False)
    return Ran(done.exit_code, done.stdout, done.stderr, time.process_time() - begun)
