"""The people of the holding."""

from ledger.facts.models import User


def test_each_role_has_its_person(owner, hand, seller, bookkeeper):
    """Four people, four roles."""
    assert User.objects.count() == 4
    assert not hand.may("see_costs")
