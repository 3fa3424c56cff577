"""The form of one piece of a job: its price, its planned work and what goes into one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.forms import BoundField
from django.utils.translation import gettext_lazy as _

from ledger.daybook.models import Material
from ledger.facts.forms import MoneyField
from ledger.growing.models import Variety
from ledger.sales.actions import Part
from ledger.sales.models import JobPiece
from ledger.sales.models.jobs import MOST_MINUTES, MOST_PIECES
from ledger.stock.forms.rows import Pick, RowsForm, key_of
from ledger.stock.models import Line, Recipe

MOST_IN_ONE = 100_000


class PieceForm(RowsForm):
    """One piece; its parts in rows: dried lines, fresh stems, materials, things bought in (`bought_1`, `each_1`, `cost_1`)."""

    waits = False
    KINDS = {
        "dried": Pick(_("Dried, from the shelves"), "stems", _("Bunch line"), _("Stems in one")),
        "fresh": Pick(_("Fresh, of your own"), "cut", _("Variety"), _("Stems in one")),
        "material": Pick(_("Materials"), "quantity", _("Material"), _("For one")),
    }
    name = forms.CharField(label=_("Piece"), max_length=80, help_text=_("As it should stand on the quote."))
    quantity = forms.IntegerField(label=_("How many"), min_value=1, max_value=MOST_PIECES, initial=1)
    price = MoneyField(label=_("Price of one"))
    minutes = forms.IntegerField(
        label=_("Work on one, minutes"), min_value=0, max_value=MOST_MINUTES, required=False,
        help_text=_("Planned, to reckon a price with."),
    )
    note = forms.CharField(label=_("Note"), max_length=200, required=False, help_text=_("Goes on the quote beneath it."))

    def __init__(
        self, *args: Any, lines: Sequence[Line], varieties: Sequence[Variety], materials: Sequence[Material], with_tax: bool,
        **given: Any,
    ) -> None:
        super().__init__(*args, **given)
        self.fields["price"].help_text = _("With tax.") if with_tax else _("Net of tax.")
        self.offer("dried", [(line, _said(line)) for line in lines])
        self.offer("fresh", [(variety, str(variety)) for variety in varieties])
        self.offer("material", [(one, f"{one} ({one.get_unit_display()})") for one in materials])
        self.bought_rows = self.rows_begun("bought", "each", "cost")
        for row in range(1, self.bought_rows + 1):
            self._offer_bought(row)

    def _offer_bought(self, row: int) -> None:
        self.fields[f"bought_{row}"] = forms.CharField(label=_("Bought in"), max_length=80, required=False)
        self.fields[f"each_{row}"] = forms.IntegerField(
            label=_("For one"), min_value=1, max_value=MOST_IN_ONE, required=False
        )
        self.fields[f"cost_{row}"] = MoneyField(label=_("Net cost of each"), required=False)

    def bought(self) -> list[list[BoundField]]:
        """The rows of what is bought in, for the page."""
        return [[self[f"{name}_{row}"] for name in ("bought", "each", "cost")] for row in range(1, self.bought_rows + 1)]

    @property
    def anything_bought(self) -> bool:
        """Whether something stands in one of those rows."""
        return any(field.value() for row in self.bought() for field in row)

    def clean(self) -> dict[str, Any]:
        given = super().clean()
        for name, number, _cost in self.bought():
            if bool(given.get(name.name)) != bool(given.get(number.name)) and not (name.errors or number.errors):
                self.add_error(number.name, ValidationError(_("Say which and how many."), code="half"))
        return given

    def parts(self) -> list[Part]:
        """What goes into one."""
        given = self.cleaned_data
        own = {"dried": "line", "fresh": "variety", "material": "material"}
        parts = [
            Part(quantity=number, **{field: thing}) for kind, field in own.items() for thing, number in self.given_of(kind)
        ]
        bought = [[given.get(field.name) for field in row] for row in self.bought()]
        return parts + [Part(quantity=each, bought=name, cost=cost or 0) for name, each, cost in bought if name and each]

    def piece(self) -> dict[str, Any]:
        """The piece itself, as the action takes it."""
        given = self.cleaned_data
        said = {name: given[name] for name in ("on", "name", "quantity", "price", "note")}
        return {**said, "minutes": given["minutes"] or 0, "parts": self.parts()}


class CopyForm(forms.Form):
    """Where a new piece is filled in from: a made-up line's recipe, or a piece of any job."""

    recipe = forms.ModelChoiceField(queryset=Recipe.objects.none(), label=_("Recipe of"), required=False, empty_label="–")
    piece = forms.ModelChoiceField(queryset=JobPiece.objects.none(), label=_("Piece of a job"), required=False, empty_label="–")

    def __init__(self, *args: Any, recipes: QuerySet[Recipe], pieces: QuerySet[JobPiece], **given: Any) -> None:
        super().__init__(*args, **given)
        self._choose("recipe", recipes, lambda one: str(one.line))
        self._choose("piece", pieces, lambda one: f"{one.name}, {one.job}")

    def _choose(self, name: str, rows: QuerySet[Any], said: Callable[[Any], str]) -> None:
        if rows.exists():
            self.fields[name].queryset, self.fields[name].label_from_instance = rows, said  # type: ignore[attr-defined]
        else:
            del self.fields[name]

    @property
    def chosen(self) -> Recipe | JobPiece | None:
        """What was chosen, None where nothing was or it cannot be read."""
        if not self.is_valid():
            return None
        return self.cleaned_data.get("recipe") or self.cleaned_data.get("piece")


def by_stems(line: Line) -> bool:
    """Whether a part of that line is counted in stems; else in its units."""
    return line.unit == Line.Unit.BUNCH


def _said(line: Line) -> str:
    return str(line) if by_stems(line) else _("%(line)s: how many, not stems") % {"line": line}


def typed(parts: Iterable[Part]) -> dict[str, Any]:
    """Parts as the rows of the form say them."""
    rows: dict[str, Any] = {}
    numbers = {kind: pick.number for kind, pick in PieceForm.KINDS.items()}
    so_far: Counter[str] = Counter()
    for part in parts:
        found = [(kind, thing) for kind, thing in zip(numbers, (part.line, part.variety, part.material), strict=True) if thing]
        kind, thing = found[0] if found else ("bought", None)
        so_far[kind] += 1
        row = so_far[kind]
        if thing is not None:
            rows |= {f"{kind}_{row}": key_of(thing), f"{numbers[kind]}_{row}": part.quantity}
        else:
            rows |= {f"bought_{row}": part.bought, f"each_{row}": part.quantity, f"cost_{row}": part.cost}
    return rows
