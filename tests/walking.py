"""Every verb's page of the site, found by walking the resolver, and filled in as a person would."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from django import forms
from django.db import transaction
from django.forms import Form
from django.http import HttpResponse
from django.test import Client
from django.urls import URLPattern, get_resolver, reverse

from ledger.facts.forms import MoneyField
from ledger.facts.pages import Verb
from ledger.growing.models import Lot
from ledger.pricing.models import Way
from ledger.sales.models import HandedOver, Invoice, JobHire, JobHold, Order, OrderLine, PlacesSold, Taken, Workshop
from ledger.stock.models import Hold, HoldChange

OTHER_SUBJECTS = {
    "drying:hang": Lot, "stock:hold_more": Hold, "stock:release": Hold, "stock:fill_again": Hold,
    "sales:promise_more": OrderLine, "sales:cancel": OrderLine, "sales:undo_promise": HoldChange, "sales:pay": Invoice,
    "sales:report": HandedOver, "sales:ask_more": OrderLine, "sales:come_later": OrderLine, "sales:fill": OrderLine,
    "sales:stand_in": OrderLine, "sales:substitute": OrderLine, "sales:set_order_terms": Way, "sales:set_pack_rule": Way,
    "sales:free_from_job": JobHold, "sales:back_from_job": Taken, "sales:send_out": JobHire, "sales:hire_back": JobHire,
    "sales:sell_places": Workshop, "sales:give_places_back": PlacesSold, "sales:invoice_order": Order,
    "sales:give_money_back": Invoice,
}
TYPED = {
    "facts:add_person": {"password": "teasel-and-honesty"}, "facts:change_person": {"is_active": "on"},
    "costing:plan_overheads": {"year": 2026}, "stock:add_line": {"stems": 7, "name": "Posy"}, "growing:cut": {"stems": 20},
    "drying:note_reading": {"humidity_percent": 55}, "drying:hang": {"stems": 1},
    "daybook:note_week": {"on": "2025-06-09"}, "growing:plant": {"area_m2": "0.50"}, "growing:add_bed": {"area_m2": "0.50"},
    "stock:hold_back": {"until": "2036-01-01"}, "sales:sell_as_seconds": {"price": "1.00"},
    "sales:agree_standing_order": {"first_on": "2036-01-01"}, "sales:take_standing_order": {"wanted_on": "2036-01-01"},
    "sales:leave_out": {"wanted_on": "2036-01-01"}, "sales:change_order": {"reference": "Another"},
    "sales:new_job": {"held_on": "2036-01-01"}, "sales:change_job": {"note": "Another"},
    "sales:new_workshop": {"held_on": "2036-01-01"},
    "sales:record_card_payout": {"first_day": "2025-06-09", "last_day": "2025-06-09", "gross": "9.99", "fee": "0.10"},
}
PAIRS = {"content": "bunches", "of_line": "bunches", "material": "quantity"}
ROWS = {"new": "9.99", "n": 1, "asked": 1, "counted": 1, "tick": "on", "from": 10, "made": 1, "sold": 1}


@dataclass(frozen=True)
class VerbPage:
    """A verb's page: its name, its class, whether its address names a record."""

    name: str
    view: type[Verb]
    of_one: bool

    def addresses(self) -> list[str]:
        """Its address for each record it can be about, the latest first."""
        if not self.of_one:
            return [reverse(self.name)]
        model = OTHER_SUBJECTS.get(self.name) or self.view.subject_model
        assert model is not None, f"{self.name}: say in OTHER_SUBJECTS what it is about"
        return [reverse(self.name, args=[pk]) for pk in model._base_manager.order_by("-pk").values_list("pk", flat=True)]


def verb_pages(patterns: Any = None, stage: str = "") -> Iterator[VerbPage]:
    """Every page of a verb."""
    for pattern in get_resolver().url_patterns if patterns is None else patterns:
        if not isinstance(pattern, URLPattern):
            yield from verb_pages(pattern.url_patterns, f"{pattern.app_name}:" if pattern.app_name else "")
        elif issubclass(getattr(pattern.callback, "view_class", object), Verb):
            yield VerbPage(f"{stage}{pattern.name}", pattern.callback.view_class, "<int:pk>" in str(pattern.pattern))


def filled(form: Form, page: VerbPage) -> dict[str, Any]:
    """What a form already says, with something sensible wherever it must say more."""
    said = {name: form[name].value() for name in form.fields}
    sent = {name: value for name, value in said.items() if value not in (None, "", [], False)}
    for name, field in form.fields.items():
        if name not in sent and field.required:
            sent[name] = something(field)
    return {**sent, **in_rows(form), **TYPED.get(page.name, {})}


def something(field: forms.Field) -> Any:
    """A value a field takes."""
    if isinstance(field, forms.ModelMultipleChoiceField):
        return [field.queryset.first().pk]
    if isinstance(field, forms.ModelChoiceField):
        return next((one.pk for one in field.queryset[:1]), "")
    if isinstance(field, forms.ChoiceField):
        return next(value for value, _label in field.choices if value)
    if isinstance(field, forms.BooleanField):
        return "on"
    return "1" if isinstance(field, forms.IntegerField | MoneyField) else "Something"


def in_rows(form: Form) -> dict[str, Any]:
    """The first row of a form made of rows, filled in; a purchase's first line, a run's first output."""
    rows: dict[str, Any] = {}
    for start, value in ROWS.items():
        first = next((name for name in form.fields if name.startswith(f"{start}_") and name.split("_")[1].isdigit()), None)
        rows.update({first: value} if first else {})
    if "line_1" in form.fields:
        rows["line_1"] = something(form.fields["line_1"])
    for which, number in PAIRS.items():
        if f"{which}_1" in form.fields and not rows.get(f"{number}_1"):
            rows.update({f"{which}_1": something(form.fields[f"{which}_1"]), f"{number}_1": 1})
    if "minutes_0_0" in form.fields:
        rows.update({"minutes_0_0": "60", "task_0": "cutting", "spent_on_0": something(form.fields["spent_on_0"])})
    if "done" in form.fields:
        rows["spent_on"] = something(form.fields["spent_on"])
    if "net_0" in form.fields:
        names = ("description", "kind", "spent_on")
        rows.update({"net_0": "1", **{f"{name}_0": something(form.fields[f"{name}_0"]) for name in names}})
    return rows


@contextmanager
def taken_back() -> Iterator[None]:
    """What is written inside is taken out of the ledger again."""
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


@dataclass(frozen=True)
class Press:
    """One press of a verb's button: where, with what, and the answer."""

    url: str
    sent: dict[str, Any]
    answer: HttpResponse


def first_that_works(client: Client, page: VerbPage) -> Press | str:
    """Press the button of the first of its addresses where that is not refused; else what the last said.

    A page that first shows what it would do is pressed again, having been seen.
    """
    said = "nothing to do it to"
    for url in page.addresses():
        shown = client.get(url)
        if shown.status_code != 200:
            continue
        sent = filled(shown.context["form"], page)
        sid = transaction.savepoint()
        answer = client.post(url, sent)
        if answer.status_code == 422 and answer.context and answer.context.get("seen"):
            sent["seen"] = answer.context["seen"]
            answer = client.post(url, sent)
        if answer.status_code == 302:
            return Press(url, sent, answer)
        transaction.savepoint_rollback(sid)
        said = f"{answer.status_code} {answer.context['form'].errors.as_json() if answer.context else ''}"
    return said
