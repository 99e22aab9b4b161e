"""Long work in a process of its own: the full analysis, and the products of ``make``.

One JSON line comes in and says what to do; JSON lines go out: {"step": ...} on the way, then {"done": ...} or
{"failed": ...}. The process ends when nobody is left to read. Run as ``python -m braces.web.worker``.
"""

from __future__ import annotations

import json
import os
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
    """Do one job."""
    job = json.loads(sys.stdin.readline())
    out = os.fdopen(os.dup(1), "w", encoding="utf-8")
    os.dup2(2, 1)  # nothing that a library prints may stand among the answers
    threading.Thread(target=_end_with_parent, daemon=True).start()

    def say(table: Table) -> None:
        out.write(json.dumps(table, allow_nan=False) + "\n")
        out.flush()

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


def _end_with_parent() -> None:
    sys.stdin.read()
    os._exit(3)


def _make(study: Study, job: dict[str, Any], say: Say) -> Table:
    from braces.app.make import make_all, product_list

    products = product_list(job["products"], study)
    folder, files = make_all(
        study,
        Path(job["out"]),
        job["paper"],
        products,
        lambda title: say({"step": title}),
        keep_others=True,
        jobs=os.cpu_count() or 1,
    )
    return {"folder": str(folder), "files": files}


def _strength(study: Study, job: dict[str, Any], say: Say) -> Table:
    from braces.web.strength_view import strength_table

    assert study.carved is not None
    return strength_table(study.carved)


_WORK: dict[str, Callable[[Study, dict[str, Any], Say], Table]] = {"make": _make, "strength": _strength}

if __name__ == "__main__":
    main()
