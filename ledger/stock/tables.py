"""The tables of stock."""

import django_tables2 as tables
from django.utils.translation import gettext_lazy as _

from .models import Batch, Box, Hold, KeepsFor, Line, Movement, Recipe, Run, StockCount, StockTake

LINE_ORDER = ("variety__species__name", "variety__name", "name", "colour", "grade")
BATCH_LINE_ORDER = tuple(f"line__{name}" for name in LINE_ORDER)
MOVEMENT_LINE_ORDER = tuple(f"batch__line__{name}" for name in LINE_ORDER)


class LineTable(tables.Table):
    """Bunch lines with what is on hand, kept and free."""

    what = tables.Column(_("Line"), accessor="pk", order_by=LINE_ORDER)
    on_hand = tables.Column(_("On hand"))
    held = tables.Column(_("Kept"))
    free = tables.Column(_("Free"))

    class Meta:
        model = Line
        fields = ("what", "on_hand", "held", "free")
        empty_text = _("No line is named yet.")


class RunTable(tables.Table):
    """Runs, the latest first."""

    stems_in = tables.Column(_("Stems in"))
    bunches_made = tables.Column(_("Made"))

    class Meta:
        model = Run
        fields = ("on", "kind", "stems_in", "bunches_made", "lost", "note")
        empty_text = _("Nothing has been bunched yet.")


class RecipeTable(tables.Table):
    """Recipes by name."""

    what = tables.Column(_("Line"), accessor="line", order_by=BATCH_LINE_ORDER)

    class Meta:
        model = Recipe
        fields = ("what", "on", "note")
        empty_text = _("No recipe is written yet.")


class BatchTable(tables.Table):
    """Batches, the latest first."""

    what = tables.Column(_("Line"), accessor="line", order_by=BATCH_LINE_ORDER)
    there = tables.Column(_("On hand"))

    class Meta:
        model = Batch
        fields = ("on", "what", "made", "there")
        empty_text = _("Nothing has been bunched yet.")


class AgeTable(tables.Table):
    """What is on hand, the oldest first."""

    what = tables.Column(_("Line"), accessor="line", order_by=BATCH_LINE_ORDER)
    there = tables.Column(_("On hand"))
    on = tables.Column(_("Made"))
    old = tables.Column(_("Days old"), accessor="on", orderable=False)
    best = tables.Column(_("At its best until"), accessor="on", orderable=False)

    class Meta:
        model = Batch
        fields = ("on", "old", "what", "there", "best")
        empty_text = _("Nothing is on hand.")


class KeepsForTable(tables.Table):
    """How long bunches keep, the latest said first."""

    class Meta:
        model = KeepsFor
        fields = ("on", "species", "days")
        empty_text = _("Nobody has said how long bunches keep: none is called past its best.")


class BoxTable(tables.Table):
    """Boxes by shelf and id."""

    bunches = tables.Column(_("In it"))

    class Meta:
        model = Box
        fields = ("code", "shelf", "bunches", "note")
        empty_text = _("No box is begun yet.")


class MovementTable(tables.Table):
    """The stock book, the latest row first."""

    what = tables.Column(_("Line"), accessor="batch__line", order_by=MOVEMENT_LINE_ORDER)

    class Meta:
        model = Movement
        fields = ("on", "kind", "bunches", "what", "box", "reason")
        empty_text = _("The stock book is empty.")


class HoldTable(tables.Table):
    """Holds, the latest promise first."""

    what = tables.Column(_("Line"), accessor="line", order_by=BATCH_LINE_ORDER)
    kept = tables.Column(_("Keeps"))
    short = tables.Column(_("Short"))

    class Meta:
        model = Hold
        fields = ("on", "what", "for_what", "kept", "short")
        empty_text = _("Nothing is kept for anybody.")


class StockCountTable(tables.Table):
    """Counts, the latest first."""

    class Meta:
        model = StockCount
        fields = ("on", "box", "note")
        empty_text = _("No box has been counted yet.")


class StockTakeTable(tables.Table):
    """Stock-takes, the latest first."""

    what = tables.Column(_("Of what"), accessor="pk", order_by=("shelf", *BATCH_LINE_ORDER))
    batches_counted = tables.Column(_("Batches counted"))
    ended = tables.Column(_("Put into the book"))

    class Meta:
        model = StockTake
        fields = ("on", "what", "batches_counted", "ended", "note")
        empty_text = _("No stock-take was begun yet.")
