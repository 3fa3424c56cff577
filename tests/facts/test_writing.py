"""One verb: one transaction, one press, one day check, one fresh token."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from ledger.facts.actions import set_tax_rate, set_tax_status, undo_tax_rate
from ledger.facts.models import FormKey, LedgerState, TaxRate
from ledger.facts.queries import tax_rate_on
from ledger.facts.writing import close_days, keep, touch
from tests.refusals import refused

NEW_YEAR = date(2024, 1, 1)


def token():
    """The ledger's token now."""
    return LedgerState.objects.get(pk=1).token


def close_until(on):
    """Close the days up to `on` without a year's closing."""
    LedgerState.objects.update(closed_until=on)


def test_the_second_press_returns_the_first_result(owner):
    """However often a button is pressed, it counts once."""
    first = set_tax_rate(by=owner, on=NEW_YEAR, rate_bp=2000, key="one-form")
    again = set_tax_rate(by=owner, on=NEW_YEAR, rate_bp=2000, key="one-form")

    assert again == first
    assert TaxRate.objects.count() == 1


def test_a_refused_press_leaves_the_key_free(owner):
    """After a refusal the same form can be sent again, corrected."""
    with pytest.raises(ValidationError):
        set_tax_rate(by=owner, on=NEW_YEAR, rate_bp=10_001, key="one-form")

    assert not FormKey.objects.exists()
    assert set_tax_rate(by=owner, on=NEW_YEAR, rate_bp=2000, key="one-form").rate_bp == 2000


def test_a_key_does_not_serve_another_verb(owner):
    """A form's key belongs to the verb it was first pressed for."""
    set_tax_rate(by=owner, on=NEW_YEAR, rate_bp=2000, key="one-form")

    with refused("stale_form"):
        set_tax_status(by=owner, on=NEW_YEAR, status="registered", key="one-form")


def test_a_key_does_not_serve_another_person(owner):
    """A form's key belongs to the person who pressed it first."""
    from ledger.facts.actions import add_person

    other = add_person(by=owner, username="second", password="teasel-and-honesty", role="owner")
    set_tax_rate(by=owner, on=NEW_YEAR, rate_bp=2000, key="one-form")

    with refused("stale_form"):
        set_tax_rate(by=other, on=NEW_YEAR, rate_bp=2000, key="one-form")


@pytest.mark.unproved
def test_a_closed_day_is_refused_and_the_next_is_not(owner):
    """Days are closed up to and including the last closed one."""
    close_until(date(2024, 12, 31))

    with refused("closed"):
        set_tax_rate(by=owner, on=date(2024, 12, 31), rate_bp=2000)

    assert set_tax_rate(by=owner, on=date(2025, 1, 1), rate_bp=2000).on == date(2025, 1, 1)
    assert TaxRate.objects.count() == 1


@pytest.mark.unproved
def test_a_fact_of_a_closed_day_cannot_be_undone(owner):
    """Undoing changes its day as much as entering does."""
    rate = set_tax_rate(by=owner, on=NEW_YEAR, rate_bp=2000)
    close_until(date(2024, 12, 31))

    with refused("closed"):
        undo_tax_rate(by=owner, tax_rate=rate)

    rate.refresh_from_db()
    assert rate.stands


def test_each_write_leaves_a_fresh_token(owner):
    """Whoever read the ledger before a write can tell."""
    before = token()
    set_tax_rate(by=owner, on=NEW_YEAR, rate_bp=2000)

    assert token() != before


def test_a_refusal_leaves_the_token(owner):
    """What was refused has changed nothing."""
    before = token()
    with refused("not_yet"):
        set_tax_rate(by=owner, on=date(2999, 1, 1), rate_bp=2000)

    assert token() == before


@pytest.mark.parametrize(("on", "code"), [(date(2999, 1, 1), "not_yet"), (date(1989, 12, 31), "too_long_ago")])
def test_absurd_days_are_refused(owner, on, code):
    """Nothing happened tomorrow, nor before anybody kept a ledger like this."""
    with refused(code):
        set_tax_rate(by=owner, on=on, rate_bp=2000)


def test_an_undone_fact_stays_and_no_longer_counts(owner):
    """Undoing marks the row with who and when; the figure before it stands again."""
    set_tax_status(by=owner, on=NEW_YEAR, status="registered")
    set_tax_rate(by=owner, on=NEW_YEAR, rate_bp=1000)
    later = set_tax_rate(by=owner, on=date(2024, 6, 1), rate_bp=2000)
    undo_tax_rate(by=owner, tax_rate=later)

    later.refresh_from_db()
    assert (later.undone_by, later.stands) == (owner, False)
    assert tax_rate_on(date(2024, 6, 1)) == 1000


def test_a_fact_is_undone_once(owner):
    """The second undoing of a fact is refused."""
    rate = set_tax_rate(by=owner, on=NEW_YEAR, rate_bp=2000)
    undo_tax_rate(by=owner, tax_rate=rate)

    with refused("already_undone"):
        undo_tax_rate(by=owner, tax_rate=rate)


def test_what_was_known_at_a_moment_can_be_asked(owner):
    """An undone fact still shows to whoever asks as of before its undoing."""
    rate = set_tax_rate(by=owner, on=NEW_YEAR, rate_bp=2000)
    undone = undo_tax_rate(by=owner, tax_rate=rate)

    assert list(TaxRate.objects.as_of(NEW_YEAR, rate.recorded_at)) == [rate]
    assert list(TaxRate.objects.as_of(NEW_YEAR, undone.undone_at)) == []


@pytest.mark.django_db
@pytest.mark.parametrize("who", ["hand", "seller", "bookkeeper"])
def test_only_the_owner_sets_tax(request, who):
    """A verb is refused to a role that lacks its capability."""
    person = request.getfixturevalue(who)

    with pytest.raises(PermissionDenied):
        set_tax_rate(by=person, on=NEW_YEAR, rate_bp=2000)


def test_one_who_left_may_do_nothing(owner, hand):
    """A person who may no longer sign in may no longer write."""
    owner.is_active = False

    with pytest.raises(PermissionDenied):
        set_tax_rate(by=owner, on=NEW_YEAR, rate_bp=2000)


def test_nothing_is_written_outside_a_verb(holding):
    """There is no other door to the ledger."""
    with pytest.raises(RuntimeError):
        keep(holding)
    with pytest.raises(RuntimeError):
        touch(NEW_YEAR)
    with pytest.raises(RuntimeError):
        close_days(NEW_YEAR)
