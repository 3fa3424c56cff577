"""Things bunched and boxed, made by the stage's own verbs."""

from collections.abc import Sequence
from datetime import date

import factory

from ledger.drying.models import Hanging
from ledger.stock import actions
from ledger.stock.models import Batch, Box, Line, Run

from .drying import ByOwner, HangingFactory, TakingDownFactory, VarietyFactory, owner


class LineFactory(ByOwner):
    class Meta:
        model = Line

    variety = factory.SubFactory(VarietyFactory)
    stems = 10
    _act = staticmethod(actions.add_line)


class BoxFactory(ByOwner):
    class Meta:
        model = Box

    shelf = "A1"
    _act = staticmethod(actions.new_box)


def sound_hanging(stems: int = 1000, *, on: date = date(2024, 7, 20), hung: date = date(2024, 7, 2)) -> Hanging:
    """A hanging of which so many stems came down, all sound, on a day."""
    hanging = HangingFactory(stems=stems, on=hung)
    TakingDownFactory(hanging=hanging, stems=stems, on=on)
    return hanging


def run_of(
    line: Line, made: int, *, on: date = date(2024, 8, 1), box: Box | None = None, hanging: Hanging | None = None
) -> Run:
    """A run that made so many of one line, from stems that were all sound."""
    stems = made * (line.stems or 1)
    return actions.make_run(
        by=owner(), on=on, inputs=[(hanging or sound_hanging(stems), stems)],
        outputs=[actions.Output(line, made, stems, box=box)],
    )


def batch_of(line: Line, made: int, *, on: date = date(2024, 8, 1), box: Box | None = None) -> Batch:
    """A batch of so many of a line, in a box (None: not yet boxed)."""
    return run_of(line, made, on=on, box=box).batches.get()


def there(*batches: Batch) -> Sequence[tuple[str, int]]:
    """What is where now: (box id or "", bunches), nil left out."""
    rows = [content for batch in batches for content in batch.contents.there()]
    return [(content.box.code if content.box else "", content.bunches) for content in rows]
