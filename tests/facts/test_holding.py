"""The holding: set up once, its names changed with a history, its tax by date."""

from datetime import date

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from ledger.facts.actions import change_holding, set_tax_status, set_up
from ledger.facts.models import Amendment, Holding, TaxRate, TaxStatus, User
from ledger.facts.queries import rate_on_invoice, tax_comes_back_on, tax_rate_on
from tests.refusals import refused

GIVEN = {
    "name": "Hollow Lane Flowers", "currency": "GBP", "time_zone": "UTC", "year_end_month": 12, "year_end_day": 31,
    "season_first_month": 1, "status": "none", "on": date(2024, 1, 1), "username": "owner", "password": "teasel-and-honesty",
}


def test_a_ledger_is_set_up_once(holding):
    """Once anybody exists the set-up is refused."""
    with refused("already_set_up"):
        set_up(**GIVEN)


@pytest.mark.django_db
@pytest.mark.parametrize(("field", "given"), [("currency", "XXX"), ("time_zone", "Nowhere/Atall")])
def test_unknown_settings_are_refused_and_leave_nothing(field, given):
    """A refused set-up leaves neither holding nor owner."""
    with refused("unknown"):
        set_up(**{**GIVEN, field: given})

    assert not User.objects.exists()
    assert not Holding.objects.exists()


@pytest.mark.django_db
def test_a_registered_holding_starts_with_its_rate():
    """Status and rate hold from the day given, and not the day before."""
    set_up(**{**GIVEN, "status": "registered", "rate_bp": 2000})

    assert tax_rate_on(date(2024, 1, 1)) == 2000
    assert tax_rate_on(date(2023, 12, 31)) == 0
    assert tax_comes_back_on(date(2024, 1, 1))


def test_a_flat_rate_farmer_adds_and_gets_nothing_back(owner):
    """The addition goes on top for registered buyers, is in no price, and tax paid does not come back."""
    set_tax_status(by=owner, on=date(2024, 7, 1), status="flat_rate", addition_bp=780)

    assert rate_on_invoice(date(2024, 7, 1), "GB 1") == 780
    assert rate_on_invoice(date(2024, 7, 1), " ") == tax_rate_on(date(2024, 7, 1)) == 0
    assert not tax_comes_back_on(date(2024, 7, 1))


def test_a_registered_holding_without_a_rate_charges_none(owner):
    """Nothing is assumed where no rate was entered."""
    set_tax_status(by=owner, on=date(2024, 7, 1), status="registered")

    assert tax_rate_on(date(2024, 7, 1)) == 0


def test_a_changed_name_keeps_what_stood_before(owner):
    """Names are no facts; their history is kept."""
    change_holding(by=owner, seen={"name": "Hollow Lane Flowers"}, name="Hollow Lane")

    kept = Amendment.objects.get()
    assert (kept.field, kept.before, kept.after, kept.by) == ("name", "Hollow Lane Flowers", "Hollow Lane", owner)


def test_a_stale_change_is_refused(owner):
    """Who saw an older name does not overwrite the newer."""
    change_holding(by=owner, seen={"name": "Hollow Lane Flowers"}, name="Hollow Lane")

    with refused("stale_form"):
        change_holding(by=owner, seen={"name": "Hollow Lane Flowers"}, name="Deep Lane")

    assert Holding.objects.get().name == "Hollow Lane"


def test_the_page_changes_name_and_method(owner, client_as):
    """The owner changes the names on a page and reads the history under them."""
    client, address = client_as(owner), reverse("facts:change_holding")
    form = client.get(address).context["form"]
    sent = {name: form[name].value() for name in form.fields} | {"name": "Hollow Lane", "address": "Hollow Lane 1\nBrook"}

    page = client.post(address, sent, follow=True).content.decode()

    assert "Hollow Lane 1<br>Brook" in page
    assert "Hollow Lane Flowers" in page
    assert Holding.objects.get().name == "Hollow Lane"


def test_the_pages_enter_and_undo_tax(owner, client_as):
    """A status and a rate are entered by day and undone again."""
    client = client_as(owner)
    for verb, what in (("set_tax_status", {"status": "registered", "number": "X1"}), ("set_tax_rate", {"rate_bp": "20"})):
        client.post(reverse(f"facts:{verb}"), {"form_key": verb, "on": "2024-03-01", **what})
    assert tax_rate_on(date(2024, 3, 1)) == 2000

    status, rate = TaxStatus.objects.get(status="registered"), TaxRate.objects.get()
    client.post(reverse("facts:undo_tax_status", args=[status.pk]), {"form_key": "a"})
    client.post(reverse("facts:undo_tax_rate", args=[rate.pk]), {"form_key": "b"})
    assert not TaxRate.objects.standing().exists()
    assert tax_rate_on(date(2024, 3, 1)) == 0


@pytest.mark.parametrize("page", ["holding", "people", "tax_statuses", "tax_rates", "change_holding", "set_tax_rate"])
def test_the_owner_sees_every_page_of_the_holding(owner, client_as, page):
    """Each page opens."""
    assert client_as(owner).get(reverse(f"facts:{page}")).status_code == 200


def test_a_hand_sees_no_tax(hand, client_as):
    """The hand sees nothing of money, tax included."""
    assert client_as(hand).get(reverse("facts:tax_rates")).status_code == 403
    assert client_as(hand).get(reverse("facts:holding")).status_code == 403


@pytest.mark.unproved
def test_a_day_of_no_month_is_refused(holding):
    """The year ends on a day of the calendar."""
    holding.year_end_day = 32
    with pytest.raises(ValidationError):
        holding.full_clean()
