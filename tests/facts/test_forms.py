"""What people type: amounts, percentages, days."""

from datetime import date

import pytest
from django import forms
from django.core.exceptions import ValidationError

from ledger.facts.forms import MoneyField, NoDayForm, PercentField, TaxRateForm
from ledger.facts.models import User
from ledger.facts.writing import refusal
from tests.refusals import codes_of


@pytest.mark.parametrize(("typed", "minor"), [("12.50", 1250), ("12,50", 1250), ("7", 700), ("0", 0), ("", None)])
def test_an_amount_becomes_whole_minor_units(holding, typed, minor):
    """A dot or a comma, no float on the way."""
    assert MoneyField(required=False).clean(typed) == minor


@pytest.mark.parametrize(("typed", "code"), [("-1", "negative"), ("12.505", "money"), ("ten", "money"), ("9" * 14, "absurd")])
def test_absurd_amounts_are_refused(holding, typed, code):
    """Below zero, too fine, no number, beyond belief."""
    with pytest.raises(ValidationError) as caught:
        MoneyField().clean(typed)

    assert codes_of(caught.value) == [code]


def test_an_amount_that_may_be_below_zero(holding):
    """A field that says so takes a minus."""
    assert MoneyField(signed=True).clean("-1.20") == -120


def test_an_amount_is_shown_as_it_is_typed(holding):
    """1250 minor units read 12.50."""
    assert MoneyField().prepare_value(1250) == "12.50"
    assert MoneyField().prepare_value("12.5x") == "12.5x"


def test_a_percentage_becomes_hundredths_of_a_per_cent():
    """Two decimals, exactly."""
    assert PercentField().clean("5.25") == 525
    assert PercentField(required=False).clean("") is None
    assert PercentField().prepare_value(525) == "5.25"


def test_a_refusal_on_an_unknown_field_goes_to_the_whole_form(holding):
    """No refusal is lost because the form lacks its field."""
    form = TaxRateForm({"form_key": "k", "on": "2024-01-01", "rate_bp": "20"})
    assert form.is_valid()
    form.refuse(ValidationError({"elsewhere": ValidationError("So it is.", code="so")}))

    assert form.non_field_errors() == ["So it is."]


class _Choosing(NoDayForm):
    """Asks for somebody where nobody is left."""

    person = forms.ModelChoiceField(queryset=User.objects.none())


def test_a_choice_that_is_gone_says_why_it_may_be(holding):
    """Undone or used up since the form was opened, rather than a word about available choices."""
    form = _Choosing({"form_key": "k", "person": "1"})

    assert "undone or used up since this form was opened" in form.errors["person"][0]


def test_a_refusal_writes_its_day_as_pages_do():
    """1 Jun 2025, not 2025-06-01."""
    assert refusal(None, "Only on %(on)s.", code="x", on=date(2025, 6, 1)).messages == ["Only on 1\xa0Jun\xa02025."]


def codes_of_key(key):
    """What is wrong with a form of that key."""
    return [error.code for error in NoDayForm({"form_key": key}).errors.as_data().get("form_key", [])]


@pytest.mark.parametrize("key", ["0f8fad5b-d9cb-469f-a165-70867728950e", "0123456789abcdef0123456789abcdef", "a", "Z_9-" * 9])
def test_a_form_carries_the_key_of_its_page_or_of_the_device(holding, key):
    """Letters, digits and dashes, up to 36 of them."""
    assert codes_of_key(key) == []


@pytest.mark.parametrize("key", ["two words", "<b>", "\u0661", "a/b", "a\nb", "k\u00e9y"])
def test_anything_else_is_no_key(holding, key):
    """What a device or a stranger made up otherwise is refused by its code."""
    assert codes_of_key(key) == ["form_key"]


def test_no_form_comes_without_a_key(holding):
    """Without one a second press could not be told from a second entry."""
    assert codes_of_key("") == ["required"]


def test_a_key_is_no_longer_than_the_ledger_keeps(holding):
    """37 characters are one too many."""
    assert "max_length" in codes_of_key("a" * 37)
