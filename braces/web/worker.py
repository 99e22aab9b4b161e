"""Long work in a process of its own: the full analysis, the products of ``make``, the live model of the top.

One JSON line comes in and says what to do; JSON lines go out: {"step": ...} on the way, then {"done": ...} or
{"failed": ...}. The live model stays and answers line after line. The process ends when nobody is left to ask.
Run as ``python -m braces.web.worker``.
"""

from __future__ import annotations

import json
import os
import queue
import sys
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

from braces.app.study import Study, follow
from braces.base.problems import DesignError
from braces.web.picture import Table

Say = Callable[[Table], None]


def main() -> None:
    """Do one job, or one after the other for as long as they are of the live model."""
    out = os.fdopen(os.dup(1), "w", encoding="utf-8")
    os.dup2(2, 1)  # nothing that a library prints may stand among the answers
    jobs: queue.SimpleQueue[str] = queue.SimpleQueue()
    threading.Thread(target=_read, args=(jobs,), daemon=True).start()

    def say(table: Table) -> None:
        out.write(json.dumps(table, allow_nan=False) + "\n")
        out.flush()

    while True:
        job = json.loads(jobs.get())
        _do(job, say)
        if job["do"] != "live":
            return


def _do(job: dict[str, Any], say: Say) -> None:
    try:
        study = follow(job["path"], job["text"])
        if not study.sound:
            raise DesignError(study.problems)
        say({"done": _WORK[job["do"]](study, job, say)})
    except DesignError as error:
        say({"failed": "; ".join(f"{p.found}: {p.advice}" for p in error.problems if p.fatal)})
    except Exception as error:
        why = f"{error.filename}: {error.strerror}" if isinstance(error, OSError) and error.strerror else str(error)
        say({"failed": f"{type(error).__name__}: {why}"})


def _read(jobs: queue.SimpleQueue[str]) -> None:
    """Hand on every line; where they end, nobody is left to work for."""
    for line in sys.stdin:
        jobs.put(line)
    os._exit(3)


def _make(study: Study, job: dict[str, Any], say: Say) -> Table:
    from braces.app.make import make_all, product_list

    products = product_list(job["products"], study)
    folder, files = make_all(
        study,
        Path(job["out"]),
        job["paper"],
        products,
        lambda title, share: say({"step": title, "share": round(share, 3)}),
        keep_others=True,
        jobs=os.cpu_count() or 1,
    )
    return {"folder": str(folder), "files": files}


def _strength(study: Study, job: dict[str, Any], say: Say) -> Table:
    from braces.web.strength_view import strength_table

    assert study.carved is not None
    return strength_table(study.carved)


def _live(study: Study, job: dict[str, Any], say: Say) -> Table:
    from braces.web.live_view import live_table

    assert study.carved is not None
    plates = live_table(study.carved, lambda: say({"step": "builds"}), job.get("fields") is True)
    return {"number": job["number"], "plates": plates}


_WORK: dict[str, Callable[[Study, dict[str, Any], Say], Table]] = {"make": _make, "strength": _strength, "live": _live}

if __name__ == "__main__":
    main()
