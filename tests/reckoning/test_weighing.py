"""Stems from a weight and a sample."""

import pytest

from ledger.reckoning.weighing import stems_by_weight


@pytest.mark.parametrize(("fresh_g", "sample_stems", "sample_g", "stems"), [
    (1000, 10, 100, 100), (1000, 10, 1000, 10), (1049, 10, 100, 105), (1044, 10, 100, 104), (1045, 10, 100, 105),
    (10_000_000, 1_000_000, 1, 10_000_000_000_000),
])
def test_stems_are_in_proportion_to_the_sample_halves_up(fresh_g, sample_stems, sample_g, stems):
    """Ten stems of 100 g: a kilogram is a hundred, 1045 g are 104.5 and so 105."""
    assert stems_by_weight(fresh_g, sample_stems=sample_stems, sample_g=sample_g) == stems


@pytest.mark.parametrize(("sample_stems", "sample_g"), [(0, 10), (10, 0), (10, 101)])
def test_a_sample_that_says_nothing_is_refused(sample_stems, sample_g):
    """No stems, no weight, or heavier than the whole of 100 g."""
    with pytest.raises(ValueError, match="a sample"):
        stems_by_weight(100, sample_stems=sample_stems, sample_g=sample_g)
