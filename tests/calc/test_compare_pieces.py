"""The pieces of the comparison against reference libraries: scipy's beta and normal, lifelines' Kaplan-Meier."""

import numpy as np
import pytest
from lifelines import KaplanMeierFitter  # type: ignore[import-untyped]
from lifelines.utils import median_survival_times  # type: ignore[import-untyped]
from scipy import stats  # type: ignore[import-untyped]

from harvestlog.calc.comparison import mixture
from harvestlog.calc.comparison.failures import (
    FailurePrior,
    beta_quantile,
    failure_shares,
    mean_share,
    quantiles,
)
from harvestlog.calc.comparison.layers import Rows
from harvestlog.calc.comparison.partial_pooling import Scales, grid_of, pool
from harvestlog.calc.comparison.survival import Waited, median_wait, still_waiting

GAUSSIAN = 1e9  # degrees of freedom at which Student's t is no other than the Gaussian


# --- failures


@pytest.mark.parametrize(("a", "b"), [(0.2, 5), (1, 1), (1, 9), (3, 2), (40, 360), (200, 800)])
def test_beta_quantiles_are_those_of_scipy(a, b):
    at = [0.05, 0.25, 0.5, 0.75, 0.95]
    assert beta_quantile(a, b, at) == pytest.approx(stats.beta.ppf(at, a, b), abs=3e-4)


def test_with_the_farms_share_known_each_supplier_has_the_textbook_posterior():
    known = FailurePrior(failed=2e5, fine=8e5, alike=(10.0, 10.0001))  # mean 0.2, concentration 10
    (mass,) = failure_shares([3], [7], known)
    expected = stats.beta(2 + 3, 8 + 4)
    assert quantiles(mass, [0.05, 0.5, 0.95]) == pytest.approx(expected.ppf([0.05, 0.5, 0.95]), abs=2e-3)
    assert mean_share(mass) == pytest.approx(expected.mean(), abs=2e-3)


def test_the_grid_over_the_farms_share_agrees_with_one_fifty_times_finer():
    prior = FailurePrior(failed=1.0, fine=9.0, alike=(4.0, 60.0))
    failed, known = [0, 4, 1], [12, 9, 3]
    means = stats.beta.ppf((np.arange(120) + 0.5) / 120, 1, 9)
    alikes = 4 * 15 ** ((np.arange(60) + 0.5) / 60)
    m, c = (axis.ravel() for axis in np.meshgrid(means, alikes))
    a, b = m * c, (1 - m) * c
    weight = np.prod([stats.betabinom.pmf(f, n, a, b) for f, n in zip(failed, known, strict=True)], axis=0)
    fine = [np.average((a + f) / (a + b + n), weights=weight) for f, n in zip(failed, known, strict=True)]
    coarse = [mean_share(mass) for mass in failure_shares(failed, known, prior)]
    assert coarse == pytest.approx(fine, abs=0.003)


# --- days to first harvest


def waits_of(seed):
    chance = np.random.default_rng(seed)
    days = chance.integers(5, 30, 25)
    came = chance.random(25) < 0.7
    return [Waited(days=int(d), came=bool(c)) for d, c in zip(days, came, strict=True)]


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_curve_and_its_band_are_those_of_lifelines(seed):
    waits = waits_of(seed)
    theirs = KaplanMeierFitter(alpha=0.1).fit([w.days for w in waits], [w.came for w in waits])
    steps = [step for step in still_waiting(waits, 0.90) if step.waiting > 0]
    days = [step.day for step in steps]
    assert [s.waiting for s in steps] == pytest.approx(list(theirs.survival_function_at_times(days)))
    band = theirs.confidence_interval_.loc[days]
    assert [s.low for s in steps] == pytest.approx(list(band.iloc[:, 0]))
    assert [s.high for s in steps] == pytest.approx(list(band.iloc[:, 1]))


@pytest.mark.parametrize("seed", [1, 2, 3, 4, 5, 6])
def test_the_median_and_its_interval_are_those_of_lifelines(seed):
    waits = waits_of(seed)
    theirs = KaplanMeierFitter(alpha=0.1).fit([w.days for w in waits], [w.came for w in waits])
    ours = median_wait(waits, 0.90)
    low, high = median_survival_times(theirs.confidence_interval_).to_numpy()[0]
    assert ours.value == theirs.median_survival_time_
    assert (ours.low, np.inf if ours.high is None else ours.high) == (low, high)


def test_a_curve_that_stays_above_one_half_has_no_median():
    assert median_wait([Waited(days=9, came=True)] + [Waited(days=20, came=False)] * 4).value is None


# --- partial pooling


def rows_of(seed, blocks=14, doubt=0.0):
    """Two varieties, three suppliers, lots of one to three blocks; the first three blocks lean on one estimate."""
    chance = np.random.default_rng(seed)
    lot = np.sort(np.concatenate([np.arange(7), chance.integers(0, 7, blocks - 7)]))
    cells = [(0, 0), (0, 1), (1, 1), (1, 2)]
    return Rows(
        y=chance.normal(5.3, 0.4, blocks),
        extra=np.where(np.arange(blocks) < 3, 0.04, 0.0),
        lot=lot,
        cell=np.array([0, 0, 1, 1, 2, 3, 3]),
        design=np.array([[1.0, v == 0, v == 1, s == 0, s == 1, s == 2] for v, s in cells]),
        mean=np.array([0, 5.2, 5.5, 0, 0, 0.0]),
        variance=np.array([0.1, 0.09, 0.04, 1, 1, 1]),
        supplier=np.array([False, False, False, True, True, True]),
        shared=(np.arange(blocks) < 3)[None, :],
        doubt=np.array([doubt]),
    )


def dense(rows, scales, coefficients, cells, unseen):
    """Mean and variance of a contrast from the whole covariance matrix, summed over the same grid."""
    grid, log_prior = grid_of(scales)
    of_lot, of_cell = np.eye(len(rows.cell))[rows.lot], np.eye(len(rows.design))[rows.cell][rows.lot]
    design = rows.design[rows.cell][rows.lot]
    found = []
    for (between, lots, within), log_mass in zip(grid, log_prior, strict=True):
        variance = np.where(rows.supplier, between**2, rows.variance)
        whole = (
            design @ np.diag(variance) @ design.T
            + lots**2 * (of_cell @ of_cell.T + of_lot @ of_lot.T)
            + np.diag(within**2 + rows.extra)
            + rows.shared.T @ np.diag(rows.doubt) @ rows.shared
        )
        towards = design @ np.diag(variance) @ coefficients + lots**2 * of_cell @ cells
        own = coefficients @ np.diag(variance) @ coefficients + lots**2 * (cells @ cells + unseen)
        pull = np.linalg.solve(whole, towards)
        off = rows.y - design @ rows.mean
        evidence = stats.multivariate_normal(np.zeros(len(off)), whole).logpdf(off)
        found.append((log_mass + evidence, coefficients @ rows.mean + pull @ off, own - pull @ towards))
    logs, means, variances = np.array(found).T
    weight = np.exp(logs - logs.max())
    weight /= weight.sum()
    mean = weight @ means
    return mean, weight @ (variances + (means - mean) ** 2)


def moments(fit, coefficients, cells, unseen):
    means, variances = fit.contrast(coefficients, cells, unseen)
    mean = fit.weight @ means
    return mean, fit.weight @ (variances + (means - mean) ** 2)


CONTRASTS = [
    pytest.param([0, 0, 0, 1, -1, 0], [0.5, -0.5, -0.5, 0], 0.25, id="two suppliers"),
    pytest.param([1, 0.5, 0.5, 0, 0, 1], [0, 0, 0, 0.5], 0.25, id="level of a supplier"),
]


@pytest.mark.parametrize(("coefficients", "cells", "unseen"), CONTRASTS)
@pytest.mark.parametrize("seed", [1, 2])
def test_the_gaussian_posterior_is_that_of_the_whole_covariance_matrix(seed, coefficients, cells, unseen):
    scales = Scales(between=0.25, lots=0.12, within=0.3, tail_df=GAUSSIAN)
    rows = rows_of(seed)
    ours = moments(pool(rows, scales), np.array(coefficients), np.array(cells), unseen)
    theirs = dense(rows, scales, np.array(coefficients), np.array(cells), unseen)
    assert ours == pytest.approx(
        theirs, rel=2e-3, abs=1e-4
    )  # grid points below 0.0001 of the best are dropped


def test_doubt_that_blocks_share_widens_what_leans_on_them_and_moves_nothing():
    scales = Scales(between=0.25, lots=0.12, within=0.3, tail_df=4.0)
    of, cells = np.array([0, 0, 0, 1.0, -1, 0]), np.array([0.5, -0.5, -0.5, 0])
    sure, unsure = (moments(pool(rows_of(1, doubt=d), scales), of, cells, 0.25) for d in (0.0, 0.2))
    assert sure[0] == unsure[0]
    assert unsure[1] > sure[1] + 1e-3


def test_students_noise_agrees_with_drawing_from_the_whole_posterior():
    """A Gibbs sampler of the same model, scales drawn from the same grid: the mode and its curvature come close."""
    scales = Scales(between=0.25, lots=0.12, within=0.3, tail_df=4.0)
    rows = rows_of(3, blocks=20)
    rows.y[5] += 1.5  # one block far from its kin
    of, cells = np.array([0, 0, 0, 1.0, -1, 0]), np.array([0.5, -0.5, -0.5, 0])
    mean, variance = moments(pool(rows, scales), of, cells, 0.25)
    drawn = gibbs(rows, scales, of, cells, steps=4000, seed=11)
    spread = np.sqrt(drawn.var() + 0)
    assert mean == pytest.approx(drawn.mean(), abs=0.15 * spread)
    assert np.sqrt(variance) == pytest.approx(spread, rel=0.12)


def gibbs(rows, scales, coefficients, cells, steps, seed):
    """Draws of a contrast: effects given scales and weights, weights given residuals, scales from the grid."""
    chance = np.random.default_rng(seed)
    grid, log_prior = grid_of(scales)
    own = 0.25  # the cells no block came from
    design = np.hstack(
        [rows.design[rows.cell][rows.lot], np.eye(4)[rows.cell][rows.lot], np.eye(7)[rows.lot]]
    )
    prior_mean = np.concatenate([rows.mean, np.zeros(11)])
    suppliers = np.concatenate([rows.supplier, np.zeros(11, bool)])
    df, weights, at = scales.tail_df, np.ones(len(rows.y)), len(grid) // 2
    kept = []
    for step in range(steps):
        between, lots, within = grid[at]
        variance = np.concatenate([rows.variance, np.full(11, lots**2)])
        variance[suppliers] = between**2
        precision = weights / (within**2 + rows.extra)
        covariance = np.linalg.inv(design.T @ (precision[:, None] * design) + np.diag(1 / variance))
        centre = covariance @ (design.T @ (precision * rows.y) + prior_mean / variance)
        effects = chance.multivariate_normal(centre, covariance, method="cholesky")
        off = rows.y - design @ effects
        noise = grid[:, 2:] ** 2 + rows.extra
        log = log_prior + (stats.t.logpdf(off / np.sqrt(noise), df) - np.log(noise) / 2).sum(axis=1)
        log += stats.norm.logpdf(effects[3:6], 0, grid[:, :1]).sum(axis=1)
        log += stats.norm.logpdf(effects[6:], 0, grid[:, 1:2]).sum(axis=1)
        share = np.exp(log - log.max())
        at = chance.choice(len(grid), p=share / share.sum())
        scale2 = grid[at, 2] ** 2 + rows.extra
        weights = chance.gamma((df + 1) / 2, 2 / (df + off**2 / scale2))
        if step >= steps // 10:
            unseen = chance.normal(0, grid[at, 1] * np.sqrt(own))
            kept.append(coefficients @ effects[:6] + cells @ effects[6:10] + unseen)
    return np.array(kept)


def test_a_block_far_from_its_kin_counts_less():
    rows = rows_of(3, blocks=20)
    rows.y[5] += 1.5
    weight = pool(rows, Scales(between=0.25, lots=0.12, within=0.3, tail_df=4.0)).block_weight
    assert weight[5] < 0.5 * np.median(weight)


# --- distributions as rows of values


def test_atoms_of_a_mixture_have_its_quantiles():
    weight, mean, variance = np.array([0.3, 0.7]), np.array([-1.0, 2.0]), np.array([0.25, 1.0])
    middle, low, high = mixture.interval(mixture.of_gaussians(weight, mean, variance), 0.90)

    def below(x):
        return float(weight @ stats.norm.cdf(x, mean, np.sqrt(variance)))

    assert [below(low), below(middle), below(high)] == pytest.approx([0.05, 0.5, 0.95], abs=0.005)


def test_atoms_of_a_sum_have_the_quantiles_of_the_sum():
    one, other = (
        mixture.of_gaussians(np.ones(1), np.array([m]), np.array([v])) for m, v in ((1.0, 0.5), (-2.0, 1.5))
    )
    middle, low, high = mixture.interval(mixture.of_sum(one, other), 0.90)
    assert [low, middle, high] == pytest.approx(stats.norm.ppf([0.05, 0.5, 0.95], -1, np.sqrt(2)), abs=0.03)
