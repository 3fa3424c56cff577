"""Process losses against published answers; sources in examples.json.

The textbooks book an abnormal gain where less is lost than is normal. Ours
never does: stock may not exceed what was spent.
"""

from decimal import Decimal

import pytest

from ledger.reckoning.loss import expected_sound, hanging_release, process_loss

ALL = ["PC-01", "PC-02", "PC-03", "PC-04", "PC-05", "PC-07a", "PC-07b", "PC-08"]


def cents(major):
    """A printed amount in whole cents."""
    return int(Decimal(major) * 100)


def textbook(inputs):
    """The published account, recomputed."""
    return process_loss(
        cents(inputs["total_cost"]),
        put_in=inputs["input_qty"],
        normal_loss=inputs["normal_loss_qty"],
        good=inputs["good_output"],
        scrap_per_unit=cents(inputs["scrap_value_per_unit"]),
    )


def as_hanging(inputs, *, disaster):
    """The same process as stems hung, with the scrap of all that was really lost."""
    hung, sound = inputs["input_qty"], inputs["good_output"]
    return hanging_release(
        cents(inputs["total_cost"]),
        hung=hung,
        sound=sound,
        lost=hung - sound,
        disaster=disaster,
        norm_bp=inputs["normal_loss_qty"] * 10_000 // hung,
        scrap=cents(inputs["scrap_value_per_unit"]) * (hung - sound),
    )


@pytest.mark.parametrize("example", ALL)
def test_textbook_account_is_met(published, example):
    """Unit cost, good output, abnormal loss or gain and net charge are as published."""
    found, expected = textbook(published[example]["inputs"]), published[example]["expected"]
    assert found.unit_cost == cents(expected["unit_cost"])
    assert found.good_value == cents(expected["good_output_value"])
    assert found.abnormal == int(expected["abnormal_qty_positive_is_loss"])
    assert found.abnormal_value == cents(expected["abnormal_value"])
    assert found.net_charge == cents(expected["net_charge_to_profit_and_loss"])
    assert found.scrap_credit == cents(expected["normal_loss_scrap_credit"])


@pytest.mark.parametrize("example", ["PC-01", "PC-02", "PC-03", "PC-04", "PC-07a"])
def test_marked_hanging_agrees_with_the_textbook(published, example):
    """Sound stems and the loss beyond the norm, less its scrap, are as published."""
    expected = published[example]["expected"]
    sound, written_off = cents(expected["good_output_value"]), cents(expected["net_charge_to_profit_and_loss"])
    assert as_hanging(published[example]["inputs"], disaster=True) == (sound, written_off, 0)


def test_pc_08_norm_as_a_share_of_output(published):
    """A tenth of output is 1,200 of 13,200 hung; the 12,000 sound bear 180,000."""
    assert as_hanging(published["PC-08"]["inputs"], disaster=False) == (18_000_000, 0, 0)


@pytest.mark.parametrize(
    ("example", "borne", "above_ours"), [("PC-05", 2_061_000, 105_000), ("PC-07b", 27_500_000, 500_000)]
)
@pytest.mark.parametrize("disaster", [True, False])
def test_no_abnormal_gain_is_booked(published, example, borne, above_ours, disaster):
    """Published stock exceeds what was spent less scrap by just the gain booked; ours is the cost."""
    expected = published[example]["expected"]
    assert as_hanging(published[example]["inputs"], disaster=disaster) == (borne, 0, 0)
    assert cents(expected["good_output_value"]) - borne == above_ours
    assert cents(expected["net_charge_to_profit_and_loss"]) == -above_ours


def test_uga_shrink_pots_that_never_sell(published):
    """15 % of 1,000 pots leaves 850; 738 of revenue lost is 4.92 a pot, and 10 to 5 % 3.50 to 6.26."""
    inputs, expected = published["UGA-SHRINK"]["inputs"], published["UGA-SHRINK"]["expected"]
    pots = inputs["pots"]
    saleable = expected_sound(pots, inputs["loss_pct"] * 100)
    assert saleable == expected["saleable"]
    assert (pots - saleable) * cents(expected["per_pot"]) == cents(expected["worth_of_loss"])
    saved = expected_sound(pots, inputs["to_loss_pct"] * 100) - expected_sound(pots, inputs["from_loss_pct"] * 100)
    worth = [saved * cents(price) for price in expected["per_pot_range"]]
    assert worth == [cents(total) for total in expected["worth_of_halving"]]
