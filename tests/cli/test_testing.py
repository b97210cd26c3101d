"""Commands about measuring: plasticity, repeats, whose bar."""

from __future__ import annotations

from pathlib import Path

from tests.cli.conftest import Command


def test_plasticity(command: Command, sample_lab_file: Path) -> None:
    """Index is liquid less plastic limit (ASTM D4318)."""
    (found,) = command("plasticity", "B-01-2", "--json", "--lab", sample_lab_file).json
    assert found["liquid_limits"][0]["how"] == "cup, 4 points (ASTM D4318)"
    limit, plastic = found["liquid_limits"][0]["water_pct"], found["plastic_limit_pct"]
    assert abs(found["plasticity_index_pct"] - (limit - plastic)) < 1e-9
    answer = command("plasticity", "--lab", sample_lab_file)
    assert answer.code == 0 and "W-01-2" in answer.out and "water of plasticity" in answer.out
    assert command("plasticity", "B-99", "--lab", sample_lab_file).code == 4


def test_repeats(command: Command, sample_lab_file: Path, tmp_path: Path) -> None:
    (found,) = command("repeats", "--json", "--lab", sample_lab_file).json
    assert (found["reading"], found["readings"], found["pieces"], found["hands"]) == ("dry_mm", 48, 24, ["k", "m"])
    shares = [found["variances"][name]["share_pct"] for name in ("repeat", "hand", "together", "piece")]
    assert abs(sum(shares) - 100) < 1e-9
    answer = command("repeats", "--reading", "dry_mm", "--lab", sample_lab_file)
    assert "48 readings of 24 pieces by k, m" in answer.out
    assert command("repeats", "--reading", "weight", "--lab", sample_lab_file).code == 2
    command("new", tmp_path / "empty.claybench")
    empty = command("repeats", "--lab", tmp_path / "empty.claybench")
    assert (empty.code, empty.out) == (0, "") and "begins a study" in empty.err


def test_whose_bar(command: Command, sample_lab_file: Path) -> None:
    """Bar 9YP left firing F-08 at 88.4 mm and 55.71 g."""
    asked = ("--length", "88,4 mm", "--mass", "55.7 g", "--firing", "F-08", "--lab", sample_lab_file)
    found = command("whose-bar", *asked, "--json").json
    assert found[0]["piece"] == "9YP" and found[0]["fits"]
    assert command("whose-bar", *asked).out.splitlines()[1].startswith("9YP")
    far = command("whose-bar", "--length", "3 in", "--mass", "2 kg", "--lab", sample_lab_file)
    assert "fits well" in far.err
    for wrong in ((), ("--length", "1 kg"), ("--mass", "5g", "--state", "wet"), ("--mass", "5g", "--firing", "F-99")):
        assert command("whose-bar", *wrong, "--lab", sample_lab_file).code in (2, 4)
