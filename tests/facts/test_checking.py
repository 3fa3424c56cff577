"""A row is checked as the long way would check it, with fewer questions asked of the database."""

from datetime import date

import pytest
from django.core.exceptions import ValidationError
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from ledger.facts.checking import save_checked
from ledger.facts.models import CostObject, TaxRate, User

NOW = timezone.now()


def rate(**changed):
    """A tax rate nobody has kept yet."""
    return TaxRate(**{"on": date(2024, 1, 1), "rate_bp": 2000, "recorded_at": NOW, **changed})


def said(check):
    """What is refused: the fields, and the codes of what is wrong with them."""
    with pytest.raises(ValidationError) as raised:
        check()
    return {field: sorted(one.code for one in errors) for field, errors in raised.value.error_dict.items()}


@pytest.mark.parametrize(
    "wrong",
    [
        lambda owner: rate(recorded_by=owner, rate_bp=10_001),
        lambda owner: rate(recorded_by=owner, rate_bp=-1),
        lambda owner: rate(recorded_by=owner, code="far too long a code for it"),
        lambda owner: rate(recorded_by=owner, code="", rate_bp=10_001),
        lambda owner: rate(recorded_by_id=999_999),
        lambda owner: rate(recorded_by=owner, rate_bp=None),
        lambda owner: User(username=owner.username, role="hand", password="x"),
        lambda owner: User(username="somebody", role="king", password="x"),
        lambda owner: CostObject(kind="moon", label="moon"),
    ],
    ids=["constraint", "below zero", "too long", "two at once", "nobody", "nothing", "taken", "no choice", "both"],
)
def test_the_short_way_refuses_what_the_long_way_does(owner, wrong):
    """Every kind of check refuses on the same fields with the same codes, and keeps nothing."""
    short = said(lambda: save_checked(wrong(owner)))

    assert short == said(wrong(owner).full_clean)
    assert (TaxRate.objects.count(), User.objects.count()) == (0, 1)


def test_after_a_refusal_the_verb_can_go_on(owner):
    """What the database refused is taken back alone."""
    said(lambda: save_checked(rate(recorded_by=owner, rate_bp=10_001)))
    save_checked(rate(recorded_by=owner))

    assert TaxRate.objects.get().rate_bp == 2000


def test_a_record_at_hand_is_not_looked_up_again(owner):
    """A sound row costs its insert and the savepoint around it; a key alone is looked up once more."""
    with CaptureQueriesContext(connection) as at_hand:
        save_checked(rate(recorded_by=owner))
    with CaptureQueriesContext(connection) as by_key:
        save_checked(rate(recorded_by_id=owner.pk))

    assert (len(at_hand), len(by_key)) == (3, 4)


def test_a_record_not_kept_yet_is_not_at_hand(owner):
    """A row cannot rest on one that was never kept, whatever its key says."""
    stranger = User(pk=owner.pk + 1, username="stranger")

    assert "recorded_by" in said(lambda: save_checked(rate(recorded_by=stranger)))


def test_a_kept_row_is_changed_not_doubled(owner):
    """A row kept before is checked and updated."""
    kept = rate(recorded_by=owner)
    save_checked(kept)
    kept.rate_bp = 1900
    save_checked(kept)

    assert [one.rate_bp for one in TaxRate.objects.all()] == [1900]
    kept.rate_bp = 10_001
    assert said(lambda: save_checked(kept)) == said(kept.full_clean)
