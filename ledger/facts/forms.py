"""The form every verb's page is built on."""

from __future__ import annotations

import uuid
from datetime import date
from typing import Any
from zoneinfo import available_timezones

from django import forms
from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.core.validators import RegexValidator
from django.utils.dates import MONTHS
from django.utils.translation import gettext_lazy as _

from ledger.reckoning.currency import ACTIVE, format_minor, minor_digits, parse_minor

from .models import STOCK_METHODS, TaxStatus, User
from .queries import holding, today
from .writing import EARLIEST_DAY

YEARS_AHEAD = 10
FORM_KEY = r"^[0-9A-Za-z_-]{1,36}\Z"
NOT_A_KEY = _("its key is not one that a form of this ledger carries")
TAX_CAUTION = _("Rules differ from country to country and change. A qualified accountant decides.")
GONE = _("What was chosen is no longer there to be chosen: it was undone or used up since this form was opened. Choose again.")
ROLES_EXPLAINED = _(
    "Owner: everything. Hand: field, loft and boxes, no money. Seller: prices, orders, stall, no costs. "
    "Bookkeeper: money, no entries from the field."
)


class DayInput(forms.DateInput):
    """The browser's own day picker."""

    input_type = "date"

    def __init__(self, **given: Any) -> None:
        super().__init__(format="%Y-%m-%d", **given)


class DayField(forms.DateField):
    """A business day, or one not absurdly far ahead."""

    widget = DayInput

    def __init__(self, **given: Any) -> None:
        given.setdefault("label", _("Day"))
        super().__init__(**given)

    def validate(self, value: date | None) -> None:
        super().validate(value)
        if value is not None and value < EARLIEST_DAY:
            raise ValidationError(_("That is too long ago; check the year."), code="too_long_ago")
        if value is not None and value.year > today().year + YEARS_AHEAD:
            raise ValidationError(_("That lies too far ahead; check the year."), code="too_far")


class NewPassword(forms.PasswordInput):
    """A password the browser must not fill in."""

    def __init__(self, **given: Any) -> None:
        super().__init__(**{"attrs": {"autocomplete": "new-password"}, **given})


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


def place_refusal(form: forms.Form, error: ValidationError) -> None:
    """Put what a refusal says on the field at fault, else on the whole form."""
    if not hasattr(error, "error_dict"):
        form.add_error(None, error)
        return
    for field, errors in error.error_dict.items():
        known = field if field in form.fields and not form.fields[field].widget.is_hidden else None
        form.add_error(None if field == NON_FIELD_ERRORS else known, ValidationError(errors))


class VerbForm(forms.Form):
    """A form for one verb: a day, and the key that makes a second press count once.

    What a refusal says is shown on the field at fault; what was typed stays. Without signal it waits on the device, unless
    `waits` says that it cannot; a device that keeps it makes the next key itself.
    """

    waits = True
    form_key = forms.CharField(
        widget=forms.HiddenInput, max_length=36, validators=[RegexValidator(FORM_KEY, NOT_A_KEY, "form_key")],
    )
    on = DayField()
    field_order = ["on"]

    def __init__(self, *args: Any, **given: Any) -> None:
        initial = {"form_key": str(uuid.uuid4()), "on": today(), **(given.pop("initial", None) or {})}
        super().__init__(*args, initial=initial, **given)

    def full_clean(self) -> None:
        """Say of a choice that is gone why it may be."""
        for field in self.fields.values():
            if isinstance(field, forms.ModelChoiceField):
                field.error_messages["invalid_choice"] = GONE
        super().full_clean()

    def refuse(self, error: ValidationError) -> None:
        """Show an action's refusal where it belongs."""
        place_refusal(self, error)

    def given(self) -> dict[str, Any]:
        """The cleaned fields without the form's key."""
        return {name: value for name, value in self.cleaned_data.items() if name != "form_key"}


class NoDayForm(VerbForm):
    """A verb without a business day (a name, a place)."""

    on = None  # type: ignore[assignment]


def _last_new_year() -> date:
    return today().replace(year=today().year - 1, month=1, day=1)


class SetUpForm(forms.Form):
    """The holding and its owner, once."""

    name = forms.CharField(label=_("Name of the holding"), max_length=120)
    address = forms.CharField(
        label=_("Address"), required=False, widget=forms.Textarea(attrs={"rows": 3}), help_text=_("As it stands on invoices."),
    )
    currency = forms.ChoiceField(
        label=_("Currency"), choices=[(code, code) for code in sorted(ACTIVE)], initial="GBP",
        help_text=_("One currency for the whole ledger. It cannot be changed later."),
    )
    time_zone = forms.ChoiceField(
        label=_("Time zone"), choices=[(name, name) for name in sorted(available_timezones())], initial="UTC",
        help_text=_("Decides when a day ends."),
    )
    year_end_month = forms.TypedChoiceField(
        label=_("The books' year ends in"), coerce=int, initial=12, choices=list(MONTHS.items())
    )
    year_end_day = forms.IntegerField(label=_("on day"), min_value=1, max_value=31, initial=31)
    season_first_month = forms.TypedChoiceField(
        label=_("A season begins in"), coerce=int, initial=1, choices=list(MONTHS.items()),
        help_text=_("A season takes its name from the year in which this month falls."),
    )
    status = forms.ChoiceField(label=_("Tax status"), choices=TaxStatus.Status.choices, help_text=TAX_CAUTION)
    rate_bp = PercentField(label=_("Tax rate in per cent, where registered"), required=False, initial="0.00")
    on = DayField(
        label=_("That tax status holds from"), initial=_last_new_year,
        help_text=_("A day before the first entry you mean to make."),
    )
    username = forms.CharField(label=_("Your name to sign in with"), max_length=150)
    password = forms.CharField(label=_("Your password"), widget=NewPassword, help_text=_("At least ten characters."))

    def refuse(self, error: ValidationError) -> None:
        """Show a refusal on the field at fault."""
        place_refusal(self, error)

    def given(self) -> dict[str, Any]:
        """What was typed, a rate left empty as nil."""
        return {**self.cleaned_data, "rate_bp": self.cleaned_data["rate_bp"] or 0}


class HoldingForm(NoDayForm):
    """The holding's names and its method of valuing stock."""

    waits = False
    name = forms.CharField(label=_("Name of the holding"), max_length=120)
    address = forms.CharField(label=_("Address"), required=False, widget=forms.Textarea(attrs={"rows": 3}))
    stock_method = forms.ChoiceField(label=_("Stock method of the accounts"), choices=STOCK_METHODS)
    seen_name = forms.CharField(widget=forms.HiddenInput, required=False, strip=False)
    seen_address = forms.CharField(widget=forms.HiddenInput, required=False, strip=False)
    seen_stock_method = forms.CharField(widget=forms.HiddenInput, required=False)


class PersonForm(NoDayForm):
    """Somebody else who signs in."""

    waits = False
    username = forms.CharField(label=_("Name to sign in with"), max_length=150)
    role = forms.ChoiceField(label=_("Role"), choices=User.Role.choices, initial=User.Role.HAND, help_text=ROLES_EXPLAINED)
    password = forms.CharField(label=_("First password"), widget=NewPassword, help_text=_("At least ten characters."))


class ChangePersonForm(NoDayForm):
    """What a person may do, and a new password for one forgotten."""

    waits = False
    role = forms.ChoiceField(label=_("Role"), choices=User.Role.choices, help_text=ROLES_EXPLAINED)
    is_active = forms.BooleanField(label=_("May sign in"), required=False)
    password = forms.CharField(
        label=_("New password"), widget=NewPassword, required=False, help_text=_("Leave it empty to keep the old one."),
    )


class TaxStatusForm(VerbForm):
    """What the seller is towards sales tax from a day on."""

    waits = False
    status = forms.ChoiceField(label=_("Tax status"), choices=TaxStatus.Status.choices, help_text=TAX_CAUTION)
    number = forms.CharField(label=_("Registration number"), max_length=30, required=False)
    addition_bp = PercentField(label=_("Flat-rate farmer's addition in per cent"), required=False, initial="0.00")
    field_order = ["on", "status", "number", "addition_bp"]

    def given(self) -> dict[str, Any]:
        return {**super().given(), "addition_bp": self.cleaned_data["addition_bp"] or 0}


class TaxRateForm(VerbForm):
    """A tax rate from a day on."""

    waits = False
    rate_bp = PercentField(label=_("Rate in per cent"), help_text=TAX_CAUTION)
