"""The proof of the ledger at the end of every test that wrote."""

from importlib.util import find_spec

import pytest

from ledger.facts.models import Holding


def prove_after(request: pytest.FixtureRequest) -> None:
    """Assert that the ledger proves, unless the test is marked `unproved` or nothing was set up."""
    if request.node.get_closest_marker("unproved") or not Holding.objects.exists():
        return
    if find_spec("ledger.books.queries.proof") is None:
        return
    from ledger.books.queries.proof import prove

    found = prove()
    assert found.ok, "\n".join(str(difference) for difference in found.differences)
