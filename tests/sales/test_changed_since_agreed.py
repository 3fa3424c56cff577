"""What was quoted otherwise since the customer agreed leaves its trace, and the sum agreed to stands beside the sum now."""

from collections.abc import Callable
from datetime import date

import pytest
from django.test import Client
from django.utils.formats import date_format

from ledger.facts.models import User
from ledger.sales import actions
from ledger.sales.models import Job, JobPiece
from ledger.sales.queries.job_agreed import Agreed
from tests.factories.jobs import AGREED, ASKED_ABOUT, HELD, JobFactory, PieceFactory

As = Callable[[User], Client]
LATER = date(2024, 8, 26)


@pytest.fixture
def piece(owner: User) -> JobPiece:
    """Two bouquets at 45.00, agreed to on 12 August."""
    found = PieceFactory()
    actions.agree_job(by=owner, job=found.job, on=AGREED)
    return found


def change(owner: User, piece: JobPiece, *, on: date = LATER, quantity: int = 2, price: int = 4500, **given: object) -> JobPiece:
    """The piece said anew."""
    said = {"name": piece.name, "quantity": quantity, "price": price, "minutes": piece.minutes, **given}
    return actions.change_piece(by=owner, piece=piece, on=on, **said)  # type: ignore[arg-type]


def says(job: Job) -> list[str]:
    """What is otherwise since it was agreed, in words."""
    return [one.says for one in Agreed(job).since]


def hired(owner: User, job: Job) -> object:
    """Two jars at 1.00 each."""
    jar = actions.add_hire_item(by=owner, name=f"Jar {job.pk}", charge=100, breakage=500, owned=5, on=ASKED_ABOUT)
    return actions.plan_hire(by=owner, job=job, on=LATER, item=jar, quantity=2, first_day=HELD, last_day=HELD)


def test_until_something_is_changed_nothing_is_said(piece: JobPiece) -> None:
    """Agreed to was what is quoted."""
    agreed = Agreed(piece.job)
    assert (agreed.since, agreed.before, agreed.amount) == ([], [], 9000)


def test_more_of_a_piece_is_said_with_both_sums(owner: User, piece: JobPiece, client_as: As) -> None:
    """Two became three: agreed to 90.00, now 135.00; on the day it was changed."""
    change(owner, piece, quantity=3)
    page = client_as(owner).get(piece.job.get_absolute_url()).content.decode()
    assert f"{date_format(LATER)}: changed since it was agreed: 2 x bouquet, now 3 x bouquet" in page
    assert "Agreed to was 90.00, now it is 135.00." in page and '<dd class="number">90.00</dd>' in page
    assert f"Changed since the customer agreed on {date_format(AGREED)}." in page


@pytest.mark.parametrize(("given", "word"), [
    ({"price": 5000}, "2 x bouquet, at another price"), ({"minutes": 90}, "2 x bouquet, its parts, work or note"),
    ({"name": "posy"}, "2 x bouquet, now 2 x posy"),
])
def test_what_is_otherwise_is_named(owner: User, piece: JobPiece, given: dict, word: str) -> None:
    """Its price, what goes into it, its name."""
    change(owner, piece, **given)
    assert says(piece.job) == [f"changed since it was agreed: {word}"]


def test_pieces_and_hires_added_and_left_out(owner: User, piece: JobPiece) -> None:
    """A piece and a hire more, then all left out: each is named, and the sum agreed to stays."""
    added = PieceFactory(job=piece.job, on=LATER, name="arch", quantity=1)
    hire = hired(owner, piece.job)
    assert says(piece.job) == ["added since it was agreed: 1 x arch", f"added since it was agreed: {hire}"]

    actions.undo_plan_hire(by=owner, job_hire=hire)
    for one in (piece, added):
        actions.drop_piece(by=owner, piece=one)
    assert {"left out since it was agreed: 2 x bouquet", f"left out since it was agreed: {hire}"} <= set(says(piece.job))
    assert Agreed(piece.job).amount == 9000


def test_what_was_changed_before_it_was_agreed_is_no_trace_of_that(owner: User) -> None:
    """Three bouquets were agreed to; the two before are struck through as ever."""
    before = PieceFactory()
    change(owner, before, on=ASKED_ABOUT, quantity=3)
    assert [one.pk for one in Agreed(before.job).before] == [before.pk]
    actions.agree_job(by=owner, job=before.job, on=AGREED)
    agreed = Agreed(before.job)
    assert ([one.pk for one in agreed.before], agreed.since, agreed.amount) == ([before.pk], [], 13500)


def test_what_is_entered_late_for_a_day_before_it_was_agreed_was_agreed_to(owner: User, piece: JobPiece) -> None:
    """The piece put right, and another one written down late."""
    change(owner, piece, on=ASKED_ABOUT, quantity=3)
    PieceFactory(job=piece.job, on=ASKED_ABOUT, quantity=1)
    agreed = Agreed(piece.job)
    assert ([one.pk for one in agreed.before], agreed.since, agreed.amount) == ([piece.pk], [], 18000)


def test_agreed_anew_what_stands_then_counts(owner: User, piece: JobPiece) -> None:
    """The agreement undone and entered again after the change: no trace is left to show."""
    change(owner, piece, quantity=3)
    actions.undo_agreement(by=owner, job_agreed=piece.job.agreements.standing().get())
    assert (says(piece.job), Agreed(piece.job).amount) == ([], 0)
    actions.agree_job(by=owner, job=piece.job, on=LATER)
    assert (says(piece.job), Agreed(piece.job).amount) == ([], 13500)


def test_a_hand_sees_that_it_was_changed_and_no_sum(owner: User, hand: User, piece: JobPiece, client_as: As) -> None:
    """The words without the money."""
    change(owner, piece, quantity=3)
    page = client_as(hand).get(piece.job.get_absolute_url()).content.decode()
    assert "2 x bouquet, now 3 x bouquet" in page and "90.00" not in page and "135.00" not in page


def test_it_asks_as_often_for_many_changes(owner: User, django_assert_num_queries: Callable) -> None:
    """Three statements."""
    job = JobFactory()
    pieces = [PieceFactory(job=job) for _again in range(4)]
    actions.agree_job(by=owner, job=job, on=AGREED)
    for one in pieces:
        change(owner, one, quantity=3)
    with django_assert_num_queries(3):
        assert len(says(job)) == 4
