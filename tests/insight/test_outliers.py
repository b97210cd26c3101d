"""Readings far from their fellows: Grubbs' published example, slipped digits, few fellows, and what is not asked."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.ask.pieces import piece_lines
from claybench.insight.bodies.comparison.property_columns import raw_of
from claybench.insight.pieces.outliers import Outlier, find_outlier
from claybench.insight.pieces.piece_lines import peers_of
from claybench.measure.piece import PieceRaw
from claybench.measure.properties.readings import READINGS
from claybench.record.opening import open_lab


def dry(*lengths: float, plastic: float | None = None) -> list[PieceRaw]:
    return [PieceRaw(plastic_mm=plastic, dry_mm=length) for length in lengths]


# NIST/SEMATECH e-Handbook, 1.3.5.17: eight mass-spectrometer readings; the last is an outlier (G 2.4688 > 2.0317).
EIGHT = (199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57)


def test_grubbs_published_example() -> None:
    for number, value in enumerate(EIGHT):
        others = [each for at, each in enumerate(EIGHT) if at != number]
        found = find_outlier("dry_mm", value, PieceRaw(), dry(*others))
        assert (found is not None) == (value == 245.57), value


def test_grubbs_finds_what_the_loose_bound_does_not() -> None:
    """92.9 is 1.4 % off six bars within 0.2 mm: no bound of 5 %, but Grubbs (G 2.237 above 1.938)."""
    own, fellows = PieceRaw(plastic_mm=100), dry(94.1, 94.2, 94.2, 94.3, 94.1, 94.3, plastic=100)
    assert find_outlier("dry_mm", 92.9, own, fellows) is not None
    assert find_outlier("dry_mm", 94.6, own, fellows) is None, "half a millimetre of 100 is never asked about"
    assert find_outlier("dry_mm", 92.9, own, fellows[:3]) is None, "three fellows are too few for the test"


@pytest.mark.parametrize(
    ("typed", "meant"), [(91.2, 19.2), (192.0, 19.2), (1.92, 19.2), (192.5, 19.25), (17.2, None), (25.0, None)]
)
def test_a_slipped_digit_is_noticed_and_named(typed: float, meant: float | None) -> None:
    found = find_outlier("dry_mm", typed, PieceRaw(), dry(19.1, 19.2, 19.3, 19.4, 19.2))
    assert found is not None and (found.low, found.high, found.peers) == (19.1, 19.4, 5)
    assert found.likely_meant == meant


def test_in_words() -> None:
    assert Outlier(91.2, 19.1, 19.4, 5, "mm", None).text() == "91.2 is far from 5 pieces like it, 19.1–19.4 mm."
    alone = Outlier(91.2, 19.2, 19.2, 1, "g", 19.2)
    assert alone.text() == "91.2 is far from the one piece like it, 19.2 g. Was 19.2 meant?"


def test_one_fellow_is_enough_for_a_gross_slip() -> None:
    assert find_outlier("dry_mm", 49.3, PieceRaw(plastic_mm=100), dry(94.3, plastic=100)) is not None
    assert find_outlier("dry_mm", 93.1, PieceRaw(plastic_mm=100), dry(94.3, plastic=100)) is None
    assert find_outlier("dry_mm", 49.3, PieceRaw(plastic_mm=100), []) is None


def test_a_piece_is_sized_before_it_is_compared() -> None:
    """A bar marked at 50 mm dries to 47 like its fellows of 100 mm to 94; 94 would be the slip."""
    own, fellows = PieceRaw(plastic_mm=50), dry(94.0, 94.1, 93.9, plastic=100)
    assert find_outlier("dry_mm", 47.0, own, fellows) is None
    found = find_outlier("dry_mm", 94.0, own, fellows)
    assert found is not None and (found.low, found.high) == (pytest.approx(46.95), pytest.approx(47.05))


def test_masses_are_sized_by_what_came_before() -> None:
    fellows = [PieceRaw(plastic_g=mass, dry_g=0.8 * mass) for mass in (62.0, 70.0, 81.0)]
    assert find_outlier("dry_g", 40.0, PieceRaw(plastic_g=50.0), fellows) is None
    assert find_outlier("dry_g", 44.0, PieceRaw(plastic_g=50.0), fellows) is not None
    assert find_outlier("dry_g", 40.0, PieceRaw(), fellows) is not None, "nothing to size it by: as they are"


def test_a_fellow_kept_though_far_off_hides_no_other() -> None:
    fellows = dry(19.1, 19.2, 19.3, 19.4, 91.2)
    found = find_outlier("dry_mm", 92.1, PieceRaw(), fellows)
    assert found is not None and found.high == 19.4


@pytest.mark.parametrize("reading", ["warp_pct", "colour"])
def test_other_readings_have_no_fellows(reading: str) -> None:
    assert find_outlier(reading, 2.0, PieceRaw(), dry(19.2)) is None


def test_sound_readings_of_the_sample_are_not_asked_about(sample_lab_file: Path) -> None:
    """Each reading of the sample lab against the others; with the point moved, each is noticed."""
    lab = open_lab(sample_lab_file)
    lines = piece_lines(lab)
    lab.close()
    asked = slipped = count = 0
    for line in lines[::3]:
        raw = raw_of(line.piece, line.fired)
        for reading in (each.name for each in READINGS.values() if each.sized_by):
            value = getattr(raw, reading)
            fellows = peers_of(lines, line, reading)
            if value is not None and fellows:
                count += 1
                asked += find_outlier(reading, value, raw, fellows) is not None
                slipped += find_outlier(reading, 10 * value, raw, fellows) is not None
    assert count > 400
    assert (asked, slipped) == (0, count)
