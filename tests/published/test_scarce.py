"""Scarce resources against published answers; sources in examples.json."""

from decimal import Decimal

from ledger.reckoning.scarce import Claim, plan, ranked, total_contribution


def tenths(hours):
    """Printed hours in tenths of an hour."""
    return int(Decimal(hours) * 10)


def test_lf_01_rank_by_contribution_an_hour(published):
    """6, 4 and 3 an hour rank C, A, B and make 3,000, 2,000 and 500: 44,000."""
    inputs, expected = published["LF-01"]["inputs"], published["LF-01"]["expected"]
    claims = [
        Claim(p["name"], int(p["price"]) - int(p["variable_cost"]), tenths(p["hours"]), p["demand"])
        for p in inputs["products"]
    ]
    assert [claim.key for claim in ranked(claims)] == expected["rank"]
    assert {c.key: c.rate * 10 for c in claims} == {k: int(v) for k, v in expected["contribution_per_hour"].items()}
    units = plan(claims, tenths(inputs["hours"]))
    assert units == expected["plan"]
    assert total_contribution(claims, units) == int(expected["total_contribution"])


def test_lf_02_dearer_piece_ranks_second(published):
    """300 for one hour goes before 600 for three: 60 and 20, 30,000 in all."""
    inputs, expected = published["LF-02"]["inputs"], published["LF-02"]["expected"]
    claims = [Claim(p["name"], int(p["contribution"]), int(p["hours"]), p["demand"]) for p in inputs["products"]]
    assert {c.key: c.rate for c in claims} == {k: int(v) for k, v in expected["contribution_per_hour"].items()}
    units = plan(claims, inputs["hours"])
    assert units == expected["plan"]
    assert total_contribution(claims, units) == int(expected["total_contribution"])
