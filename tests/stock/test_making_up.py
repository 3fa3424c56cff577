"""Goods made up, mixed bunches, and bunches bought in."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from ledger.daybook.actions import BoughtLine, record_purchase, undo_purchase
from ledger.daybook.models import Purchase
from ledger.facts.actions import add_person
from ledger.facts.models import CostKind, CostObject
from ledger.growing.actions import undo_parting
from ledger.growing.models import Lot
from ledger.stock.actions import Output, buy_in, draw, hold, make_run, make_up, take_back, undo_buying_in, undo_run
from ledger.stock.models import Balance, Run
from ledger.stock.queries import lowest_loose
from tests.factories.drying import LotFactory
from tests.factories.made_up import MaterialFactory, cut_dry, oddments, wreath
from tests.factories.stock import BoxFactory, LineFactory, sound_hanging, there
from tests.refusals import refused

AUGUST_5 = date(2024, 8, 5)


def test_a_wreath_draws_on_everything(hand, batch, box):
    """Three wreaths: six bunches, 20 sound stems, 30 cut dry, 9 oddments, 12 fresh and three rings."""
    hanging, dry, kept, lot, ring = sound_hanging(100), cut_dry(50), oddments(9), LotFactory(stems=12), MaterialFactory()
    ready = wreath()

    run = make_up(
        by=hand, on=AUGUST_5, outputs=[Output(ready, 3, box=box)], bunches=[(batch, box, 6)],
        stems=[(hanging, 20), (dry, 30), (kept, 9)], fresh=[(lot, 12)], materials=[(ring, 3)],
    )

    made = run.batches.get()
    assert (run.kind, made.made, made.stems) == (Run.Kind.MAKING_UP, 3, 3)
    assert there(batch, made) == [(box.code, 14), (box.code, 3)]
    assert [lowest_loose(one, AUGUST_5) for one in (hanging, dry, kept)] == [80, 20, 0]
    assert (lot.partings.get().way, lot.partings.get().stems) == ("made_up", 12)
    assert run.cost_object.material_uses.get().quantity == 3


def test_made_up_goods_are_promised_like_any_line(owner):
    """Two of three wreaths are promised, a third is free."""
    ready, ring = wreath(), MaterialFactory()
    make_up(by=owner, on=AUGUST_5, outputs=[Output(ready, 3)], materials=[(ring, 3)])

    hold(by=owner, on=AUGUST_5, line=ready, bunches=2, for_what="a chapel")

    assert Balance.objects.get(line=ready).free == 1


def test_bunches_promised_to_others_are_not_made_up(owner, batch, box, line):
    """Fifteen of twenty are promised."""
    hold(by=owner, on=AUGUST_5, line=line, bunches=15, for_what="a wedding")

    with refused("not_free"):
        make_up(by=owner, on=AUGUST_5, outputs=[Output(wreath(), 1)], bunches=[(batch, box, 6)])


def test_more_fresh_stems_than_are_in_water_are_refused(owner):
    """Twelve were cut."""
    with refused("too_many"):
        make_up(by=owner, on=AUGUST_5, outputs=[Output(wreath(), 1)], fresh=[(LotFactory(stems=12), 13)])


def test_hung_stems_are_no_stems_cut_dry(owner):
    """A parting that hung is used as its hanging."""
    with refused("not_cut_dry"):
        make_up(by=owner, on=AUGUST_5, outputs=[Output(wreath(), 1)], stems=[(sound_hanging(10).parting, 5)])


@pytest.mark.parametrize(("given", "code"), [({}, "no_inputs"), ({"materials": 0}, "too_few"), ({"fresh": 2}, "twice")])
def test_absurd_making_up_is_refused(owner, given, code):
    """Something goes in, at least one of it, each lot once."""
    lot = LotFactory(stems=12)
    used = {"materials": [(MaterialFactory(), 0)]} if "materials" in given else {}
    used |= {"fresh": [(lot, 1), (lot, 1)]} if "fresh" in given else {}

    with refused(code):
        make_up(by=owner, on=AUGUST_5, outputs=[Output(wreath(), 1)], **used)


def test_making_up_undone_puts_everything_back(owner, batch, box):
    """Bunches in their box, fresh stems in water, materials unused."""
    lot, ring = LotFactory(stems=12), MaterialFactory()
    run = make_up(
        by=owner, on=AUGUST_5, outputs=[Output(wreath(), 3)], bunches=[(batch, box, 6)], fresh=[(lot, 12)], materials=[(ring, 3)]
    )
    with refused("rested_on"):
        undo_parting(by=owner, parting=lot.partings.get())

    undo_run(by=owner, run=run)

    assert there(batch, *run.batches.all()) == [(box.code, 20)]
    assert Lot.objects.with_stems_in_water(AUGUST_5).get(pk=lot.pk).stems_in_water == 12
    assert not run.cost_object.material_uses.standing()


def test_what_a_run_used_does_not_come_back_alone(owner, batch, box):
    """A wreath is taken apart by undoing its run."""
    run = make_up(by=owner, on=AUGUST_5, outputs=[Output(wreath(), 1)], bunches=[(batch, box, 6)])

    with refused("part_of_more"):
        take_back(by=owner, on=AUGUST_5, movement=run.drawn.get(), bunches=1)


def test_the_second_press_makes_up_once(owner):
    """One form makes one run."""
    ready, ring = wreath(), MaterialFactory()
    made = [make_up(by=owner, on=AUGUST_5, outputs=[Output(ready, 3)], materials=[(ring, 3)], key="a-form") for _press in (1, 2)]

    assert made[0] == made[1] and Balance.objects.get(line=ready).on_hand == 3


def test_a_seller_makes_nothing_up(seller):
    """Making up is for those who box."""
    with pytest.raises(PermissionDenied):
        make_up(by=seller, on=AUGUST_5, outputs=[Output(wreath(), 1)], materials=[(MaterialFactory(), 1)])


def test_stems_of_several_varieties_make_mixed_bunches(owner):
    """60 of one variety and 40 of another, cut dry, are ten mixed tens."""
    mixed, hanging, dry = LineFactory(variety=None, name="Meadow mix", stems=10), sound_hanging(60), cut_dry(40)

    run = make_run(by=owner, on=AUGUST_5, inputs=[(hanging, 60), (dry, 40)], outputs=[Output(mixed, 10)])

    assert [used.source for used in run.inputs.all()] == [dry, hanging]
    assert str(run.batches.get().line) == "Meadow mix, 10 st"


def bought(by, *outputs):
    """Bunches of a neighbour for 40.00 and 8.00 tax."""
    kind = CostKind.objects.get(code="plants")
    return buy_in(
        by=by, on=AUGUST_5, supplier="Sorrel Farm", reference="SF 7", outputs=outputs, net=4000, tax=800, kind=kind
    )


def test_bunches_bought_in_cost_what_was_paid(owner, line):
    """Ten tens from a neighbour, in a box, with a purchase spent on their run."""
    box = BoxFactory()

    run = bought(owner, Output(line, 10, box=box))

    assert (run.kind, there(run.batches.get()), run.batches.get().stems) == (Run.Kind.BOUGHT_IN, [(box.code, 10)], 100)
    share = run.cost_object.purchase_shares.get()
    assert (share.line.net, share.line.tax, share.purchase.supplier) == (4000, 800, "Sorrel Farm")


def test_buying_in_undone_takes_its_purchase_along(owner, line):
    """No bunch and no bill."""
    run = bought(owner, Output(line, 10))

    undo_run(by=owner, run=run)

    assert not Purchase.objects.standing() and there(*run.batches.all()) == []


def test_only_those_with_money_buy_in_and_undo_it(owner, hand, line):
    """A hand sees no money."""
    run = bought(owner, Output(line, 10))

    with pytest.raises(PermissionDenied):
        bought(hand, Output(line, 10))
    for undo in (undo_run, undo_buying_in):
        with pytest.raises(PermissionDenied):
            undo(by=hand, run=run)


def test_a_bookkeeper_undoes_what_was_bought_in_and_no_other_run(owner, bookkeeper, line):
    """No bunch and no bill, once; the loft's own bunches are not the bookkeeper's to undo."""
    run = bought(bookkeeper, Output(line, 10))

    assert not undo_buying_in(by=bookkeeper, run=run).stands
    assert not Purchase.objects.standing() and there(*run.batches.all()) == []
    with refused("undone"):
        undo_buying_in(by=bookkeeper, run=run)
    own = make_up(by=owner, on=AUGUST_5, outputs=[Output(line, 1)], materials=[(MaterialFactory(), 1)])
    with refused("not_bought_in"):
        undo_buying_in(by=bookkeeper, run=own)


def test_the_second_press_undoes_a_buying_in_once(bookkeeper, line):
    """One form undoes once and leads to the same run."""
    given = {"by": bookkeeper, "run": bought(bookkeeper, Output(line, 10)), "key": "a-form"}

    assert undo_buying_in(**given) == undo_buying_in(**given)


def test_bunches_bought_in_and_gone_since_are_not_undone(bookkeeper, owner, line):
    """First what took them."""
    box = BoxFactory()
    run = bought(bookkeeper, Output(line, 10, box=box))
    draw(by=owner, on=AUGUST_5, batch=run.batches.get(), box=box, bunches=1, reason="sample")

    with refused("rested_on"):
        undo_buying_in(by=bookkeeper, run=run)


def test_a_bookkeeper_buys_in_something(owner, line):
    """Nothing bought is refused; the bookkeeper enters money."""
    keeper = add_person(by=owner, username="keeper", password="teasel-and-honesty", role="bookkeeper")

    with refused("no_outputs"):
        bought(keeper)
    assert bought(keeper, Output(line, 1)).stands


def test_a_bill_with_more_on_it_is_not_undone_with_the_run(owner, line):
    """The bill undone and entered anew with twine on it: undoing the run asks to see to the bill first."""
    run = bought(owner, Output(line, 10))
    undo_purchase(by=owner, purchase=run.cost_object.purchase_shares.get().purchase)
    kind, store = CostKind.objects.get(code="bought"), CostObject.objects.filter(kind="holding").first()
    lines = [BoughtLine("bunches", kind, 4000, 0, [(run.cost_object, 1)]), BoughtLine("twine", kind, 500, 0, [(store, 1)])]
    bill = record_purchase(by=owner, on=AUGUST_5, supplier="Sorrel Farm", lines=lines)

    with refused("rested_on"):
        undo_run(by=owner, run=run)
    bill.refresh_from_db()
    assert bill.stands
