"""Content and Balance are what the stock book says, whatever was done in whatever order."""

from collections import defaultdict
from datetime import date, timedelta
from random import Random

import pytest
from django.core.exceptions import ValidationError

from ledger.stock import actions
from ledger.stock.models import Balance, Batch, Box, Content, Hold, HoldChange, Line, Movement, StockCount
from tests.factories.drying import VarietyFactory
from tests.factories.stock import BoxFactory, LineFactory, batch_of

FIRST = date(2024, 8, 1)


class Grower:
    """Does one verb after another, with numbers and days from a known seed."""

    def __init__(self, by, seed):
        self.by, self.dice = by, Random(seed)
        variety = VarietyFactory()
        self.lines = [LineFactory(variety=variety, stems=stems) for stems in (5, 10)]
        self.boxes = [*(BoxFactory() for _ in range(2)), None]
        for line in self.lines:
            batch_of(line, 12, on=FIRST, box=self.boxes[0])
            batch_of(line, 8, on=FIRST + timedelta(days=4))

    def some(self):
        """A day, a batch, a box and a number."""
        return {
            "by": self.by, "on": FIRST + timedelta(days=self.dice.randrange(10)), "batch": self.pick(Batch.objects.standing()),
            "box": self.dice.choice(self.boxes), "bunches": self.dice.randint(1, 9),
        }

    def pick(self, rows):
        rows = list(rows.order_by("pk"))
        return self.dice.choice(rows) if rows else None

    def move(self, batch, box, **given):
        actions.move(batch=batch, source=box, target=self.dice.choice(self.boxes), **given)

    def leave(self, **given):
        self.dice.choice([actions.draw, actions.write_off])(reason="so", **given)

    def sell(self, batch, box, **given):
        actions.sell_bunches(line=batch.line, beyond_record=self.dice.random() < 0.5, box=self.dice.choice([None, box]), **given)

    def come_back(self, batch, box, **given):
        sold = self.pick(Movement.objects.standing().filter(kind="sold"))
        if sold:
            actions.take_back(movement=sold, box=box, **given)

    def count(self, batch, box, bunches, **given):
        if box:
            actions.count_box(box=box, counted={batch: bunches}, **given)

    def promise(self, batch, box, **given):
        actions.hold(line=batch.line, for_what="somebody", **given)

    def change_promise(self, batch, box, **given):
        kept = self.pick(Hold.objects.standing())
        if kept:
            self.dice.choice([actions.release, actions.hold_more, actions.use_hold, actions.fill_again])(hold=kept, **given)

    def undo(self, by, **_given):
        undoing = [
            (actions.undo_movement, "movement", Movement), (actions.undo_count, "count", StockCount),
            (actions.undo_hold_change, "change", HoldChange),
        ]
        verb, name, model = self.dice.choice(undoing)
        fact = self.pick(model.objects.standing())
        if fact:
            verb(by=by, **{name: fact})

    def do(self):
        """One verb; a refusal is as good as a deed."""
        verbs = [self.move, self.leave, self.sell, self.come_back, self.count, self.promise, self.change_promise, self.undo]
        try:
            self.dice.choice(verbs)(**self.some())
        except ValidationError:
            return False
        return True


def by_the_book():
    """Bunches by (batch, box), by line, and the lowest of every place on any day."""
    places, lines, lowest = defaultdict(int), defaultdict(int), 0
    days = defaultdict(lambda: defaultdict(int))
    for row in Movement.objects.standing().select_related("batch"):
        places[row.batch_id, row.box_id] += row.bunches
        lines[row.batch.line_id] += row.bunches
        days[row.batch_id, row.box_id][row.on] += row.bunches
    for changes in days.values():
        running = 0
        for day in sorted(changes):
            running += changes[day]
            lowest = min(lowest, running)
    return places, lines, lowest


@pytest.mark.parametrize("seed", range(6))
def test_running_figures_are_what_the_book_says(owner, seed):
    """After sixty verbs of any kind, on any of ten days."""
    grower = Grower(owner, seed)

    done = sum(grower.do() for _ in range(60))

    places, lines, lowest = by_the_book()
    assert done > 20
    assert {(row.batch_id, row.box_id): row.bunches for row in Content.objects.filter(bunches__gt=0)} == {
        place: n for place, n in places.items() if n
    }
    for balance in Balance.objects.all():
        held = sum(HoldChange.objects.standing().filter(hold__line=balance.line_id).values_list("bunches", flat=True))
        assert (balance.on_hand, balance.held) == (lines[balance.line_id], held)
    assert lowest == 0
    assert Line.objects.count() == 2 and Box.objects.count() == 2
