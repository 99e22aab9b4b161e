"""Arrays that a frozen value may hold."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]  #: of any shape
    Floats = NDArray[np.float64]  #: (n,)
    Points = NDArray[np.float64]  #: (n, 2), mm
else:  # numpy.typing alone would make `braces check` a tenth slower to start
    Array = Floats = Points = np.ndarray


def frozen_floats(values: Sequence[float] | NDArray[Any]) -> Floats:
    """Return a read-only (n,) float copy of ``values``."""
    a = np.array(values, dtype=float)
    if a.ndim != 1:
        raise ValueError(f"expected numbers of shape (n,), got {a.shape}")
    a.setflags(write=False)
    return a


def frozen_points(xy: Sequence[Any] | NDArray[Any]) -> Points:
    """Return a read-only (n, 2) float copy of ``xy``."""
    a = np.array(xy, dtype=float)
    if a.ndim != 2 or a.shape[1] != 2:
        raise ValueError(f"expected points of shape (n, 2), got {a.shape}")
    a.setflags(write=False)
    return a
