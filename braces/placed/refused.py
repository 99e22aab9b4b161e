"""How a rule gives up on one brace: it raises, the layout notes why and goes on with the next."""

from __future__ import annotations

from braces.base.problems import Problem, Where


class Refused(Exception):  # noqa: N818 - reads as what it is
    """This brace cannot be laid. ``problem`` is None if it hangs on another that was refused already."""

    def __init__(self, problem: Problem | None) -> None:
        super().__init__(str(problem))
        self.problem = problem


def refuse(code: str, where: Where, found: str, advice: str) -> Refused:
    """Return the refusal to raise."""
    return Refused(Problem(code, where, found, advice))
