"""What the server holds: one design, the edits made to it, and what became of it. One thread at a time works here."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from braces.app.study import Study, follow
from braces.base.problems import Problem, Where
from braces.carved.values import Carved
from braces.design.load import BadFile, preset_folder
from braces.design.rewrite import CannotRewrite, Value, read_at
from braces.sheets.words import PlateName
from braces.web import draft as drafts
from braces.web.draft import Draft
from braces.web.figures import Shelf
from braces.web.forms import as_value, form
from braces.web.handles import Drag, Handle
from braces.web.keep import CannotSave, DraftFile, draft_file, on_disk, save, save_new
from braces.web.plan_handles import plan_handles
from braces.web.side_handles import side_handles, stick

_TRIES = 4  #: to find how far a hand may go; each follows the design once
_NUDGES = (1.0, 2.0, 4.0, 8.0)  #: a step too small for a slanted rule is tried larger


class Refusal(Exception):  # noqa: N818 - reads as what it is
    """Why something was not done, in a sentence for the maker."""

    def __init__(self, why: str, problem: Problem | None = None) -> None:
        super().__init__(why)
        self.problem = problem


@dataclass(frozen=True, slots=True)
class Looking:
    """What a page is looking at."""

    plate: PlateName = "top"
    brace: str = ""


class Desk:
    """A design on the desk. Every method is quick, and leaves everything as it was if it raises Refusal."""

    def __init__(self, path: Path, out: Path) -> None:
        """Read the file. Raises BadFile if it cannot be read at all."""
        self.path, self.out = path, out
        self.preset = path.resolve().parent == preset_folder().resolve()
        text = on_disk(path)
        self.kept: DraftFile = draft_file(path)
        self.draft: Draft = drafts.begin(text)
        self.number = 0  #: counts every change, so that pages know what is newer
        self.disk: str | None = None  #: what the file holds, if someone else changed it
        self.note = ""  #: what the maker should know of how this state came about
        self.taken_up = 0  #: unsaved changes that an earlier run left
        self.shelf = Shelf()
        self._gesture_sound: tuple[str, Draft] | None = None
        self.study: Study = follow(path, text)
        self.shown: Study | None = self.study if self.study.carved else None
        self._take_up()

    # What is seen ----------------------------------------------------------------------------------------------

    @property
    def raw(self) -> dict[str, Any]:
        """The tables of the text."""
        return drafts.tables(self.draft.text)

    @property
    def carved(self) -> Carved | None:
        """The newest state that could be carved."""
        return self.shown.carved if self.shown else None

    @property
    def current(self) -> bool:
        """Whether what is shown is of the text as it stands."""
        return self.shown is self.study

    def handles(self, looking: Looking, picture: str) -> list[Handle]:
        """Return the handles of the plan or of the side view."""
        if self.carved is None or not self.current:
            return []
        if picture == "plan":
            return plan_handles(self.carved, looking.plate, self.raw)
        held = stick(self.carved, looking.brace, self.raw)
        return side_handles(held) if held else []

    # Changes ---------------------------------------------------------------------------------------------------

    def drag(self, looking: Looking, picture: str, key: str, drag: Drag, gesture: str, check: bool = True) -> None:
        """Drag a handle; a place that the rule does not allow is refused and says why."""
        handle = self._handle(looking, picture, key)
        assert handle.drag is not None
        try:
            self._set(handle.drag(drag), gesture, check, strict=True)
        except Refusal as refusal:
            raise self._as_far_as_allowed(handle, drag, gesture, refusal) from None

    def _as_far_as_allowed(self, handle: Handle, drag: Drag, gesture: str, refusal: Refusal) -> Refusal:
        """Move a handle towards a place that is refused, until a rule stops it; return what that rule says."""
        assert handle.drag is not None
        low, high = 0.0, 1.0
        for _ in range(_TRIES):
            part = (low + high) / 2
            to = (handle.at[0] + part * (drag.to[0] - handle.at[0]), handle.at[1] + part * (drag.to[1] - handle.at[1]))
            try:
                self._set(handle.drag(Drag(to, drag.fine)), gesture, True, strict=True)
                low = part
            except Refusal as nearer:
                high, refusal = part, nearer
        return refusal

    def nudge(self, looking: Looking, picture: str, key: str, way: tuple[float, float], step: float) -> None:
        """Move a handle by one step of a key: mm, or degrees where it turns."""
        handle = self._handle(looking, picture, key)
        for times in _NUDGES:
            if handle.nudge is not None:
                changes = handle.nudge(way, step * times)
            else:
                assert handle.drag is not None
                at = (handle.at[0] + way[0] * step * times, handle.at[1] + way[1] * step * times)
                changes = handle.drag(Drag(at, fine=True))
            if any(read_at(self.raw, w) != v for w, v in changes.items()):
                break
        self._set(changes, "", True, strict=True)

    def write(self, where: Where, text: str) -> None:
        """Write a value as typed; what is wrong with it then stands among the problems."""
        holder = where[:-1]
        part = holder[:3] if holder[1:2] == ("braces",) else holder[:1]
        row = next((r for r in form(self.raw, part) if r.where == where), None)
        if row is None:
            row = next((r for r in form(self.raw, holder) if r.where == where), None)
        if row is None:
            raise Refusal("there is no such field")
        try:
            value = as_value(row, text)
        except ValueError as error:
            raise Refusal(str(error)) from None
        self._set({where: value}, "", True, strict=False)

    def undo(self) -> None:
        """Take back the last step."""
        self._becomes(drafts.undone(self.draft))

    def redo(self) -> None:
        """Do the step again that was undone last."""
        self._becomes(drafts.redone(self.draft))

    def _handle(self, looking: Looking, picture: str, key: str) -> Handle:
        handle = next((h for h in self.handles(looking, picture) if h.key == key), None)
        if handle is None:
            raise Refusal("that cannot be taken hold of now")
        if handle.drag is None:
            raise Refusal(handle.why)
        return handle

    def _set(self, changes: Mapping[Where, Value], gesture: str, check: bool, strict: bool) -> None:
        try:
            made = drafts.edited(self.draft, changes, gesture)
        except CannotRewrite as error:
            raise Refusal(str(error)) from None
        if made.text == self.draft.text:
            if made is not self.draft:
                self._becomes(made)
            return
        if not check:
            self.draft, self.number = made, self.number + 1
            return
        found = follow(self.path, made.text)
        if strict and (problem := self._newly_wrong(found)) is not None:
            if self._gesture_sound and self._gesture_sound[0] == gesture and self.study.loaded is None:
                self._becomes(self._gesture_sound[1])
            raise Refusal(f"{problem.found}: {problem.advice}", problem)
        self._becomes(made, found)
        self._gesture_sound = (gesture, made)

    def _newly_wrong(self, found: Study) -> Problem | None:
        known = {(p.code, p.where) for p in self.study.problems if p.fatal}
        return next((p for p in found.problems if p.fatal and (p.code, p.where) not in known), None)

    def _becomes(self, made: Draft, found: Study | None = None) -> None:
        self.draft, self.number, self.note = made, self.number + 1, ""
        self.study = found or follow(self.path, made.text)
        if self.study.carved is not None:
            self.shown = self.study

    def settle(self) -> None:
        """Follow the text if an edit was set without looking at it."""
        text = self.study.loaded.text if self.study.loaded else None
        if text != self.draft.text and not (text is None and self.study.problems):
            self._becomes(self.draft)

    # The file --------------------------------------------------------------------------------------------------

    def save(self) -> str:
        """Write the text into the file it came from; a preset becomes a file of one's own. Return where."""
        if self.preset:
            own = Path.cwd() / self.path.name
            self._saving(lambda: save_new(own, self.draft.text))
            self.kept.keep(drafts.begin(self.draft.text))
            self.path, self.preset, self.kept = own, False, draft_file(own)
        else:
            self.look_at_disk()
            if self.disk is not None:
                raise Refusal("the file was changed by someone else meanwhile: merge first, nothing was written")
            self._saving(lambda: save(self.path, self.draft.text, self.draft.saved))
        self._becomes(drafts.as_saved(self.draft))
        self.taken_up = 0
        self.keep()
        return str(self.path)

    def _saving(self, write: Callable[[], None]) -> None:
        try:
            write()
        except CannotSave as error:
            raise Refusal(str(error)) from None

    def look_at_disk(self) -> bool:
        """Look whether someone else changed the file; return whether that is news. Without edits it is read again."""
        try:
            text = on_disk(self.path)
        except BadFile:
            return False  # gone or half written: saving will say so
        if text == self.draft.saved:
            news, self.disk = self.disk is not None, None
            self.number += news
            return news
        if text == self.disk:
            return False
        if not self.draft.unsaved:
            self._becomes(drafts.begin(text))
            self.note = "The file was changed by someone else and has been read again."
            return True
        self.disk = text
        self.number += 1
        return True

    def merge(self, keep_mine: bool) -> None:
        """Set the changes made here in the file as it is now, for saving."""
        if self.disk is None:
            raise Refusal("the file has not been changed")
        try:
            made = drafts.merged(self.draft, self.disk, keep_mine)
        except CannotRewrite as error:
            raise Refusal(f"these changes have no place in the file any more: {error}") from None
        self.disk = None
        self._becomes(made)
        self.note = "Merged: your changes now stand in the file's newest text. Save to keep them."
        self.keep()

    def keep(self) -> None:
        """Write the unsaved draft where a later run finds it."""
        self.kept.keep(self.draft)

    def _take_up(self) -> None:
        """Carry on with what an earlier run left unsaved."""
        left = self.kept.found()
        if left is None or not left.unsaved:
            return
        text = self.draft.saved
        if left.saved == text:
            self._becomes(left)
        else:
            try:
                self._becomes(drafts.merged(left, text, keep_mine=False))
            except CannotRewrite:
                return
        self.taken_up = len(drafts.changes_since_saved(self.draft))

    def discard(self) -> None:
        """Go back to the file; what was taken up can still be done again."""
        while self.draft.done:
            self.draft = drafts.undone(self.draft)
        if self.draft.text != self.draft.saved:
            self.draft = drafts.begin(self.draft.saved)
        self.taken_up = 0
        self._becomes(self.draft)
        self.keep()
