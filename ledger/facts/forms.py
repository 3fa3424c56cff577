"""The form every verb's page is built on."""

from __future__ import annotations

import uuid
from typing import Any

from django import forms
from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.utils.translation import gettext_lazy as _

from ledger.reckoning.currency import format_minor, minor_digits, parse_minor

from .queries import holding, today


class DayInput(forms.DateInput):
    """The browser's own day picker."""

    input_type = "date"

    def __init__(self, **given: Any) -> None:
        super().__init__(format="%Y-%m-%d", **given)


class DayField(forms.DateField):
    """A business day."""

    widget = DayInput

    def __init__(self, **given: Any) -> None:
        given.setdefault("label", _("Day"))
        super().__init__(**given)


class MoneyField(forms.CharField):
    """An amount in the holding's currency, kept as whole minor units."""

    widget = forms.TextInput(attrs={"inputmode": "decimal", "class": "money", "autocomplete": "off"})

    def __init__(self, *, signed: bool = False, **given: Any) -> None:
        self.signed = signed
        super().__init__(**given)

    def prepare_value(self, value: Any) -> Any:
        return format_minor(value, _digits()) if isinstance(value, int) else value

    def to_python(self, value: Any) -> int | None:  # type: ignore[override]
        text = super().to_python(value)
        if text in self.empty_values:
            return None
        try:
            amount = parse_minor(str(text), _digits())
        except ValueError as error:
            raise ValidationError(_("Write an amount such as 12.50: %(why)s"), code="money", params={"why": error}) from error
        if amount < 0 and not self.signed:
            raise ValidationError(_("An amount cannot be below zero here."), code="negative")
        if abs(amount) > 10**12:
            raise ValidationError(_("That amount is beyond belief; check the decimal point."), code="absurd")
        return amount


class PercentField(forms.DecimalField):
    """A percentage with two decimals, kept as whole hundredths of a per cent."""

    def __init__(self, **given: Any) -> None:
        given.setdefault("min_value", 0)
        given.setdefault("max_value", 100)
        super().__init__(decimal_places=2, **given)

    def prepare_value(self, value: Any) -> Any:
        return f"{value / 100:.2f}" if isinstance(value, int) else value

    def clean(self, value: Any) -> int | None:  # type: ignore[override]
        per_cent = super().clean(value)
        return None if per_cent is None else int(per_cent * 100)


def _digits() -> int:
    return minor_digits(holding().currency)


class VerbForm(forms.Form):
    """A form for one verb: a day, and the key that makes a second press count once.

    What a refusal says is shown on the field at fault; what was typed stays.
    """

    form_key = forms.CharField(widget=forms.HiddenInput, max_length=36)
    on = DayField()
    field_order = ["on"]

    def __init__(self, *args: Any, **given: Any) -> None:
        initial = {"form_key": str(uuid.uuid4()), "on": today(), **(given.pop("initial", None) or {})}
        super().__init__(*args, initial=initial, **given)

    def refuse(self, error: ValidationError) -> None:
        """Show an action's refusal where it belongs."""
        if not hasattr(error, "error_dict"):
            self.add_error(None, error)
            return
        for field, errors in error.error_dict.items():
            known = field if field in self.fields and not self.fields[field].widget.is_hidden else None
            self.add_error(None if field == NON_FIELD_ERRORS else known, ValidationError(errors))

    def given(self) -> dict[str, Any]:
        """The cleaned fields without the form's key."""
        return {name: value for name, value in self.cleaned_data.items() if name != "form_key"}


class NoDayForm(VerbForm):
    """A verb without a business day (a name, a place)."""

    on = None  # type: ignore[assignment]
