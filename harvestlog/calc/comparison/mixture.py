"""A distribution as a row of equally likely values, so that unlike parts can be added and read off without chance."""

from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

ATOMS = 121
SHARES = (np.arange(ATOMS) + 0.5) / ATOMS
_NORMAL = np.array([NormalDist().inv_cdf(share) for share in (np.arange(41) + 0.5) / 41])
_NORMAL /= np.sqrt((_NORMAL**2).mean())  # the cut tails would lose 2 % of the spread


def of_gaussians(weight: Floats, mean: Floats, variance: Floats) -> Floats:
    """Atoms (ATOMS) of a mixture of Gaussians, one for each of the g entries; weights sum to 1."""
    values = (mean[:, None] + np.sqrt(variance)[:, None] * _NORMAL).ravel()
    return _even(values, np.repeat(weight / len(_NORMAL), len(_NORMAL)))


def of_sum(one: Floats, other: Floats) -> Floats:
    """Atoms of the sum of two independent values."""
    values = (one[:, None] + other[None, :]).ravel()
    values.sort()
    return _even_sorted(values)


def interval(atoms: Floats, level: float) -> tuple[float, float, float]:
    """Median and the two ends between which `level` of the atoms lie."""
    middle, low, high = np.interp([0.5, (1 - level) / 2, (1 + level) / 2], SHARES, atoms)
    return float(middle), float(low), float(high)


def chance_above_zero(atoms: Floats) -> float:
    """Share of the atoms above 0, read between them; never quite 0 or 1."""
    return float(1 - np.interp(0.0, atoms, SHARES, left=0.5 / ATOMS, right=1 - 0.5 / ATOMS))


def _even(values: Floats, weight: Floats) -> Floats:
    order = np.argsort(values)
    below = np.cumsum(weight[order])
    atoms: Floats = np.interp(SHARES, below - weight[order] / 2, values[order])
    return atoms


def _even_sorted(values: Floats) -> Floats:
    atoms: Floats = np.interp(SHARES, (np.arange(len(values)) + 0.5) / len(values), values)
    return atoms
