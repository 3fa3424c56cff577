"""Ranking by what is scarce, and what is kept out of it."""

from ledger.reckoning.scarce import Candidate, ranking


def keys(claims):
    return [claim.key for claim in claims]


def test_best_rate_first_and_never_the_largest_sum():
    """12 in 1 goes before 30 in 5 and before a loss."""
    ranked, apart = ranking([Candidate("large", 30, 5, 10), Candidate("loss", -1, 1, 10), Candidate("small", 12, 1, 10)])

    assert keys(ranked) == ["small", "large", "loss"]
    assert apart == []


def test_missing_too_few_and_nothing_taken_are_each_said():
    """What lacks a figure says which, before anything else is asked of it."""
    ranked, apart = ranking(
        [
            Candidate("hours", 9, 1, 2, "hours"), Candidate("few", 9, 1, 4), Candidate("none", 9, 0, 5),
            Candidate("enough", 1, 1, 5),
        ],
        least_stems=5,
    )

    assert keys(ranked) == ["enough"]
    assert apart == [("hours", "hours"), ("few", "too_few"), ("none", "nothing_taken")]


def test_without_a_floor_a_handful_is_ranked():
    """Where nothing is set, one stem is enough."""
    ranked, _apart = ranking([Candidate("one", 5, 1, 1)])

    assert keys(ranked) == ["one"]
