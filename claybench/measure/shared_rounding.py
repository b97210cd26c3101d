"""What the step of an instrument leaves in a mean of readings; what it leaves in one is in `reading_steps`.

Readings that scatter over many steps are rounded each for itself, and their scatter holds it all. Readings that fall on
one step are all rounded alike, and no number of them makes their mean any surer.
"""

from __future__ import annotations

from functools import cache

from claybench.later import Floats, np

_TERMS = 300
_WIDEST = 0.5
"""Square of the scatter in steps up to which readings share any of their rounding: beyond it under a billionth."""
_NONE = 1e-3
"""A share of less counts as none."""
_POINTS = 2001


def rounding_variance_each(steps: Floats) -> Floats:
    """`reading_steps.rounding_variance` of many steps at once.

    >>> rounding_variance_each(np.array([0.0, 6.0])).tolist()
    [0.0, 3.0]
    """
    variances: Floats = steps**2 / 12
    return variances


def shared_share(ratio: Floats) -> Floats:
    """Share of the variance of rounding that readings have in common, by how far they are seen to scatter.

    Parameters
    ----------
    ratio
        Variance of the readings over the variance of rounding one of them; 0 or more, NaN (one reading) counts as 0.

    Returns
    -------
        1 where all readings are one number, 0 from a scatter of two thirds of a step or so.

    The rounding of a value x is the sawtooth Σ (−1)ᵏ·s/(πk)·sin(2πkx/s). Averaged over values that scatter by σ, each
    wave shrinks by exp(−2π²k²σ²/s²), and its mean square over all places of the mean is
    c(σ) = Σ s²/(2π²k²)·exp(−4π²k²σ²/s²). Readings are then seen to scatter by σ² + s²/12 − c, which without c is
    Sheppard's correction (from memory).

    >>> shared_share(np.array([0.0, 0.5, 1.0, 3.0, np.nan])).round(3).tolist()
    [1.0, 0.565, 0.262, 0.0, 1.0]
    """
    seen, shared = _shared_by_scatter()
    share: Floats = np.interp(np.nan_to_num(ratio), seen, shared, right=0.0)
    share[share < _NONE] = 0.0
    return share


@cache
def _shared_by_scatter() -> tuple[Floats, Floats]:
    """Variance seen and variance shared, both over that of rounding, for scatters from none to many steps."""
    square = np.linspace(0.0, 1.0, _POINTS) ** 3 * _WIDEST
    wave = np.arange(1, _TERMS + 1)[:, None]
    shared = 6 / np.pi**2 * (np.exp(-4 * np.pi**2 * wave**2 * square) / wave**2).sum(axis=0)
    shared[0] = 1.0
    return 12 * square + 1 - shared, shared
