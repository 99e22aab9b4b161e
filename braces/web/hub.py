"""Everything that happens beside the requests: the desk's one thread, the news for open pages, long work, the disk.

All of it runs in one event loop; the desk itself is only ever touched in its own thread, one call after another, so
edits stay in the order in which they came.
"""

from __future__ import annotations

import asyncio
import hashlib
import json
from collections.abc import AsyncIterator, Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from pathlib import Path
from typing import Any, TypeVar

from braces.web.desk import Desk, Refusal
from braces.web.picture import Table
from braces.web.processes import Standing, work

T = TypeVar("T")
_LOOK_AT_DISK_S = 1.0
_KEEP_AFTER_S = 0.3
_SOLVE_AFTER_S = 2.0
_REST_S = 0.6
_HEARTBEAT_S, _WAIT_S = 20.0, 0.5
_MOST_PAGES = 16


class Hub:
    """The desk and everything that goes on around it."""

    def __init__(self, desk: Desk, token: str) -> None:
        self.desk, self.token = desk, token
        self.thread = ThreadPoolExecutor(1, thread_name_prefix="desk")
        self.waiting = 0  #: edits that came and are not done
        self.pages: set[asyncio.Queue[Table]] = set()
        self.strength: Table = {"of": None, "busy": False, "failed": "", "result": None}
        self.make: Table = {"busy": False, "step": "", "failed": "", "files": [], "folder": ""}
        self.live: Table = {"number": None, "busy": False, "failed": "", "plates": {}}
        self.standing = Standing()
        self.moved = asyncio.Event()  #: the design has changed since the live model was last asked
        self.made: dict[str, Path] = {}
        self.tasks: set[asyncio.Task[None]] = set()
        self.solving: asyncio.Task[None] | None = None
        self.once = ""  #: opens the page one time, in place of the token
        self.ends: Callable[[], bool] = lambda: False  #: whether the server is about to end
        self.automatic = True  #: solve by itself whenever the design rests

    async def do(self, work: Callable[[Desk], T]) -> T:
        """Run something on the desk, after everything that came before it."""
        return await asyncio.get_running_loop().run_in_executor(self.thread, work, self.desk)

    async def change(self, work: Callable[[Desk], T]) -> T:
        """Run a change on the desk and tell every page of it."""
        before = self.desk.number
        try:
            return await self.do(work)
        finally:
            if self.desk.number != before:
                self.changed()

    def changed(self) -> None:
        """Tell the pages that the design is another now, keep the draft, and think of solving it."""
        self.tell({"number": self.desk.number})
        self._later("keep", _KEEP_AFTER_S, self._keep)
        if self.automatic:
            self.follow_live()
            self.solve(_SOLVE_AFTER_S)

    # News ------------------------------------------------------------------------------------------------------

    def tell(self, news: Table) -> None:
        """Send news to every open page; a page that does not listen loses the oldest."""
        for page in self.pages:
            if page.full():
                page.get_nowait()
            page.put_nowait(news)

    async def news(self) -> AsyncIterator[bytes]:
        """Yield news as they come, one JSON line each; an empty line says that the server is there."""
        if len(self.pages) >= _MOST_PAGES:
            return
        mine: asyncio.Queue[Table] = asyncio.Queue(64)
        self.pages.add(mine)
        try:
            yield _line(
                {"number": self.desk.number, "make": self.make, "strength": self._strength_news(), "live": self.live}
            )
            quiet_s = 0.0
            while not self.ends():
                try:
                    yield _line(await asyncio.wait_for(mine.get(), _WAIT_S))
                    quiet_s = 0.0
                except TimeoutError:
                    quiet_s += _WAIT_S
                if quiet_s >= _HEARTBEAT_S:
                    quiet_s = 0.0
                    yield b"\n"
        finally:
            self.pages.discard(mine)

    def _strength_news(self) -> Table:
        return {k: self.strength[k] for k in ("of", "busy", "failed")}

    # Timers ----------------------------------------------------------------------------------------------------

    def _later(self, name: str, seconds: float, work: Callable[[], Any]) -> None:
        """Do something soon, once, however often it is asked for meanwhile."""
        if any(t.get_name() == name and not t.done() for t in self.tasks):
            return
        self._start(name, self._after(seconds, work))

    async def _after(self, seconds: float, work: Callable[[], Any]) -> None:
        await asyncio.sleep(seconds)
        await work()

    def _start(self, name: str, coroutine: Any) -> asyncio.Task[None]:
        task: asyncio.Task[None] = asyncio.get_running_loop().create_task(coroutine, name=name)
        self.tasks.add(task)
        task.add_done_callback(self.tasks.discard)
        return task

    async def _keep(self) -> None:
        await self.do(lambda desk: desk.keep())

    async def watch(self) -> None:
        """Look at the file every second."""
        while True:
            await asyncio.sleep(_LOOK_AT_DISK_S)
            if await self.do(lambda desk: desk.look_at_disk()):
                self.changed()

    def begin(self) -> None:
        """Start what goes on all the time."""
        self._start("watch", self.watch())
        if self.automatic:
            self.follow_live()
            self.solve(_SOLVE_AFTER_S)

    async def end(self) -> None:
        """Keep the draft and stop everything."""
        await self._keep()
        for task in list(self.tasks):
            task.cancel()
        await asyncio.gather(*self.tasks, return_exceptions=True)
        await self.standing.end()
        self.thread.shutdown(wait=True)

    # Long work -------------------------------------------------------------------------------------------------

    def follow_live(self) -> None:
        """Let the live model follow; while it answers, only the newest state waits."""
        self.moved.set()
        if not any(t.get_name() == "live" and not t.done() for t in self.tasks):
            self._start("live", self._live())

    async def _live(self) -> None:
        while True:
            self.moved.clear()
            number, path, text, sound = await self.do(lambda d: (d.number, d.path, d.draft.text, d.study.sound))
            again = self.live["number"] == number
            if not sound or (again and (self.live["failed"] or self.live.get("fields"))):
                return
            job = {"do": "live", "number": number, "path": str(path), "text": text, "fields": again}
            self.live = self.live | {"busy": True}
            async for said in self.standing.ask(job):
                if "done" in said:
                    self.live = {"busy": False, "failed": "", "fields": again, **said["done"]}
                if "step" in said:
                    self.live = self.live | {"builds": True}
                if "failed" in said:
                    self.live = self.live | {"busy": False, "failed": said["failed"], "number": number}
                self.tell({"live": self.live})
            with suppress(TimeoutError):  # the fields as lines follow when the hand rests
                await asyncio.wait_for(self.moved.wait(), _REST_S)

    def solve(self, after_s: float) -> None:
        """Solve the design as it will be in a moment; what is being solved already is given up."""
        if self.solving is not None:
            self.solving.cancel()
        self.solving = self._start("solve", self._solve(after_s))

    async def _solve(self, after_s: float) -> None:
        await asyncio.sleep(after_s)
        while self.live["busy"]:
            await asyncio.sleep(0.2)  # the live answer comes first
        number, path, text, sound = await self.do(lambda d: (d.number, d.path, d.draft.text, d.study.sound))
        if not sound or self.strength["of"] == number:
            return
        self.strength.update(busy=True, failed="")
        self.tell({"strength": self._strength_news()})
        try:
            async for said in work({"do": "strength", "path": str(path), "text": text}):
                if "done" in said:
                    self.strength.update(of=number, result=said["done"])
                if "failed" in said:
                    self.strength.update(failed=said["failed"])
        finally:
            self.strength.update(busy=False)
            self.tell({"strength": self._strength_news()})

    async def start_make(self, products: list[str], paper: str) -> None:
        """Make products of the saved file. Raises Refusal."""
        if self.make["busy"]:
            raise Refusal("something is being made already")
        path, text, unsaved, sound, out = await self.do(
            lambda d: (d.path, d.draft.saved, d.draft.unsaved, d.study.sound, d.out)
        )
        if unsaved:
            raise Refusal("save first: sheets carry the mark of the file that they were made from")
        if not sound:
            raise Refusal("mend the problems first")
        self.make = {"busy": True, "step": "begins", "failed": "", "files": [], "folder": ""}
        self.tell({"make": self.make})
        job = {"do": "make", "path": str(path), "text": text, "products": products, "paper": paper, "out": str(out)}
        self._start("make", self._make(job))

    async def _make(self, job: Table) -> None:
        try:
            async for said in work(job):
                self.make = self.make | said
                if "done" in said:
                    done = self.make.pop("done")
                    self.make["folder"] = done["folder"]
                    self.make["files"] = [self._made(Path(done["folder"]), name) for name in done["files"]]
                self.tell({"make": self.make})
        finally:
            self.make = self.make | {"busy": False, "step": ""}
            self.tell({"make": self.make})

    def _made(self, folder: Path, name: str) -> Table:
        """Give a file that was made an address of its own; only such addresses lead to files."""
        key = hashlib.sha256(f"{self.token} {folder / name}".encode()).hexdigest()[:32]
        self.made[key] = folder / name
        return {"name": name, "address": f"/made/{key}/{Path(name).name}"}


def _line(table: Table) -> bytes:
    return json.dumps(table).encode() + b"\n"
