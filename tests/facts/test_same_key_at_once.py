"""The same form sent twice at the same moment."""

import threading
from datetime import date

import pytest
from django.db import connection

from ledger.facts.actions import set_tax_rate
from ledger.facts.models import TaxRate


@pytest.mark.postgres
@pytest.mark.django_db(transaction=True, serialized_rollback=True)
def test_two_at_once_with_one_key_count_once(owner):
    """Two presses in the same instant make one fact, and both are told of it."""
    together, made = threading.Barrier(2), []

    def press():
        try:
            together.wait()
            made.append(set_tax_rate(by=owner, on=date(2024, 1, 1), rate_bp=2000, key="one-form").pk)
        finally:
            connection.close()

    presses = [threading.Thread(target=press) for _ in range(2)]
    for one in presses:
        one.start()
    for one in presses:
        one.join()

    assert len(made) == 2 and len(set(made)) == 1
    assert TaxRate.objects.count() == 1
