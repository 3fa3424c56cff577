"""Forms of rework, making up, recipes, buying in, and bunches that come down as bunches."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.db.models import QuerySet
from django.utils.formats import date_format
from django.utils.translation import gettext_lazy as _

from ledger.daybook.models import Material
from ledger.drying.forms import LosingForm
from ledger.drying.models import Hanging
from ledger.facts.forms import MoneyField
from ledger.facts.models import CostKind
from ledger.growing.models import Lot, Variety
from ledger.stock.models import Box, Content, Line
from ledger.stock.queries import Loose

from .boxes import BoxChoice
from .bunching import OUTPUT_ROWS, says_loose
from .rows import MOST, OutputsForm, Pick, RowsForm


def says_content(content: Content) -> str:
    """What bunches are called where they lie: how many, where, which, since when."""
    about = {"n": content.bunches, "line": content.batch.line, "on": date_format(content.batch.on), "where": content.box}
    if content.box is None:
        return str(_("%(n)d × not yet boxed: %(line)s, %(on)s") % about)
    return str(_("%(n)d × in %(where)s: %(line)s, %(on)s") % about)


class UsingForm(RowsForm, OutputsForm):
    """Bunches, loose and fresh stems and materials in; lines out."""

    KINDS = {
        "content": Pick(_("Bunches that go in"), "bunches", _("Bunches from"), _("How many")),
        "source": Pick(_("Loose stems that go in"), "loose", _("Loose stems of"), _("Stems")),
        "lot": Pick(_("Fresh stems that go in"), "fresh", _("Fresh stems of"), _("Stems")),
        "material": Pick(_("Materials that go in"), "quantity", _("Material"), _("How much")),
    }

    def __init__(
        self, *args: Any, places: Sequence[Content], sources: Sequence[Loose], materials: Sequence[Material],
        lots: Sequence[Lot] | None = None, **given: Any,
    ) -> None:
        super().__init__(*args, **given)
        self.offer("content", [(place, says_content(place)) for place in places])
        self.offer("source", [(source, f"{source.loose} × {says_loose(source)}") for source in sources])  # type: ignore[union-attr]
        if lots is not None:
            self.offer("lot", [(lot, f"{lot.stems_in_water} × {lot}") for lot in lots])  # type: ignore[attr-defined]
        self.offer("material", [(one, f"{one} ({one.get_unit_display()})") for one in materials])

    def used(self) -> dict[str, Any]:
        """What went in, as the actions take it."""
        return {
            "bunches": [(content.batch, content.box, number) for content, number in self.given_of("content")],
            "stems": self.given_of("source"), "materials": self.given_of("material"),
        }


class ReworkForm(UsingForm):
    """Bunches or loose stems of one line into another, with what was lost; values only `with_values`."""

    lost = forms.IntegerField(label=_("Stems lost"), min_value=0, initial=0, required=False)
    note = forms.CharField(label=_("Note"), max_length=200, required=False)

    def __init__(self, *args: Any, lines: Any, with_values: bool = False, **given: Any) -> None:
        super().__init__(*args, **given)
        self.add_outputs(lines, OUTPUT_ROWS, with_values=with_values)


class MakeUpForm(UsingForm):
    """One line made up of whatever went in."""

    note = forms.CharField(label=_("Note"), max_length=200, required=False)

    def __init__(self, *args: Any, lines: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.add_outputs(lines, (1,), with_stems=False)


class RecipeFor(forms.Form):
    """Which line is to be made up, and how many: the page is then filled in from its recipe."""

    line = forms.ModelChoiceField(queryset=Line.objects.none(), label=_("What"), empty_label="–")
    made = forms.IntegerField(label=_("How many"), min_value=1, max_value=10_000, initial=1)

    def __init__(self, *args: Any, lines: QuerySet[Line], **given: Any) -> None:
        super().__init__(*args, **given)
        self.fields["line"].queryset = lines  # type: ignore[attr-defined]


class RecipeForm(RowsForm):
    """What one takes: bunches, loose stems, materials."""

    KINDS = {
        "of_line": Pick(_("Bunches"), "bunches", _("Bunches of"), _("For one")),
        "variety": Pick(_("Loose stems"), "loose", _("Loose stems of"), _("For one")),
        "material": Pick(_("Materials"), "quantity", _("Material"), _("For one")),
    }
    note = forms.CharField(label=_("Note"), max_length=200, required=False)

    def __init__(
        self, *args: Any, lines: Sequence[Line], varieties: Sequence[Variety], materials: Sequence[Material], **given: Any
    ) -> None:
        super().__init__(*args, **given)
        self.offer("of_line", [(line, str(line)) for line in lines])
        self.offer("variety", [(variety, str(variety)) for variety in varieties])
        self.offer("material", [(one, f"{one} ({one.get_unit_display()})") for one in materials])

    def parts(self) -> list[tuple[Any, int]]:
        """What goes into one."""
        return [part for kind in self.KINDS for part in self.given_of(kind)]


class BuyInForm(OutputsForm):
    """What was bought of whom, for how much, and where it lies."""

    supplier = forms.CharField(label=_("From"), max_length=120)
    reference = forms.CharField(label=_("Reference on the bill"), max_length=60, required=False)
    net = MoneyField(label=_("Net"), help_text=_("For all of it."))
    tax = MoneyField(label=_("Tax"), required=False)
    kind = forms.ModelChoiceField(queryset=CostKind.objects.exclude(code__in=["labour", "unpaid"]), label=_("Kind of cost"))
    note = forms.CharField(label=_("Note"), max_length=200, required=False)

    def __init__(self, *args: Any, lines: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.add_outputs(lines, OUTPUT_ROWS, with_stems=False, with_values=True)


class BringDownForm(LosingForm):
    """How many bunches of a hanging came down sound, what was lost beside them, and where they went."""

    bunches = forms.IntegerField(label=_("Sound bunches"), min_value=1, max_value=MOST)
    line = forms.ModelChoiceField(queryset=Line.objects.none(), label=_("Line"))
    box = BoxChoice(
        queryset=Box.objects.on_shelves(), label=_("Into the box"), required=False, empty_label=_("not yet boxed")
    )
    loss_places, loss_label = 2, _("Stems lost besides")
    before = ("bunches", "line", "box")

    def __init__(self, *args: Any, hanging: Hanging, lines: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.fields["line"].queryset = lines  # type: ignore[attr-defined]
        self.fields["bunches"].help_text = _("Hung in bunches of %(stems)d stems.") % {"stems": hanging.bunch_stems or 0}
