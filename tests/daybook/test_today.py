"""What the daybook has to say at the year's end of materials used up by count."""

from datetime import date

import pytest
from django.urls import reverse

from ledger.books.actions import close_year
from ledger.daybook.actions import add_material, count_material, record_purchase, undo_material_count, use_material
from ledger.daybook.today import notes
from ledger.facts.models import Holding
from tests.factories.daybook import bought, the_holding
from tests.filling import read

MARCH, DECEMBER_31, JANUARY_5 = date(2024, 3, 1), date(2024, 12, 31), date(2025, 1, 5)
SAYS = "To be counted for the year's end on 31\xa0Dec\xa02024: Rubber bands"


def buy(owner, material, quantity=500, on=MARCH):
    """A bill of 10.00 for so many."""
    line = bought("bands", spent_on=[(material.cost_object, 1)], quantity=quantity, tax=0)
    record_purchase(by=owner, on=on, supplier="Merchant", lines=[line])


@pytest.fixture
def bands(owner):
    """Five hundred rubber bands bought in March, too small to note each use."""
    material = add_material(by=owner, name="Rubber bands", unit="pieces", by_count=True)
    buy(owner, material)
    return material


@pytest.mark.parametrize(("on", "said"), [
    (date(2024, 11, 30), 0), (date(2024, 12, 1), 1), (DECEMBER_31, 1), (date(2025, 3, 1), 1), (date(2025, 3, 2), 0),
])
def test_it_is_asked_for_from_a_month_before_to_two_months_after(hand, bands, on, said):
    """Thirty days before the last day of the year, sixty days after it, and not a day more."""
    assert [str(says) for says, _ in notes(hand, on)] == [SAYS] * said


def test_it_leads_to_the_count(hand, client_as, bands):
    """Before the end as of today; afterwards the form already says the year's last day."""
    (_, before), (_, after) = *notes(hand, DECEMBER_31), *notes(hand, JANUARY_5)

    assert before == f"{reverse('daybook:count_material')}?material={bands.pk}"
    assert after == f"{before}&on=2024-12-31"
    assert 'value="2024-12-31"' in read(client_as(hand), after)


@pytest.mark.parametrize(("on", "still"), [
    (date(2024, 11, 30), True), (date(2024, 12, 1), False), (DECEMBER_31, False), (date(2025, 1, 1), True),
])
def test_a_count_within_the_last_month_of_the_year_answers_it(hand, bands, on, still):
    """One before that is no count of the year's end, and one after it is next year's."""
    counted = count_material(by=hand, material=bands, on=on, counted=120)
    assert bool(list(notes(hand, JANUARY_5))) is still

    undo_material_count(by=hand, count=counted)
    assert [str(says) for says, _ in notes(hand, JANUARY_5)] == [SAYS]


def test_what_is_noted_when_used_or_was_never_there_is_not_asked_for(owner, bands):
    """Wire is noted as it is used, labels came only in the new year, of clips all were noted as used."""
    buy(owner, add_material(by=owner, name="Wire", unit="cm"))
    buy(owner, add_material(by=owner, name="Labels", unit="pieces", by_count=True), on=JANUARY_5)
    clips = add_material(by=owner, name="Clips", unit="pieces", by_count=True)
    buy(owner, clips, 5)
    use_material(by=owner, material=clips, on=MARCH, quantity=5, spent_on=the_holding()[0][0])

    assert [str(says) for says, _ in notes(owner, JANUARY_5)] == [SAYS]


def test_a_closed_year_is_not_asked_for(owner, bands):
    """Nothing can be entered on its last day any more."""
    close_year(by=owner, on=DECEMBER_31)

    assert list(notes(owner, JANUARY_5)) == []


def test_the_year_is_the_holdings_own(owner, bands):
    """A year that ends on 5 April asks in March and in May, not at Christmas."""
    Holding.objects.update(year_end_month=4, year_end_day=5)

    assert list(notes(owner, DECEMBER_31)) == []
    assert [str(says) for says, _ in notes(owner, date(2025, 3, 20))] == [SAYS.replace("31\xa0Dec\xa02024", "5\xa0Apr\xa02025")]


def test_a_seller_is_not_asked(seller, bands):
    """Counting is for those whose role allows work."""
    assert list(notes(seller, JANUARY_5)) == []
