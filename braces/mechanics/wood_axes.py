"""Elastic constants turned to the direction that is needed."""

from __future__ import annotations

from math import cos, sin

import numpy as np

from braces.base.arrays import Floats
from braces.design.woods import Elastic


def plane_stress(e: Elastic, angle_rad: float = 0.0) -> Floats:
    """Return Q, (3, 3) in MPa, of a quartersawn plate whose grain makes ``angle_rad`` with x.

    Stresses (xx, yy, xy) = Q (strain xx, strain yy, engineering shear xy). Textbook, e.g. Jones, Mechanics of
    Composite Materials. Growth rings stand upright, so R lies in the plate and T goes through it.
    """
    d = 1 - e.nu_lr_ratio**2 * e.e_r_mpa / e.e_l_mpa
    own = np.array(
        [
            [e.e_l_mpa / d, e.nu_lr_ratio * e.e_r_mpa / d, 0.0],
            [e.nu_lr_ratio * e.e_r_mpa / d, e.e_r_mpa / d, 0.0],
            [0.0, 0.0, e.g_lr_mpa],
        ]
    )
    c, s = cos(angle_rad), sin(angle_rad)
    turn = np.array([[c * c, s * s, c * s], [s * s, c * c, -c * s], [-2 * c * s, 2 * c * s, c * c - s * s]])
    return np.asarray(turn.T @ own @ turn)


def cross_shear(e: Elastic, angle_rad: float = 0.0) -> Floats:
    """Return the (2, 2) stiffness in MPa of the shears (xz, yz) through a quartersawn plate."""
    c, s = cos(angle_rad), sin(angle_rad)
    turn = np.array([[c, s], [-s, c]])
    return np.asarray(turn.T @ np.diag([e.g_lt_mpa, e.g_rt_mpa]) @ turn)


def strip_modulus_mpa(e: Elastic, angle_rad: float) -> float:
    """Return Young's modulus of the plate's wood in its plane at ``angle_rad`` to the grain.

    1/E = c^4/E_L + s^4/E_R + c^2 s^2 (1/G_LR - 2 nu_LR/E_L) (textbook).
    """
    c2, s2 = cos(angle_rad) ** 2, sin(angle_rad) ** 2
    return 1 / (c2**2 / e.e_l_mpa + s2**2 / e.e_r_mpa + c2 * s2 * (1 / e.g_lr_mpa - 2 * e.nu_lr_ratio / e.e_l_mpa))


def solid_stiffness(e: Elastic) -> Floats:
    """Return the (6, 6) stiffness in MPa in brace axes: strains (xx, yy, zz, yz, xz, xy), engineering shears.

    x along the brace and the grain (L), y across it (T), z away from the glue face (R): upright growth rings.
    """
    s = np.zeros((6, 6))
    s[0, 0], s[1, 1], s[2, 2] = 1 / e.e_l_mpa, 1 / e.e_t_mpa, 1 / e.e_r_mpa
    s[0, 1] = s[1, 0] = -e.nu_lt_ratio / e.e_l_mpa
    s[0, 2] = s[2, 0] = -e.nu_lr_ratio / e.e_l_mpa
    s[1, 2] = s[2, 1] = -e.nu_rt_ratio / e.e_r_mpa
    s[3, 3], s[4, 4], s[5, 5] = 1 / e.g_rt_mpa, 1 / e.g_lr_mpa, 1 / e.g_lt_mpa
    return np.asarray(np.linalg.inv(s), dtype=np.float64)
