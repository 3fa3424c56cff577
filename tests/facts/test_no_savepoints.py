"""A verb is written without savepoints; only where the database refuses a row is it done again with them."""

from datetime import date

import pytest
from django.core.exceptions import ValidationError
from django.db import connection
from django.test.utils import CaptureQueriesContext

from ledger.facts.models import FormKey, LedgerState, TaxRate
from ledger.facts.writing import action, record


def rate(rate_bp):
    """A tax rate nobody has kept yet; no more than all can be taken."""
    return TaxRate(on=date(2024, 1, 1), rate_bp=rate_bp)


@action("settings")
def set_rates(*, by, rates):
    """Keep several rates, all or none."""
    return [record(rate(one), by=by) for one in rates]


@action("settings")
def set_what_can_be(*, by, rates, begun=None):
    """Keep those rates that are none too high; `begun` gets a mark each time this is done."""
    kept = []
    (begun if begun is not None else []).append(True)
    for one in rates:
        try:
            kept.append(record(rate(one), by=by))
        except ValidationError:
            continue
    return kept


@action("settings", goes_on=True)
def set_one_by_one(*, by, rates, begun=None):
    """As above, and guarded from the first."""
    return set_what_can_be(by=by, rates=rates, begun=begun)


def savepoints(work):
    """How many savepoints a verb makes besides the test's own around it."""
    with CaptureQueriesContext(connection) as sent:
        work()
    return sum(one["sql"].startswith("SAVEPOINT") for one in sent) - 1


def test_rows_that_will_do_need_no_savepoint(owner):
    """Neither they nor the form's key."""
    assert savepoints(lambda: set_rates(by=owner, key="a-form", rates=[2000, 500])) == 0
    assert [one.rate_bp for one in TaxRate.objects.order_by("pk")] == [2000, 500]


def test_a_row_the_database_refuses_is_refused_in_words(owner):
    """Nothing is left of the first try or the second, and the form's key is free."""
    token = LedgerState.objects.get().token
    with pytest.raises(ValidationError) as refused:
        set_rates(by=owner, key="a-form", rates=[2000, 10_001])

    assert list(refused.value.error_dict) == ["__all__"]
    assert (TaxRate.objects.count(), FormKey.objects.count(), LedgerState.objects.get().token) == (0, 0, token)


@pytest.mark.parametrize(("verb", "times"), [(set_what_can_be, 2), (set_one_by_one, 1)], ids=["again", "guarded"])
def test_a_verb_that_goes_on_after_a_refusal_keeps_the_rest(owner, verb, times):
    """Once each: what the first try kept is not kept again, and there is no first try where every row is guarded."""
    begun = []
    verb(by=owner, rates=[2000, 10_001, 500], begun=begun)

    assert [one.rate_bp for one in TaxRate.objects.order_by("pk")] == [2000, 500]
    assert len(begun) == times


def test_the_second_press_gives_the_first_result(owner):
    """Also where the key is found only by the database."""
    first = set_rates(by=owner, key="a-form", rates=[2000])

    assert set_rates(by=owner, key="a-form", rates=[500]) == first
    assert TaxRate.objects.count() == 1
