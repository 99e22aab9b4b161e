"""A design's text and the edits made to it, as an immutable value: every change gives a new one.

A step is what one undo takes back: one value typed, or everything that one drag set on its way. Texts are kept, not
recomputed, so undoing is exact to the byte.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from braces.base.problems import Where
from braces.design.rewrite import Value, read_at, rewrite

_PLAIN = re.compile(r"[A-Za-z0-9 .,%/+-]*")  #: what stands in double quotes as it is
_FIRST = "\ue000"  #: a letter of nobody's alphabet
MOST_STEPS = 300  #: older ones can no longer be undone; they stay in the text


@dataclass(frozen=True, slots=True)
class Step:
    """One undoable change: the values it set and the text it led to."""

    gesture: str  #: edits of one gesture become one step
    changes: tuple[tuple[Where, Value], ...]
    text: str


@dataclass(frozen=True, slots=True)
class Draft:
    """The saved text, the steps done since, and those undone that can be done again."""

    saved: str  #: the text in the file
    base: str  #: the text under the first step
    done: tuple[Step, ...] = ()
    undone: tuple[Step, ...] = ()  #: the next to be done again is the last

    @property
    def text(self) -> str:
        """The design's text as it stands."""
        return self.done[-1].text if self.done else self.base

    @property
    def unsaved(self) -> bool:
        """Whether the text differs from the file's."""
        return self.text != self.saved


def begin(text: str) -> Draft:
    """Return the draft of a file that was just read."""
    return Draft(text, text)


def edited(draft: Draft, changes: Mapping[Where, Value], gesture: str) -> Draft:
    """Return the draft with values set; a step of the same gesture is carried on. Raises CannotRewrite."""
    same = bool(draft.done) and bool(gesture) and draft.done[-1].gesture == gesture
    before = replace(draft, done=draft.done[:-1]) if same else draft
    earlier = dict(draft.done[-1].changes) if same else {}
    merged = {**earlier, **changes}
    text = _rewritten(before.text, merged)
    if text == before.text:
        return before if same else draft
    step = Step(gesture, tuple(merged.items()), text)
    done = (*before.done, step)
    if len(done) > MOST_STEPS:
        return Draft(draft.saved, done[0].text, done[1:])
    return Draft(draft.saved, before.base, done)


def _rewritten(text: str, changes: Mapping[Where, Value]) -> str:
    """Rewrite a text as ``rewrite`` does.

    While a hand drags, the same places are set again and again: the text with marks at those places is kept, and
    filling them in is quicker than editing the text anew.
    """
    if not all(isinstance(v, str) and _PLAIN.fullmatch(v) for v in changes.values()) or _FIRST in text:
        return rewrite(text, changes)
    made = _marked(text, tuple(changes))
    for k, value in enumerate(changes.values()):
        made = made.replace(_mark(k), str(value))
    return made


def _mark(number: int) -> str:
    return f"{_FIRST}{number}\ue001"


@lru_cache(maxsize=4)
def _marked(text: str, places: tuple[Where, ...]) -> str:
    return rewrite(text, {where: _mark(k) for k, where in enumerate(places)})


def undone(draft: Draft) -> Draft:
    """Return the draft without its last step."""
    if not draft.done:
        return draft
    return replace(draft, done=draft.done[:-1], undone=(*draft.undone, draft.done[-1]))


def redone(draft: Draft) -> Draft:
    """Return the draft with the step that was undone last."""
    if not draft.undone:
        return draft
    return replace(draft, done=(*draft.done, draft.undone[-1]), undone=draft.undone[:-1])


def as_saved(draft: Draft) -> Draft:
    """Return the draft whose text has become the file's."""
    return replace(draft, saved=draft.text)


def changes_since_saved(draft: Draft) -> dict[Where, Value]:
    """Return every value that differs from the file's, in the order it was set."""
    saved, now = tables(draft.saved), tables(draft.text)
    touched = dict.fromkeys(where for step in draft.done for where, _ in step.changes)
    return {w: read_at(now, w) for w in touched if read_at(now, w) != read_at(saved, w)}


@dataclass(frozen=True, slots=True)
class Clash:
    """A value that was changed here and in the file, each in its own way."""

    where: Where
    was: object
    here: object
    file: object


def clashes(draft: Draft, disk: str) -> tuple[Clash, ...]:
    """Return the values changed here that the file on disk has changed too, or no longer has."""
    saved, now = tables(draft.saved), tables(disk)
    return tuple(
        Clash(where, read_at(saved, where), here, read_at(now, where))
        for where, here in changes_since_saved(draft).items()
        if read_at(now, where) not in (read_at(saved, where), here)
    )


def merged(draft: Draft, disk: str, keep_mine: bool) -> Draft:
    """Return the file on disk with the changes made here set in it again, as one step.

    Where both changed a value, mine is set if ``keep_mine``, else the file's stays. Raises CannotRewrite if a value
    has no place any more.
    """
    drop = set() if keep_mine else {c.where for c in clashes(draft, disk)}
    mine = {w: v for w, v in changes_since_saved(draft).items() if w not in drop and v is not None}
    return edited(begin(disk), mine, "") if mine else begin(disk)


def tables(text: str) -> dict[str, Any]:
    """Return the tables of a text, none if it cannot be read."""
    try:
        return tomllib.loads(text)
    except ValueError:
        return {}
