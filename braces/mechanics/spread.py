"""How far the answers spread when the wood does: many samples on a small basis made for them.

Stiffness and mass depend linearly on four factors: modulus and density of the plate's wood, and of the braces'. Full
solutions at the mean and at both ends of each modulus span a small basis, on which a sample costs milliseconds.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import degrees, pi
from statistics import NormalDist
from typing import Any

import numpy as np

from braces.base.arrays import Floats
from braces.carved.values import Carved
from braces.mechanics.analyse import MODES, QUICK, string_vectors
from braces.mechanics.braced_plate import Mesh, System, assemble, bind, modes, sheet_matrices
from braces.mechanics.built import Built
from braces.mechanics.instrument import Setting, plate_model
from braces.mechanics.strings import StringLoad

#: Coefficients of variation of clear wood, Wood Handbook table 5-6 as remembered: modulus 22 %, specific gravity 10 %.
E_SPREAD_RATIO = 0.22
DENSITY_SPREAD_RATIO = 0.10
_LEAST_FACTOR = 0.35  #: no stick that is used is softer or lighter than this part of the mean
_REACH = 1.6  #: basis solutions stand so many standard deviations from the mean


@dataclass(frozen=True, slots=True, eq=False)
class Spread:
    """Samples (n,) or (n, modes), with the factors (n, 4) that gave them: plate E, brace E, plate and brace density."""

    factors: Floats
    turn_deg: Floats
    hertz: Floats
    basis_count: int
    mean_turn_deg: float  #: at the wood's mean
    mean_hertz: Floats  #: (modes,)

    def range_of(self, values: Floats, share: float = 0.9) -> tuple[Floats, Floats]:
        """Return the ends of the middle ``share`` of the samples."""
        tail = (1 - share) / 2
        return np.quantile(values, tail, axis=0), np.quantile(values, 1 - tail, axis=0)


@dataclass(frozen=True, slots=True, eq=False)
class Family:
    """A plate's matrices split by what scales them."""

    system: System
    plate_stiffness: Any  #: sparse (n, n), of the plate's own wood: part of the system's base
    plate_mass: Any
    load: Floats
    turn: Floats

    def at(self, factors: Floats) -> System:
        """The full system with other woods; the glue in the laps stays as it is."""
        whole = self.system
        return System(
            whole.bound,
            _scaled(whole.stiffness, self.plate_stiffness, factors[0], factors[1]),
            _scaled(whole.mass, self.plate_mass, factors[2], factors[3]),
        )

    def split(self, small: Floats) -> tuple[list[Floats], list[Floats]]:
        """Return stiffness and mass on a basis (unknowns, k), each as [fixed, plate, braces]."""
        out = []
        for whole, plate in ((self.system.stiffness, self.plate_stiffness), (self.system.mass, self.plate_mass)):
            own = small.T @ (plate @ small)
            bars = small.T @ (replace(whole, base=0 * whole.base, gaps=(), springs=()) @ small)
            out.append([small.T @ (whole @ small) - own - bars, own, bars])
        return out[0], out[1]


def _scaled(whole: Built, plate: Any, of_plate: float, of_braces: float) -> Built:
    return replace(whole, base=(whole.base + (of_plate - 1) * plate).tocsr(), elements=of_braces * whole.elements)


def latin_hypercube(samples: int, spreads: tuple[float, ...], seed: int = 1) -> Floats:
    """Return factors (samples, len(spreads)) about 1, normal, one from each of ``samples`` equally likely slices."""
    rng = np.random.default_rng(seed)
    normal = NormalDist()
    out = np.empty((samples, len(spreads)))
    for k, spread in enumerate(spreads):
        slices = (rng.permutation(samples) + rng.random(samples)) / samples
        out[:, k] = [1 + spread * normal.inv_cdf(float(np.clip(p, 1e-6, 1 - 1e-6))) for p in slices]
    return np.maximum(out, _LEAST_FACTOR)


def family(carved: Carved, setting: Setting, load: StringLoad, mesh: Mesh = QUICK) -> Family:
    """Return the top's matrices, split."""
    import scipy.sparse as sp

    model = plate_model(carved, "top", setting, mesh)
    bound = bind(model.plate, mesh, model.keep_fine)
    system = assemble(bound)
    grow = system.count - bound.space.count
    empty = sp.csr_matrix((grow, grow))
    plate = [sp.block_diag([p, empty], format="csr") for p in sheet_matrices(bound.space, model.plate.sheet, ())]
    force, turn = string_vectors(model, system, load)
    return Family(system, plate[0], plate[1], force, turn)


def basis(made: Family, spreads: tuple[float, ...]) -> Floats:
    """Return an orthonormal basis (unknowns, vectors): statics and modes at the mean and at its neighbours."""
    found = []
    corners = [np.ones(4)]
    for k in range(2):
        for sign in (-1, 1):
            f = np.ones(4)
            f[k] = max(1 + sign * _REACH * spreads[k], _LEAST_FACTOR)
            corners.append(f)
    for k in (2, 3):
        f = np.ones(4)
        f[k] = 1 + _REACH * spreads[k]
        corners.append(f)
    for f in corners:
        system = made.at(f)
        factor = system.stiffness.factor()
        found += [factor.solve(made.load)[:, None], factor.solve(made.turn)[:, None]]
        found.append(modes(system, MODES + 4, factor=factor)[1])
    every = np.concatenate(found, axis=1)
    scale = 1 / np.sqrt(np.einsum("ij,ij->j", every, made.system.stiffness @ every))
    gram = (every * scale).T @ (made.system.stiffness @ (every * scale))
    values, turned = np.linalg.eigh((gram + gram.T) / 2)
    good = values > 1e-10 * values[-1]
    return np.asarray((every * scale) @ (turned[:, good] / np.sqrt(values[good])))


def spread(
    made: Family,
    samples: int = 200,
    spreads: tuple[float, float, float, float] = (
        E_SPREAD_RATIO,
        E_SPREAD_RATIO,
        DENSITY_SPREAD_RATIO,
        DENSITY_SPREAD_RATIO,
    ),
    seed: int = 1,
) -> Spread:
    """Return the spread of the bridge's turn and of the modes for spreads of plate E, brace E, and both densities."""
    small = basis(made, spreads)
    k, m = made.split(small)
    load, turn = small.T @ made.load, small.T @ made.turn
    factors = latin_hypercube(samples, spreads, seed)
    turns, hertz = np.empty(samples + 1), np.empty((samples + 1, MODES))
    for i, f in enumerate([*factors, np.ones(len(spreads))]):
        stiff, mass = k[0] + f[0] * k[1] + f[1] * k[2], m[0] + f[2] * m[1] + f[3] * m[2]
        turns[i] = degrees(float(turn @ np.linalg.solve(stiff, load)))
        low = np.linalg.inv(np.linalg.cholesky(stiff))
        values = np.linalg.eigvalsh(low @ ((mass + mass.T) / 2) @ low.T)[::-1][:MODES]
        hertz[i] = 1 / np.sqrt(values) / (2 * pi)
    return Spread(factors, turns[:-1], hertz[:-1], small.shape[1], float(turns[-1]), hertz[-1])
