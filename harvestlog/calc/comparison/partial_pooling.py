"""Partial pooling: what suppliers and varieties do to a yield, learnt from few blocks in a few deliveries.

The model, for block b of lot l (one delivery) of cell c (one variety from one supplier), y the log of its yield:

    y_b = farm + variety(c) + supplier(c) + cell(c) + lot(l) + noise_b
    farm ~ N(0, farm_sd2)        variety v ~ N(m_v, s_v2)        supplier ~ N(0, between2)
    cell ~ N(0, lots2)           lot ~ N(0, lots2)
    noise_b ~ Student t with tail_df degrees of freedom and squared scale within2 + extra_b
    between, lots, within ~ half-normal, each with its own scale

extra_b is the variance a block brings along because its yield is partly estimated (an unfinished block). A cell is
how a supplier's variety departs from what supplier and variety say apart; it is taken to be as wide as the lots.

The three scales are integrated over a fixed grid. At each point of it the rest is Laplace's Gaussian: the mode, found
by scoring steps, and the expected information of the Student t, (df + 1) / (df + 3) of a Gaussian's (Lange, Little &
Taylor 1989, J Am Stat Assoc 84:881). A block at a residual r from its lot counts with the weight
(df + 1) / (df + r2 / scale2), so one far from its kin pulls less. No clock, no chance.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from harvestlog.calc.comparison.layers import Layers, Rows

Floats = NDArray[np.float64]

ROUGH_STEPS, STEPS = (
    2,
    8,
)  # eight leave the ends of intervals within 0.004, on the log scale, of where thirty do
# Grid points below these shares of the best one are dropped: after the rough steps, and in the end.
UNLIKELY, NEGLIGIBLE = 1e-7, 1e-4


@dataclass(frozen=True, kw_only=True)
class Scales:
    """Half-normal scale of each standard deviation on the log scale, and the degrees of freedom of the noise."""

    between: float
    lots: float
    within: float
    tail_df: float


@dataclass(frozen=True, kw_only=True)
class Fit:
    """Posterior: a mixture over g grid points of Gaussians; weight (g), scales (g, 3): between, lots, within.

    block_weight (b): 1 for a usual block, less for one far from its kin.
    """

    weight: Floats
    scales: Floats
    block_weight: Floats
    _layers: Layers
    _mode: Floats  # (g, k)
    _of_cells: Floats  # (g, c): means of the cells' blocks
    _moved: list[Floats]  # (g, c) for each shared estimate: how far they move with it

    def contrast(self, coefficients: Floats, cells: Floats, unseen: float = 0.0) -> tuple[Floats, Floats]:
        """Mean and variance (g) of a sum of coefficients (k) and of the effects of cells (c).

        unseen: sum of squares of the factors before cells that no block has come from.
        """
        layers = self._layers
        kept = layers.cells.kept * cells
        of = coefficients - kept @ layers.rows.design
        mean = (of * self._mode).sum(axis=1)
        mean += (kept * self._of_cells).sum(axis=1)
        spread = np.einsum("gk,gkj,gj->g", of, layers.covariance, of)
        inner = layers.cells.left @ cells**2 + self.scales[:, 1] ** 2 * unseen
        return mean, spread + inner + self._leaning(of, kept)

    def _leaning(self, of: Floats, cells: Floats) -> Floats:
        """(g): variance from the doubt that unfinished blocks share: how far the mean moves with it, squared."""
        layers = self._layers
        towards = np.einsum("gkj,gk->gj", layers.covariance, of) @ layers.rows.design.T
        total = np.zeros(len(self.weight))
        for moved, doubt in zip(self._moved, layers.rows.doubt, strict=True):
            total += doubt * ((towards * layers.cells.precision + cells) * moved).sum(axis=1) ** 2
        return total


def pool(rows: Rows, scales: Scales) -> Fit:
    """Posterior of farm, varieties, suppliers and cells from log yields; see the module for the model.

    Valid for any number of blocks from 1 up, each lot with at least one and each cell with at least one lot.
    Source: linear Gaussian model with known variances (Gelman et al. 2013, Bayesian Data Analysis, chapter 15),
    summed over the grid.
    """
    grid, log_prior = grid_of(scales)
    *_, evidence = _scored(rows, grid, scales.tail_df, ROUGH_STEPS)
    likely = _share(evidence + log_prior) > UNLIKELY
    grid, log_prior = grid[likely], log_prior[likely]
    y, weights, evidence = _scored(rows, grid, scales.tail_df, STEPS)
    share = _share(evidence + log_prior)
    keep = share > NEGLIGIBLE
    weight = share[keep] / share[keep].sum()
    layers = Layers(rows, grid[keep], _information(rows, grid[keep], scales.tail_df))
    return Fit(
        weight=weight,
        scales=grid[keep],
        block_weight=weight @ weights[keep],
        _layers=layers,
        _mode=layers.mode(y[keep])[0],
        _of_cells=layers.of_cells(y[keep]),
        _moved=[layers.of_cells(np.broadcast_to(leans, y[keep].shape)) for leans in rows.shared],
    )


def _share(log_mass: Floats) -> Floats:
    """Masses as shares of the greatest."""
    share: Floats = np.exp(log_mass - log_mass.max())
    return share


def _known(df: float) -> float:
    """Expected information of a Student t, as a share of a Gaussian's of the same scale."""
    return (df + 1) / (df + 3)


def _information(rows: Rows, grid: Floats, df: float) -> Floats:
    """(g, b): expected information on its lot's level from each block."""
    information: Floats = _known(df) / (grid[:, 2:] ** 2 + rows.extra)
    return information


def _scored(rows: Rows, grid: Floats, df: float, steps: int) -> tuple[Floats, Floats, Floats]:
    """Working yields and weights (g, b) at the mode of each grid point, and its log evidence (g)."""
    noise = grid[:, 2:] ** 2 + rows.extra
    layers = Layers(rows, grid, _information(rows, grid, df))
    y = np.broadcast_to(rows.y, noise.shape)
    level = layers.mode(y)[1]
    for _ in range(steps):
        off = rows.y - level
        weights = (df + 1) * noise / (df * noise + off * off)
        y = level + weights * off / _known(df)
        level = layers.mode(y)[1]
    student = -(np.log(noise) + (df + 1) * np.log1p((rows.y - level) ** 2 / noise / df)) / 2
    gaussian = -(np.log(noise) + (y - level) ** 2 / noise * _known(df)) / 2
    return y, weights, layers.log_evidence(y) + (student - gaussian).sum(axis=1)


def grid_of(scales: Scales) -> tuple[Floats, Floats]:
    """Points of (between, lots, within) and their log prior mass: half-normal densities at log-spaced points."""
    axes = np.geomspace(0.1, 3.0, 8), np.geomspace(0.12, 2.6, 5), np.geomspace(0.2, 2.8, 10)
    relative = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)
    points = relative * np.array([scales.between, scales.lots, scales.within])
    return points, (np.log(relative) - relative**2 / 2).sum(axis=1)
