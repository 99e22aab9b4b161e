"""Making the products of a sound design and writing them in one go."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from pathlib import Path

from braces.app.products import PRODUCTS, Files, Job, Product, Step
from braces.app.study import Study
from braces.app.writer import write_set


class UnknownProduct(Exception):  # noqa: N818 - reads as what it is
    """A product that the registry does not have."""


def product_list(only: Sequence[str] | None, study: Study) -> tuple[Product, ...]:
    """Return the products named (each name may hold several with commas), or all that a design asks for.

    Raises UnknownProduct.
    """
    if not only:
        design = study.loaded.design if study.loaded else None
        return tuple(p for p in PRODUCTS if not p.asked or (p.section and getattr(design, p.section, None) is not None))
    known = {p.key: p for p in PRODUCTS}
    named = [n.strip() for part in only for n in part.split(",") if n.strip()]
    for name in named:
        if name not in known:
            close = difflib.get_close_matches(name, known, n=1)
            hint = f' Did you mean "{close[0]}"?' if close else ""
            raise UnknownProduct(f'There is no product "{name}".{hint} There are: {", ".join(known)}.')
    return tuple(p for p in PRODUCTS if p.key in named)


def make_all(
    study: Study,
    out: Path,
    paper: str,
    products: Sequence[Product],
    step: Step = lambda _title, _share: None,
    keep_others: bool = False,
    jobs: int = 1,
    inches: bool = False,
) -> tuple[Path, list[str]]:
    """Make ``products`` and write them under ``out``; return the folder and the files, sorted.

    Everything is made before anything is written. ``keep_others`` keeps what earlier runs made and this one does
    not; ``jobs`` is how many processes may work at once; with ``inches`` they stand beside mm.

    Raises OSError or UnsafeTarget.
    """
    job = Job(study, paper, jobs, step, inches)
    files: Files = {}
    for product in products:
        step(product.title, 0.0)
        files.update(product.make(job))
        job.made.add(product.key)
    return write_set(out, study.stem, files, keep_others), sorted(files)
