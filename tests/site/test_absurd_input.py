"""Absurd input in every field of every verb's page: refused with a sentence, what was typed kept, never a fault."""

from html import escape
from typing import Any

import pytest
from django import forms
from django.test import Client

from ledger.facts.forms import DayField, MoneyField
from ledger.facts.models import LedgerState, User
from tests.walking import Press, VerbPage, first_that_works, taken_back, verb_pages

pytestmark = pytest.mark.django_db
PAGES = sorted(verb_pages(), key=lambda page: page.name)
STAGES = sorted({page.name.split(":")[0] for page in PAGES})
NUMBERS = ("-1", "1000000000000", "9" * 30, "many", "1e999", "NaN")
BELOW_ZERO = {"temperature_tenths_c", "more"}
DAYS = ("2999-01-01", "1800-01-01", "0001-01-01", "10000-01-01", "2024-02-30", "yesterday")


def is_number(field: forms.Field) -> bool:
    """Whether a number or an amount is typed in it, also where a ruled form reads it later."""
    typed = isinstance(field, forms.IntegerField | forms.DecimalField | MoneyField)
    return typed or field.widget.attrs.get("inputmode") in {"numeric", "decimal"}


def absurdities(form: forms.Form) -> list[tuple[str, str]]:
    """Each field with each absurd thing typed in it; rows of one kind once.

    A price beside no number says nothing, so a lot's own is left out here.
    """
    seen, found = {"fresh"}, []
    for name, field in form.fields.items():
        kind = name.rstrip("0123456789").rstrip("_") if name[-1].isdigit() else name
        if kind in seen or field.widget.is_hidden:
            continue
        seen.add(kind)
        found += [(name, one) for one in NUMBERS if one != "-1" or name not in BELOW_ZERO] if is_number(field) else []
        found += [(name, one) for one in DAYS] if isinstance(field, DayField) else []
    return found


def faults(client: Client, page: VerbPage) -> list[str]:
    """Every absurd thing that was taken, or answered with no sentence, or not kept."""
    with taken_back():
        pressed = first_that_works(client, page)
    assert isinstance(pressed, Press), pressed
    form = client.get(pressed.url).context["form"]
    return [wrong for name, typed in absurdities(form) if (wrong := fault_of(client, pressed, name, typed))]


def fault_of(client: Client, pressed: Press, name: str, typed: Any) -> str:
    """What is wrong with the answer to one absurd thing."""
    with taken_back():
        before = LedgerState.objects.get().token
        answer = client.post(pressed.url, {**pressed.sent, name: typed})
        html, fault = answer.content.decode(), ""
        if answer.status_code != 422 or before != LedgerState.objects.get().token:
            fault = f"{answer.status_code}"
        elif not answer.context["form"].errors:
            fault = "no sentence"
        elif escape(typed) not in html:
            fault = "not kept"
    return f"{name}={typed}: {fault}" if fault else ""


@pytest.mark.parametrize("stage", STAGES)
def test_absurd_numbers_and_days_are_refused_with_a_sentence(plenty, signed_in, stage):
    """Below zero, beyond belief, no number, a day that has not come or never was."""
    client, wrong = signed_in(User.objects.get(role="owner")), {}
    for page in PAGES:
        if page.name.startswith(f"{stage}:"):
            wrong[page.name] = faults(client, page)

    assert {name: said for name, said in wrong.items() if said} == {}
