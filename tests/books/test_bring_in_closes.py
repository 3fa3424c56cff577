"""A closed year among the rows brought in."""

from datetime import date

import pytest

from ledger.books.bringing import NotBroughtIn, bring_in
from ledger.books.models import YearClose
from ledger.facts.models import LedgerState
from tests.books.folders import folder

pytestmark = pytest.mark.django_db
PAID = "worker,on,first_day,last_day,amount\nwren,2025-12-31,2025-07-01,2025-12-31,10.25\n"


def test_a_year_is_closed_after_all_its_rows(db):
    """Rows of its last day stand before the close, those of the next year after it."""
    rates = "worker,on,per_hour\nwren,2025-01-01,10.25\nwren,2026-01-01,11.00\n"
    bring_in(by=None, files=folder(year_closes="on\n2025-12-31\n", pay=PAID, worker_rates=rates))

    assert [close.year for close in YearClose.objects.standing()] == [2025]
    assert LedgerState.objects.get(pk=1).closed_until == date(2025, 12, 31)


def test_a_day_that_ends_no_year_is_a_fault(db):
    """The close's own refusal stands at its line, and nothing is brought in."""
    with pytest.raises(NotBroughtIn) as wrong:
        bring_in(by=None, files=folder(year_closes="on\n2025-12-30\n"))

    assert [(one.file, one.line, one.column) for one in wrong.value.faults] == [("year_closes.csv", 2, "on")]
    assert not YearClose.objects.exists()
