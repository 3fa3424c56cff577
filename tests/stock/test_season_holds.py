"""Promises of bunches of one season: what else goes out takes others first, and what takes them leaves those promises short."""

from datetime import date, timedelta
from random import Random

import pytest
from django.core.exceptions import ValidationError

from ledger.stock import actions
from ledger.stock.actions import (
    draw,
    hold,
    release,
    sell_bunches,
    undo_end_take,
    undo_hold_change,
    undo_movement,
    write_off,
)
from ledger.stock.models import Balance, Content, Hold, HoldChange, Movement
from ledger.stock.queries import free_places
from tests.factories.stock import BoxFactory, batch_of
from tests.refusals import refused

DAY, NEXT = date(2025, 9, 1), date(2025, 9, 2)


@pytest.fixture
def old(line):
    """Ten bunches of August 2024, in a box."""
    return batch_of(line, 10, on=date(2024, 8, 1), box=BoxFactory())


@pytest.fixture
def new(line, old):
    """Ten bunches of August 2025, in another box."""
    return batch_of(line, 10, on=date(2025, 8, 1), box=BoxFactory())


@pytest.fixture
def keep(owner, line, old, new):
    """Keep so many for a promise, of a season or of any."""

    def keep(bunches, season=2024, on=DAY):
        return hold(by=owner, on=on, line=line, bunches=bunches, for_what="wedding", season=season)

    return keep


def box_of(batch):
    """The box a batch was put into."""
    return batch.contents.get().box


def lost(owner, batch, bunches):
    """So many of a batch written off."""
    return write_off(by=owner, on=NEXT, batch=batch, box=box_of(batch), bunches=bunches, reason="damp")


def stands(*holds):
    """Kept and short of each hold."""
    found = [Hold.objects.with_kept().with_short().get(pk=one.pk) for one in holds]
    return [(one.kept, one.short) for one in found]


def taken(movements):
    """Batch and bunches of each row."""
    return [(row.batch, -row.bunches) for row in movements]


def test_a_sale_takes_bunches_of_a_season_nobody_was_promised(owner, line, old, new, keep):
    """All ten of 2024 are promised: ten of 2025 are sold."""
    kept = keep(10)

    assert taken(sell_bunches(by=owner, on=NEXT, line=line, bunches=10)) == [(new, 10)]
    assert stands(kept) == [(10, 0)]


def test_the_oldest_go_first_as_far_as_they_are_not_promised(owner, line, old, new, keep):
    """Four of 2024 are promised: six of them are sold, then four of 2025."""
    keep(4)

    assert taken(sell_bunches(by=owner, on=NEXT, line=line, bunches=10)) == [(old, 6), (new, 4)]


def test_what_a_recipe_takes_leaves_them_too(line, old, new, keep):
    """Four of 2024 are promised: what is made up is made of the others."""
    keep(4)

    places, missing = free_places(line, NEXT, 20)

    assert ([(place.batch, n) for place, n in places], missing) == ([(old, 6), (new, 10)], 4)


def test_a_loss_of_a_season_leaves_its_promise_short(owner, old, new, keep):
    """Eight of the ten of 2024 are gone: that promise is short of eight though twelve bunches are on hand; undone, of none."""
    kept, later = keep(10), keep(5, season=None, on=NEXT)

    gone = lost(owner, old, 8)
    assert stands(kept, later) == [(2, 8), (5, 0)]

    undo_movement(by=owner, movement=gone)
    assert stands(kept, later) == [(10, 0), (5, 0)]


def test_both_seasons_are_minded(owner, line, old, new, keep):
    """Promises of 2024, of 2025 and of any: one of each season is lost, and the last promise of any is short of what is left."""
    any_season, of_old, of_new = keep(4, season=None), keep(8), keep(8, season=2025)

    lost(owner, old, 3)
    lost(owner, new, 1)

    assert stands(any_season, of_old, of_new) == [(4, 0), (7, 1), (5, 3)]
    assert Balance.objects.get(line=line).free == 0


def test_bunches_promised_of_a_season_are_not_sold_out_of_their_box(owner, line, old, new, keep):
    """A sale that is only wished is refused; one that happened leaves the promise short."""
    kept, box = keep(7), box_of(old)

    with refused("not_of_season"):
        sell_bunches(by=owner, on=NEXT, line=line, bunches=4, box=box)
    sell_bunches(by=owner, on=NEXT, line=line, bunches=4, box=box, beyond_record=True)

    assert stands(kept) == [(6, 1)]


def test_a_sale_beyond_the_record_takes_promised_bunches_last(owner, line, old, new, keep):
    """Sixteen sold, ten of 2024 promised: ten of 2025 go, then six of 2024, which are short."""
    kept = keep(10)

    assert taken(sell_bunches(by=owner, on=NEXT, line=line, bunches=16, beyond_record=True)) == [(new, 10), (old, 6)]
    assert stands(kept) == [(4, 6)]


def test_a_giving_back_is_not_undone_once_its_season_is_gone(owner, line, old, new, keep):
    """Given back and sold; twenty of 2025 do not help."""
    kept = keep(10)
    given_back = release(by=owner, hold=kept, on=NEXT, bunches=10)
    sell_bunches(by=owner, on=NEXT, line=line, bunches=1)
    batch_of(line, 10, on=NEXT)

    with refused("not_of_season"):
        undo_hold_change(by=owner, change=given_back)


def test_a_loss_undone_keeps_again_only_what_its_season_has(owner, line, old, new, keep):
    """A loss of 2024 left a promise of 2025 short, and those of 2025 were sold meanwhile: undone, it stays short."""
    other, kept = keep(10, season=None), keep(10, season=2025)
    gone = lost(owner, old, 5)
    assert stands(other, kept) == [(10, 0), (5, 5)]
    release(by=owner, hold=other, on=NEXT, bunches=5)
    sell_bunches(by=owner, on=NEXT, line=line, bunches=5, box=box_of(new))

    undo_movement(by=owner, movement=gone)

    assert stands(other, kept) == [(5, 0), (5, 5)]


def test_a_stock_take_that_finds_one_season_for_another(owner, line, old, new, keep):
    """Three of 2024 missing, three of 2025 over, put right as one: three of the promise are short; undone, none."""
    kept = keep(10)
    take = actions.begin_take(by=owner, on=NEXT, line=line)
    for batch, n in ((old, 7), (new, 13)):
        actions.count_in_take(by=owner, on=NEXT, take=take, box=box_of(batch), counted={batch: n})
    reasons = {counted.pk: "mixed up" for counted in take.counted.all()}

    end = actions.end_take(by=owner, on=NEXT, take=take, reasons=reasons)
    assert stands(kept) == [(7, 3)]

    undo_end_take(by=owner, end=end)
    assert stands(kept) == [(10, 0)]


def test_what_a_season_was_promised_of_is_not_taken_out_again(owner, line, old, new, keep):
    """Two found of 2024 were promised: the count that found them cannot be undone, though ten of 2025 are free."""
    count = actions.count_box(by=owner, on=DAY, box=box_of(old), counted={old: 12})
    keep(12)

    with refused("not_of_season"):
        actions.undo_count(by=owner, count=count)


def uncovered():
    """By season, how many more are kept than are on hand now."""
    kept, there = {}, {}
    for change in HoldChange.objects.standing().exclude(hold__season=None).select_related("hold"):
        kept[change.hold.season] = kept.get(change.hold.season, 0) + change.bunches
    for row in Content.objects.select_related("batch"):
        there[row.batch.on.year] = there.get(row.batch.on.year, 0) + row.bunches
    return {season: n - there.get(season, 0) for season, n in kept.items() if n > there.get(season, 0)}


class Seller:
    """Does one verb after another to two batches of two seasons, from a known seed."""

    def __init__(self, by, line, batches, seed):
        self.by, self.line, self.dice = by, line, Random(seed)
        self.boxes = {batch: box_of(batch) for batch in batches}

    def given(self):
        return {"by": self.by, "on": DAY + timedelta(self.dice.randrange(5)), "bunches": self.dice.randint(1, 6)}

    def promise(self):
        hold(line=self.line, for_what="somebody", season=self.dice.choice([None, 2024, 2025]), **self.given())

    def change(self):
        verb = self.dice.choice([release, actions.use_hold, actions.fill_again, actions.give_up])
        verb(hold=self.dice.choice(list(Hold.objects.order_by("pk"))), **self.given())

    def go(self):
        batch, box = self.dice.choice(list(self.boxes.items()))
        self.dice.choice([write_off, draw])(batch=batch, box=box, reason="so", **self.given())

    def sell(self):
        box = self.dice.choice([None, None, *self.boxes.values()])
        sell_bunches(line=self.line, box=box, beyond_record=self.dice.random() < 0.5, **self.given())

    def undo(self):
        verb, model = self.dice.choice([(undo_movement, Movement), (undo_hold_change, HoldChange)])
        fact = self.dice.choice(list(model.objects.standing().order_by("pk")))
        verb(by=self.by, **{"movement" if model is Movement else "change": fact})

    def do(self):
        """One verb; a refusal is as good as a deed."""
        try:
            self.dice.choice([self.promise, self.promise, self.change, self.go, self.sell, self.undo])()
        except (ValidationError, IndexError):
            return False
        return True


@pytest.mark.parametrize("seed", range(6))
def test_no_season_is_promised_beyond_what_is_on_hand(owner, line, old, new, seed):
    """After each of fifty verbs, and none of them fails of its own promise."""
    seller = Seller(owner, line, [old, new], seed)

    done = 0
    for _ in range(50):
        done += seller.do()
        balance = Balance.objects.get(line=line)
        assert uncovered() == {}
        assert 0 <= balance.held <= balance.on_hand

    assert done > 15
