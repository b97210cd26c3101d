"""Scatter from firing to firing above that of batches and of pieces, and the error of what a new firing gives.

By moments, since batches may lie within firings or go through several of them: expected squares are worked out for the
layout at hand, which for balanced nested data is the usual analysis of variance.
"""

from __future__ import annotations

from dataclasses import dataclass

from claybench.later import Floats, np


@dataclass(frozen=True, slots=True)
class FiringScatter:
    """Mean squares of firings, of batches within a firing, and of pieces within a batch, drawn together over bodies."""

    firing_square: float
    """Squares of firings about their body's mean over the firings beyond the first of each body."""
    firing_df: float
    """How many of these are independent: bodies fired together tell of the same firings."""
    batches_in: float
    """How often the variance of batches enters `firing_square`; that of firings enters once."""
    pieces_in: float
    """How often the variance of pieces does."""
    batch_square: float
    """Mean square of batches, as `PooledScatter` has it; no meaning where `batch_df` is 0."""
    batch_df: float
    """0 where no body has two batches in one firing: what batches scatter is then counted as the firings'."""
    size: float
    """Pieces of an ordinary batch: how often the batches' variance enters `batch_square`."""
    piece_square: float
    piece_df: float

    @property
    def batch_variance(self) -> float:
        """Variance of batches within a firing; a negative estimate counts as 0."""
        return max((self.batch_square - self.piece_square) / self.size, 0.0) if self.batch_df else 0.0

    @property
    def variance(self) -> float:
        """Variance of firings at the same heat; a negative estimate counts as 0."""
        below = self.batches_in * self.batch_variance + self.pieces_in * self.piece_square
        return max(self.firing_square - below, 0.0)

    def new_errors(self, firings: Floats, batches: Floats, pieces: Floats) -> tuple[Floats, Floats]:
        """Standard errors of a new batch in a new firing about the mean so far, and their degrees of freedom.

        Parameters
        ----------
        firings : how often the firings' variance enters: 1 + 1/F after F firings
        batches : how often the batches' does: 1 for the new one, and what the mean so far still has of it
        pieces : how often the pieces' does

        Degrees of freedom by Satterthwaite (1946) on the three mean squares; a negative variance counts as none, yet
        the doubt about it stays.

        >>> pure = FiringScatter(4.0, 5.0, 0.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0)
        >>> error, df = pure.new_errors(np.array([1.5]), np.array([1.5]), np.array([0.0]))
        >>> error.round(4).tolist(), df.tolist()
        ([2.4495], [5.0])
        """
        in_batches = np.zeros_like(batches)
        if self.batch_df:
            in_batches = (batches - firings * self.batches_in) / self.size
        of_firings = firings * self.firing_square
        of_batches = in_batches * self.batch_square
        of_pieces = (pieces - firings * self.pieces_in - in_batches) * self.piece_square
        least = batches * self.batch_variance + pieces * self.piece_square
        variance = np.maximum(of_firings + of_batches + of_pieces, least)
        doubt = of_firings**2 / self.firing_df
        doubt = doubt + (of_batches**2 / self.batch_df if self.batch_df else 0.0)
        doubt = doubt + (of_pieces**2 / self.piece_df if self.piece_df else 0.0)
        with np.errstate(invalid="ignore", divide="ignore"):
            df = np.where(doubt > 0, variance**2 / doubt, self.firing_df)
        return np.sqrt(variance), np.clip(df, 1.0, self.firing_df + self.batch_df + self.piece_df)
