"""How often blocks give nothing: each supplier's own share, leaning on the farm's while it has few blocks.

The model: of the n_s blocks of supplier s whose fate is known, f_s gave nothing; f_s ~ Binomial(n_s, p_s),
p_s ~ Beta(m c, (1 - m) c). The farm's mean m and how alike suppliers are, the concentration c, are integrated over a
fixed grid: m ~ Beta(prior), c log-uniform. At each point of it the posterior is Beta(m c + f, (1 - m) c + n - f).
Source: beta-binomial model, Gelman et al. 2013, Bayesian Data Analysis, chapter 5.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import lgamma

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

NEGLIGIBLE = 1e-4  # a grid point below this share of the best one is dropped

# Points of p: even steps on the logit scale resolve shares near 0 and near 1 alike; the long tail holds what a prior
# that is nearly sure of 0 piles up there.
_LOGIT = np.concatenate([np.arange(-400.0, -12.0, 2.0), np.linspace(-12.0, 12.0, 1201)])
_STEP = np.gradient(_LOGIT)
_P = 1 / (1 + np.exp(-_LOGIT))
_LOG_P, _LOG_REST = np.log(_P), np.log1p(-_P)


@dataclass(frozen=True, kw_only=True)
class FailurePrior:
    """The farm's share: Beta(failed, fine) as if so many blocks had been seen. alike: from and to of the concentration."""

    failed: float
    fine: float
    alike: tuple[float, float]


def beta_quantile(a: float, b: float, at: Sequence[float] | Floats) -> Floats:
    """Quantiles of Beta(a, b) for shares `at` from 0 to 1, good to 3 decimals for a from 0.2 up, b from 1 up, a + b to 1,000.

    Source: the density summed on the logit scale.
    """
    return quantiles(_density(np.array([a]), np.array([b]))[0], at)


def failure_shares(failed: Sequence[int], known: Sequence[int], prior: FailurePrior) -> Floats:
    """Posterior of each supplier's share of failures: (s, p), mass at each point of the grid of shares.

    Valid for any numbers with failed <= known, 0 of 0 included: then the farm speaks for the supplier.
    """
    mean, alike = _grid(prior)
    a, b = mean * alike, (1 - mean) * alike
    weight = np.exp(_log_evidence(failed, known, a, b))
    keep = weight > NEGLIGIBLE
    weight, a, b = weight[keep] / weight[keep].sum(), a[keep], b[keep]
    rows = [weight @ _density(a + f, b + n - f) for f, n in zip(failed, known, strict=True)]
    return np.array(rows).reshape(len(rows), len(_P))


def quantiles(mass: Floats, at: Sequence[float] | Floats) -> Floats:
    """Shares below which `at` of the mass lies."""
    below = np.cumsum(mass) - mass / 2
    shares: Floats = 1 / (1 + np.exp(-np.interp(at, below, _LOGIT)))
    return shares


def mean_share(mass: Floats) -> float:
    """The mean, from 0 to 1, of a share with so much mass (p) at each point of the grid."""
    return float(mass @ _P)


def _grid(prior: FailurePrior) -> tuple[Floats, Floats]:
    """Means and concentrations, at points of equal prior mass."""
    means = beta_quantile(prior.failed, prior.fine, (np.arange(24) + 0.5) / 24)
    low, high = prior.alike
    alikes = low * (high / low) ** ((np.arange(6) + 0.5) / 6)
    mean, alike = (axis.ravel() for axis in np.meshgrid(means, alikes, indexing="ij"))
    return mean, alike


def _log_evidence(failed: Sequence[int], known: Sequence[int], a: Floats, b: Floats) -> Floats:
    total = np.zeros(len(a))
    for f, n in zip(failed, known, strict=True):
        total += _log_beta(a + f, b + n - f) - _log_beta(a, b)
    likeliest: float = total.max()
    return total - likeliest


def _log_beta(a: Floats, b: Floats) -> Floats:
    return np.array([lgamma(x) + lgamma(y) - lgamma(x + y) for x, y in zip(a, b, strict=True)])


def _density(a: Floats, b: Floats) -> Floats:
    """(g, p): mass of Beta(a, b) at each point; the logit scale brings p (1 - p) along."""
    log = a[:, None] * _LOG_P + b[:, None] * _LOG_REST
    mass = np.exp(log - log.max(axis=1, keepdims=True)) * _STEP
    shares: Floats = mass / mass.sum(axis=1, keepdims=True)
    return shares
