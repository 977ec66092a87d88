"""The Gaussian part of partial pooling at each point of its grid: blocks in lots in cells under the coefficients.

Lots and cells are summed out by hand: the mean of a group has the variance of its own effect + 1 / (its precision).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(frozen=True, kw_only=True)
class Rows:
    """Blocks (b), their lots (l), the lots' cells (c), and cells against coefficients (k): farm, varieties, suppliers.

    y (b), extra (b): log yield and its own variance. lot (b), cell (l): the group each belongs to, counted from 0 and
    in rising order. design (c, k). mean (k), variance (k): prior of the coefficients; supplier (k) is True where the variance is
    between2. shared (z, b): True where a block leans on the estimate z; doubt (z): variance of that estimate.
    """

    y: Floats
    extra: Floats
    lot: Whole
    cell: Whole
    design: Floats
    mean: Floats
    variance: Floats
    supplier: NDArray[np.bool_]
    shared: NDArray[np.bool_]
    doubt: Floats


class Groups:
    """Members gathered into groups at each grid point g: means weighted by precision, the group's own effect apart."""

    def __init__(self, precision: Floats, own: Floats, group: Whole) -> None:
        """precision (g, m) of the members, own (g, 1) variance of the groups' effects, group (m) in rising order."""
        self.group = group
        self.starts = np.flatnonzero(np.diff(group, prepend=-1))
        self.members = precision
        self.inner = self._summed(precision)
        self.part = precision / self.inner[:, group]
        self.precision = self.inner / (1 + self.inner * own)
        self.kept = self.inner * own / (1 + self.inner * own)
        self.left = own * (1 - self.kept)  # variance of a group's effect once its mean is known

    def mean(self, of_members: Floats) -> Floats:
        return self._summed(self.part * of_members)

    def log_fit(self, of_members: Floats) -> Floats:
        """(g): log-likelihood of the members around their group's mean, constants left out."""
        off = of_members - self.mean(of_members)[:, self.group]
        logs = np.log(self.members).sum(axis=1) - np.log(self.inner).sum(axis=1)
        fit: Floats = (logs - (self.members * off**2).sum(axis=1)) / 2
        return fit

    def to_members(self, above: Floats, mean: Floats) -> Floats:
        """What each member's group comes to, between what stands above the group and the mean of its members."""
        return (above + self.kept * (mean - above))[:, self.group]

    def _summed(self, of_members: Floats) -> Floats:
        summed: Floats = np.add.reduceat(of_members, self.starts, axis=1)
        return summed


class Layers:
    """The Gaussian part at each grid point: lots, cells, and the coefficients' covariance (g, k, k)."""

    def __init__(self, rows: Rows, grid: Floats, information: Floats) -> None:
        own = grid[:, 1:2] ** 2
        self.rows = rows
        self.lots = Groups(information, own, rows.lot)
        self.cells = Groups(self.lots.precision, own, rows.cell)
        k = rows.design.shape[1]
        self.prior = np.where(rows.supplier, 1 / grid[:, :1] ** 2, 1 / rows.variance)
        outer = (rows.design[:, :, None] * rows.design[:, None, :]).reshape(-1, k * k)
        whole = (self.cells.precision @ outer).reshape(-1, k, k) + self.prior[:, :, None] * np.eye(k)
        self.covariance = np.linalg.inv(whole)
        self.log_determinant = np.linalg.slogdet(whole)[1]

    def of_cells(self, of_blocks: Floats) -> Floats:
        """(g, c): means of the cells' blocks."""
        return self.cells.mean(self.lots.mean(of_blocks))

    def mode(self, y: Floats) -> tuple[Floats, Floats]:
        """Coefficients (g, k) and the level of each block's lot (g, b), from working yields (g, b)."""
        of_lots = self.lots.mean(y)
        of_cells = self.cells.mean(of_lots)
        coefficients = self.rows.mean + self._shift(of_cells)
        levels = self.cells.to_members(coefficients @ self.rows.design.T, of_cells)
        return coefficients, self.lots.to_members(levels, of_lots)

    def log_evidence(self, y: Floats) -> Floats:
        """(g): of the working yields, constants left out."""
        of_lots = self.lots.mean(y)
        of_cells = self.cells.mean(of_lots)
        off = of_cells - self.rows.design @ self.rows.mean
        pull = (self.cells.precision * off) @ self.rows.design
        scatter = (np.log(self.cells.precision) - self.cells.precision * off**2).sum(axis=1)
        gained = (
            (self._shift(of_cells) * pull).sum(axis=1) + np.log(self.prior).sum(axis=1) - self.log_determinant
        )
        evidence: Floats = self.lots.log_fit(y) + self.cells.log_fit(of_lots) + (scatter + gained) / 2
        return evidence

    def _shift(self, of_cells: Floats) -> Floats:
        pull = (self.cells.precision * (of_cells - self.rows.design @ self.rows.mean)) @ self.rows.design
        shift: Floats = np.einsum("gkj,gj->gk", self.covariance, pull)
        return shift
