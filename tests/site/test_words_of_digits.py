"""Words looked for may be digits, however many; a record's number may not be beyond any record's."""

import pytest
from django.urls import reverse

DIGITS = "12345678901234567890"


@pytest.mark.parametrize("page", ["stock:boxes", "sales:customers", "stock:movements"])
def test_twenty_digits_looked_for_are_no_missing_page(owner, client_as, page):
    """Nothing is called so; the list says it is empty."""
    assert client_as(owner).get(reverse(page), {"q": DIGITS}).status_code == 200


def test_a_records_number_beyond_any_is_not_found(owner, client_as):
    """In another parameter, and in the address itself."""
    client = client_as(owner)

    assert client.get(reverse("stock:movements"), {"batch": DIGITS}).status_code == 404
    assert client.get(f"/stock/boxes/{DIGITS}/").status_code == 404
