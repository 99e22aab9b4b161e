"""What must hold of any design that was carved without a fatal problem."""

from __future__ import annotations

import numpy as np
import pytest

from braces.app.study import Study


def whole(study: Study) -> None:
    """Wood within its blank; notch and rest make up the height; every brace once in its plate and in the order."""
    assert study.carved is not None
    for b in study.carved.braces:
        assert 0 < b.volume_mm3 < b.blank.length_mm * b.blank.width_mm * b.blank.height_mm
        assert b.height.y_mm.min() > 0
        assert np.all(b.height.y_mm - b.drop.y_mm > -1e-9)
        for n in b.notches:
            if n.kind in ("half-lap", "strip"):
                assert n.depth_mm + n.left_mm == pytest.approx(b.height.at(n.at_mm), abs=1e-6)
                assert n.left_mm > 0
    for plate in study.carved.plates:
        assert len({b.name for b in plate.braces}) == len(plate.braces)
        assert set(plate.order) == {b.name for b in plate.braces}
