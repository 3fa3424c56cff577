"""Published process losses read back from hangings; sources in examples.json.

The published input is stems hung, its good output stems taken down sound and
bunched, its total cost spent on the hanging, its scrap the lost stems kept as
oddments. Where less was lost than is normal the textbooks book a gain; ours
never does, so the sound stems bear what was spent less scrap, and no more.

PC-07 is two processes in a chain. Stems dry once, so no record hangs bunches
of the first again: the second is a hanging of its own with the first one's
80,000 among its cost, as published.
"""

from decimal import Decimal

import pytest

from ledger.costing.queries import book
from ledger.drying.actions import keep_oddments
from ledger.stock.actions import Output, make_run
from tests.factories.drying import owner
from tests.factories.stock import LineFactory

from .records import DOWN, MADE, YEAR_END, cents, costs_of, dried, hung, resting_in, whole_cents, written_off_beyond

DOES_WORSE, AS_NORMAL, DOES_BETTER = ["PC-04", "PC-07a"], ["PC-01", "PC-02", "PC-03"], ["PC-05", "PC-07b"]


def processed(inputs, *, marked):
    """A published process as records: what the sound stems, the oddments and the write-off come to."""
    put_in, good, scrap = inputs["input_qty"], inputs["good_output"], cents(inputs["scrap_value_per_unit"])
    hanging = hung(put_in, inputs["total_cost"])
    dried(hanging, sound=good)
    lost, worth = put_in - good, 0
    if scrap:
        kept = keep_oddments(by=owner(), hanging=hanging, on=DOWN, stems=lost, value=scrap * lost)
        worth = whole_cents(book(YEAR_END).node(("oddments", kept.pk)).carried)
    if marked:
        written_off_beyond(hanging, inputs["normal_loss_qty"] * 10_000 // put_in)
    run = make_run(by=owner(), on=MADE, inputs=[(hanging, good)], outputs=[Output(LineFactory(stems=1), good)])
    return *costs_of(run), worth, resting_in("written off")


@pytest.mark.parametrize("example", [*DOES_WORSE, *AS_NORMAL])
def test_marked_hanging_gives_the_published_account(published, owner, example):
    """Sound stems at the published unit cost, scrap at its own, the net abnormal loss written off."""
    inputs, expected = published[example]["inputs"], published[example]["expected"]
    good, worth, lost = processed(inputs, marked=True)

    assert good == cents(expected["good_output_value"]) == inputs["good_output"] * cents(expected["unit_cost"])
    assert lost == cents(expected["net_charge_to_profit_and_loss"])
    assert good + worth + lost == cents(inputs["total_cost"])


@pytest.mark.parametrize("example", [*AS_NORMAL, "PC-08"])
def test_normal_loss_is_borne_by_the_sound(published, owner, example):
    """What is lost as is normal the sound stems bear, less its scrap; PC-08's normal is a tenth of output."""
    inputs, expected = published[example]["inputs"], published[example]["expected"]

    assert processed(inputs, marked=False) == (
        cents(expected["good_output_value"]), cents(expected["normal_loss_scrap_credit"]), 0,
    )


@pytest.mark.parametrize("marked", [True, False])
@pytest.mark.parametrize("example", DOES_BETTER)
def test_no_gain_is_booked(published, owner, example, marked):
    """The published stock is more than was spent by just the gain it books; ours is what was spent less scrap."""
    inputs, expected = published[example]["inputs"], published[example]["expected"]
    good, worth, lost = processed(inputs, marked=marked)
    gain = -cents(expected["net_charge_to_profit_and_loss"])

    assert (good + worth, lost) == (cents(inputs["total_cost"]), 0)
    assert cents(expected["good_output_value"]) - good == gain > 0


def test_the_second_process_holds_what_the_first_gave(published):
    """PC-07: 16,000 units at 5.00 are 80,000 of the second process's 285,000."""
    first, second = published["PC-07a"], published["PC-07b"]["inputs"]
    parts = {name: Decimal(part) for name, part in second["cost_parts"].items()}

    assert parts["from_previous"] == Decimal(first["expected"]["good_output_value"])
    assert sum(parts.values()) == Decimal(second["total_cost"])
