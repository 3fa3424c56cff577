"""Which labels to print, and on what."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from ledger.reckoning.label_sheets import LabelSheet
from ledger.stock.models import Box

# Sizes in tenths of a millimetre as stationers sell them: common practice, no source.
SHEETS: dict[str, tuple[Any, LabelSheet]] = {
    "one_100_70": (_("one at a time, 100 × 70 mm"), LabelSheet(1000, 700, 1, 1, 1000, 700)),
    "one_62_100": (_("one at a time, 62 × 100 mm"), LabelSheet(620, 1000, 1, 1, 620, 1000)),
    "one_57_32": (_("one at a time, 57 × 32 mm"), LabelSheet(570, 320, 1, 1, 570, 320)),
    "a4_2_4": (_("A4, 8 of 99.1 × 67.7 mm"), LabelSheet(2100, 2970, 2, 4, 991, 677, 47, 131, 25, 0)),
    "a4_2_7": (_("A4, 14 of 99.1 × 38.1 mm"), LabelSheet(2100, 2970, 2, 7, 991, 381, 47, 151, 25, 0)),
    "a4_3_7": (_("A4, 21 of 63.5 × 38.1 mm"), LabelSheet(2100, 2970, 3, 7, 635, 381, 72, 151, 25, 0)),
    "a4_3_8": (_("A4, 24 of 70 × 36 mm"), LabelSheet(2100, 2970, 3, 8, 700, 360, 0, 45, 0, 0)),
    "letter_2_5": (_("Letter, 10 of 101.6 × 50.8 mm"), LabelSheet(2159, 2794, 2, 5, 1016, 508, 40, 127, 47, 0)),
}
USUAL, OWN = "one_100_70", "own"
OWN_FIELDS = ("wide", "high", "columns", "rows", "label_wide", "label_high", "left", "top", "across", "down")


SIZES = [*((key, name) for key, (name, _sheet) in SHEETS.items()), (OWN, _("a size of your own"))]


def _mm(label: Any) -> forms.DecimalField:
    return forms.DecimalField(label=label, required=False, min_value=0, max_value=1000, decimal_places=1)


class LabelsForm(forms.Form):
    """The boxes, the size of the labels, and the first free place of a sheet begun; `kept`: the size used last."""

    boxes = forms.ModelMultipleChoiceField(
        queryset=Box.objects.none(), label=_("Boxes"), widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _("Tick the boxes that want a label.")},
    )
    size = forms.ChoiceField(label=_("Labels"), choices=SIZES)
    first = forms.IntegerField(
        label=_("Begin at label"), initial=1, min_value=1,
        help_text=_("On a sheet begun earlier: the first one still there, row by row."),
    )
    wide, high = _mm(_("Sheet: width (mm)")), _mm(_("Sheet: height (mm)"))
    columns = forms.IntegerField(label=_("Labels side by side"), required=False, min_value=1, max_value=20)
    rows = forms.IntegerField(label=_("Labels one above the other"), required=False, min_value=1, max_value=40)
    label_wide, label_high = _mm(_("Label: width (mm)")), _mm(_("Label: height (mm)"))
    left, top = _mm(_("Before the first, from the left (mm)")), _mm(_("Before the first, from the top (mm)"))
    across, down = _mm(_("Gap side by side (mm)")), _mm(_("Gap one above the other (mm)"))

    def __init__(self, *args: Any, shelf: str | None = None, kept: str | None = None, **given: Any) -> None:
        super().__init__(*args, **given)
        boxes = Box.objects.filter(parcel=False).order_by("shelf", "code")
        offered = list(boxes.filter(shelf=shelf) if shelf else boxes)
        field: Any = self.fields["boxes"]
        field.queryset = boxes
        field.choices = [(one.pk, f"{one.code} · {one.shelf}" if one.shelf else one.code) for one in offered]
        field.initial = [one.pk for one in offered] if shelf else []
        self._fill(kept)

    def _fill(self, kept: str | None) -> None:
        """Begin with the size used last."""
        key, *own = (kept or USUAL).split()
        self.fields["size"].initial = key if key in SHEETS or key == OWN else USUAL
        for name, value in zip(OWN_FIELDS, own, strict=False):
            self.fields[name].initial = value

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        if self.errors:
            return given
        try:
            self.sheet = _own_sheet(given) if given["size"] == OWN else SHEETS[given["size"]][1]
        except ValueError as error:
            raise ValidationError(DOES_NOT_FIT, code="does_not_fit") from error
        if given["first"] > self.sheet.count:
            self.add_error("first", ValidationError(
                _("A sheet holds %(count)d labels."), code="no_such_place", params={"count": self.sheet.count}
            ))
        return given

    def own_fields(self) -> list[forms.BoundField]:
        """The fields of a size of one's own."""
        return [self[name] for name in OWN_FIELDS]

    def kept(self) -> str:
        """The size as this browser keeps it."""
        given = self.cleaned_data
        return given["size"] if given["size"] != OWN else " ".join([OWN, *(str(given[name] or 0) for name in OWN_FIELDS)])

    @staticmethod
    def sheet_named(kept: str | None) -> LabelSheet:
        """The sheet a browser kept, else the usual one."""
        key, *own = (kept or USUAL).split()
        if key == OWN:
            return _own_sheet(dict(zip(OWN_FIELDS, map(float, own), strict=True)))
        return SHEETS.get(key, SHEETS[USUAL])[1]


DOES_NOT_FIT = _("Those labels do not fit on that sheet: give its width and height, how many labels, and their size, all in mm.")


def _own_sheet(given: dict[str, Any]) -> LabelSheet:
    numbers = {name: int((given[name] or 0) * (1 if name in {"columns", "rows"} else 10)) for name in OWN_FIELDS}
    return LabelSheet(**numbers)
