"""Processes for long work: started with this one's interpreter, spoken to in JSON lines, ended with the work."""

from __future__ import annotations

import asyncio
import json
import os
import sys
from asyncio.subprocess import PIPE, Process
from collections.abc import AsyncIterator

from braces.web.picture import Table

_THREADS = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS")
_LINE_BYTES = 32 * 1024 * 1024
BROKEN = {"failed": "the work was broken off"}


async def _start() -> Process:
    return await asyncio.create_subprocess_exec(
        sys.executable,
        "-m",
        "braces.web.worker",
        stdin=PIPE,
        stdout=PIPE,
        limit=_LINE_BYTES,
        # Threads of linear algebra wait for each other by spinning: on a busy machine one alone is many times faster,
        # and the hand that drags keeps its core.
        env={**dict.fromkeys(_THREADS, "1"), **os.environ},
    )


async def _end(process: Process) -> None:
    if process.returncode is None:
        process.kill()
    await process.wait()


async def _answers(process: Process, job: Table) -> AsyncIterator[Table]:
    """Send a job and yield what is said of it, the last of which is ``done`` or ``failed``."""
    assert process.stdin is not None
    assert process.stdout is not None
    try:
        process.stdin.write(json.dumps(job).encode() + b"\n")
        await process.stdin.drain()
        while line := await process.stdout.readline():
            said: Table = json.loads(line)
            yield said
            if "done" in said or "failed" in said:
                return
    except ConnectionError:
        pass
    yield BROKEN


async def work(job: Table) -> AsyncIterator[Table]:
    """Do a job in a process of its own; leaving the loop ends the process."""
    process = await _start()
    try:
        async for said in _answers(process, job):
            yield said
    finally:
        await _end(process)


class Standing:
    """A process that stays between jobs, because what it has built is worth keeping."""

    def __init__(self) -> None:
        self._process: Process | None = None

    async def ask(self, job: Table) -> AsyncIterator[Table]:
        """Do a job in the standing process; one that broke off is begun anew at the next."""
        if self._process is None or self._process.returncode is not None:
            self._process = await _start()
        async for said in _answers(self._process, job):
            yield said
            if said is BROKEN:
                await self.end()

    async def end(self) -> None:
        """End the process."""
        if self._process is not None:
            await _end(self._process)
        self._process = None
