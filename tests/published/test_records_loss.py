"""Published process losses read back from hangings; sources in examples.json.

The published input is stems hung, its good output stems taken down sound and
bunched, its total cost spent on the hanging.
"""

import pytest

from ledger.stock.actions import Output, make_run
from tests.factories.drying import owner
from tests.factories.stock import LineFactory

from .records import MADE, cents, costs_of, dried, hung, resting_in, written_off_beyond


def bunched(hanging, sound):
    """What the sound stems cost once bunched."""
    run = make_run(by=owner(), on=MADE, inputs=[(hanging, sound)], outputs=[Output(LineFactory(stems=1), sound)])
    return costs_of(run)


@pytest.mark.parametrize("marked", [True, False])
@pytest.mark.parametrize("example", ["PC-01", "PC-02"])
def test_normal_loss_is_borne_by_the_sound(published, owner, example, marked):
    """A tenth lost, as is normal: the sound stems bear all, 4,500 and 20,700, marked or not."""
    inputs, expected = published[example]["inputs"], published[example]["expected"]
    hanging = hung(inputs["input_qty"], inputs["total_cost"])
    dried(hanging, sound=inputs["good_output"])
    if marked:
        written_off_beyond(hanging, inputs["normal_loss_qty"] * 10_000 // inputs["input_qty"])

    assert bunched(hanging, inputs["good_output"]) == [cents(expected["good_output_value"])]
    assert resting_in("written off") == cents(expected["net_charge_to_profit_and_loss"]) == 0
