"""Forms of what goes along to a stall day and comes back from it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.forms import BoundField
from django.utils.formats import date_format
from django.utils.translation import gettext_lazy as _

from ledger.drying.models import Place
from ledger.facts.forms import NoDayForm
from ledger.facts.ruled import Row, RuledForm
from ledger.growing.models import Lot
from ledger.sales.actions import BackBox, BackBunches, BackStems
from ledger.sales.queries.loading import Load
from ledger.stock.models import Box, Content

from .reasons import THROWN_REASONS, reason_fields, reason_said


class LoadForm(NoDayForm):
    """A tick for each box that can go along."""

    def __init__(self, *args: Any, loads: Sequence[Load], **given: Any) -> None:
        super().__init__(*args, **given)
        self.loads = loads
        for load in loads:
            label = _("Box %(box)s") % {"box": load.box}
            self.fields[f"tick_{load.box.pk}"] = forms.BooleanField(label=label, required=False)

    def rows(self) -> list[tuple[Load, BoundField]]:
        """Each box with its tick."""
        return [(load, self[f"tick_{load.box.pk}"]) for load in self.loads]

    def boxes(self) -> list[Box]:
        """Those ticked."""
        return [load.box for load in self.loads if self.cleaned_data[f"tick_{load.box.pk}"]]


class BackForm(RuledForm):
    """What came back: each loaded box with its batches, what is left of the lots sold fresh, and where it goes.

    `contents` carry `then`: what the record says was there on the day the form is about.
    """

    place = forms.ModelChoiceField(
        queryset=Place.objects.all(), label=_("Stems hung in"), required=False, empty_label=_("none are hung")
    )
    numbers = ("back_", "thrown_", "hung_", "out_")

    def __init__(self, *args: Any, contents: Sequence[Content], boxes: Sequence[Box], lots: Sequence[Lot], **given: Any) -> None:
        super().__init__(*args, **given)
        self.contents, self.boxes, self.lots = contents, boxes, lots
        for box in boxes:
            label = _("Shelf of box %(box)s") % {"box": box}
            self.fields[f"shelf_{box.pk}"] = forms.CharField(
                label=label, max_length=40, required=False, initial=box.shelf, show_hidden_initial=True,
            )
        for content in contents:
            what = {"what": content.batch.line, "box": content.box}
            self.number(f"back_{content.pk}", _("%(what)s in %(box)s: came back") % what, initial=content.then)  # type: ignore[attr-defined]
            self.fields[f"back_{content.pk}"].show_hidden_initial = True
            self.number(f"thrown_{content.pk}", _("%(what)s in %(box)s: thrown out of those") % what)
        for lot in lots:
            self.number(f"hung_{lot.pk}", _("%(what)s: hung") % {"what": lot})
            self.number(f"room_{lot.pk}", _("%(what)s: room taken") % {"what": lot}, initial=1)
            self.number(f"out_{lot.pk}", _("%(what)s: thrown out") % {"what": lot})
        reason_fields(self, _("Why thrown out"), THROWN_REASONS, _("Only where something was."))

    def of_boxes(self) -> list[tuple[Box, BoundField, list[Row]]]:
        """Each box with its shelf and the rows of what is in it."""
        return [(box, self[f"shelf_{box.pk}"], [self._row(one) for one in self._in(box)]) for box in self.boxes]

    def _in(self, box: Box) -> Iterable[Content]:
        return (one for one in self.contents if one.box_id == box.pk)

    def _row(self, content: Content) -> Row:
        left = {"n": content.then, "on": date_format(content.batch.on)}  # type: ignore[attr-defined]
        note = _("%(n)d left by the record, bunched %(on)s") % left
        return Row(content.batch.line, note, [self[f"back_{content.pk}"], self[f"thrown_{content.pk}"]])

    def of_lots(self) -> list[Row]:
        """Each lot sold fresh that day, with what is left of it."""
        fields = ("hung", "room", "out")
        return [
            Row(lot, _("%(n)d in water") % {"n": lot.stems_in_water}, [self[f"{name}_{lot.pk}"] for name in fields])  # type: ignore[attr-defined]
            for lot in self.lots
        ]

    def clean(self) -> dict[str, Any]:
        given = super().clean()
        for content in self.contents:
            name, then = f"back_{content.pk}", content.then  # type: ignore[attr-defined]
            seen = self.seen(name)
            if seen.isdecimal() and int(seen) != then:
                says = _("The record says %(n)d then: another day was chosen, or some were sold or moved since. Count again.")
                self.add_error(name, ValidationError(says, code="stale_form", params={"n": then}))
                asked: Any = self.data.copy()  # type: ignore[attr-defined]
                asked[self.add_initial_prefix(name)] = str(then)
                self.data = asked
        return given

    def why(self) -> str:
        """Why anything was thrown out."""
        return reason_said(self.cleaned_data, THROWN_REASONS)

    def back_boxes(self) -> list[BackBox]:
        """The boxes as counted; a number left empty was not counted."""
        return [BackBox(box, list(self._counted(box)), self._shelf(box)) for box in self.boxes]

    def _shelf(self, box: Box) -> str | None:
        """The shelf it goes on, None where what the form said was left alone."""
        name = f"shelf_{box.pk}"
        return None if self.cleaned_data[name] == self.seen(name).strip() else self.cleaned_data[name]

    def _counted(self, box: Box) -> Iterable[BackBunches]:
        for one in self._in(box):
            back = self.cleaned_data[f"back_{one.pk}"]
            if back is not None:
                yield BackBunches(one.batch, back, self.cleaned_data[f"thrown_{one.pk}"] or 0)

    def back_stems(self) -> list[BackStems]:
        """The stems hung and thrown out; the rest stays in water."""
        rows = [
            BackStems(lot, self._number("hung", lot), self._number("room", lot) or 1, self._number("out", lot))
            for lot in self.lots
        ]
        return [one for one in rows if one.hung or one.thrown]

    def _number(self, name: str, lot: Lot) -> int:
        return self.cleaned_data[f"{name}_{lot.pk}"] or 0
