"""Pieces of a job: quoted, quoted anew, dropped."""

from datetime import date
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied

from ledger.facts.models import User
from ledger.sales.actions import Part, add_piece, cancel_job, change_piece, drop_piece, undo_job_done
from ledger.sales.models import Job, JobPiece
from tests.factories.drying import VarietyFactory
from tests.factories.jobs import AGREED, ASKED_ABOUT, HELD, JobFactory, PieceFactory, job_done
from tests.factories.made_up import MaterialFactory
from tests.factories.stock import LineFactory
from tests.refusals import refused


def quoted(job: Job) -> int:
    """What is quoted in all."""
    return Job.objects.with_standing().get(pk=job.pk).quoted


def parts_of(piece: JobPiece) -> list[tuple[str, int, int]]:
    """What a piece is made of: what, how much in one, the net cost typed."""
    return [(str(part), part.quantity, part.cost) for part in piece.parts.all()]


def test_a_piece_is_made_of_anything(owner: User) -> None:
    """Dried stems, fresh ones, a material, and what is bought in at its price."""
    line, variety, material = LineFactory(), VarietyFactory(), MaterialFactory()
    piece = PieceFactory(parts=[
        Part(25, line=line), Part(12, variety=variety), Part(1, material=material), Part(2, bought="candle", cost=180),
    ])
    assert parts_of(piece) == [(str(line), 25, 0), (str(variety), 12, 0), (str(material), 1, 0), ("candle", 2, 180)]
    assert (piece.amount, quoted(piece.job)) == (9000, 9000)


def test_a_piece_without_parts_is_a_service(owner: User) -> None:
    """Delivery: a price, minutes, nothing taken; free of charge where said."""
    job = JobFactory()
    PieceFactory(job=job, name="delivery", quantity=1, price=2500, minutes=90)
    PieceFactory(job=job, name="setting up", quantity=1, price=0)
    assert quoted(job) == 2500


@pytest.mark.parametrize(
    ("code", "given"),
    [
        ("min_value", {"quantity": 0}), ("max_value", {"quantity": 10_001}), ("min_value", {"price": -1}),
        ("min_value", {"minutes": -1}), ("max_value", {"minutes": 14_401}), ("blank", {"name": "  "}),
        ("too_early", {"on": date(2024, 8, 4)}), ("min_value", {"parts": [Part(0, bought="candle")]}),
        ("one_thing", {"parts": [Part(1)]}), ("one_thing", {"parts": [Part(1, bought=" ")]}),
    ],
)
def test_what_no_piece_can_be_is_refused(owner: User, code: str, given: dict) -> None:
    """And nothing of it is kept."""
    job = JobFactory()
    with refused(code):
        PieceFactory(job=job, **given)
    assert not JobPiece.objects.exists()


def test_a_part_named_twice_is_refused(owner: User) -> None:
    """Twelve and twelve of a line were meant as twenty-four, or as another; two things bought in may be called alike."""
    line = LineFactory()
    with refused("twice"):
        PieceFactory(parts=[Part(12, line=line), Part(12, line=line)])
    assert PieceFactory(parts=[Part(1, bought="vase", cost=100), Part(1, bought="vase", cost=200)])


def test_only_what_is_bought_in_has_its_cost_typed(owner: User) -> None:
    """The ledger knows what the rest costs."""
    with refused("cost_known"):
        PieceFactory(parts=[Part(1, line=LineFactory(), cost=5)])
    with refused("one_thing"):
        PieceFactory(parts=[Part(1, line=LineFactory(), bought="vase")])


def test_a_piece_changed_stands_in_the_place_of_the_one_before(owner: User) -> None:
    """Also as of an earlier day; dropped, neither stands."""
    before = PieceFactory(on=AGREED, parts=[Part(25, line=LineFactory())])
    anew = change_piece(
        by=owner, piece=before, on=ASKED_ABOUT, name="posy", quantity=3, price=3000, minutes=20, parts=[Part(1, bought="ribbon")],
        note="in blue",
    )

    before.refresh_from_db()
    assert (before.stands, anew.replaces, quoted(anew.job), parts_of(anew)) == (False, before, 9000, [("ribbon", 1, 0)])
    with refused("already_undone"):
        change_piece(by=owner, piece=before, on=AGREED, name="posy", quantity=3, price=3000)
    drop_piece(by=owner, piece=anew)
    assert quoted(anew.job) == 0
    with refused("already_undone"):
        drop_piece(by=owner, piece=anew)


def test_pieces_of_a_job_over_stay_as_they_are(owner: User) -> None:
    """Until that is undone."""
    piece, other = PieceFactory(), PieceFactory()
    done = job_done(piece.job)
    cancel_job(by=owner, job=other.job, on=AGREED)
    for one in (piece, other):
        for verb in (
            lambda one=one: PieceFactory(job=one.job, on=HELD),
            lambda one=one: change_piece(by=owner, piece=one, on=HELD, name="posy", quantity=1, price=1),
            lambda one=one: drop_piece(by=owner, piece=one),
        ):
            with refused("job_over"):
                verb()
    undo_job_done(by=owner, job_done=done)
    assert not drop_piece(by=owner, piece=piece).stands


def test_a_second_press_adds_one_piece(owner: User) -> None:
    """The form's key finds the first."""
    piece = {
        "by": owner, "key": str(uuid4()), "job": JobFactory(), "on": ASKED_ABOUT, "name": "posy", "quantity": 1, "price": 100,
    }
    assert add_piece(**piece) == add_piece(**piece)
    assert JobPiece.objects.count() == 1


@pytest.mark.parametrize("who", ["hand", "bookkeeper"])
def test_who_may_not_sell_quotes_no_piece(who: str, request: pytest.FixtureRequest, owner: User) -> None:
    """Nor changes or drops one."""
    by, piece = request.getfixturevalue(who), PieceFactory()
    for verb in (
        lambda: add_piece(by=by, job=piece.job, on=AGREED, name="posy", quantity=1, price=1),
        lambda: change_piece(by=by, piece=piece, on=AGREED, name="posy", quantity=1, price=1),
        lambda: drop_piece(by=by, piece=piece),
    ):
        with pytest.raises(PermissionDenied):
            verb()


def test_a_part_is_called_by_its_words_without_blanks_around(owner: User) -> None:
    """What was typed with a blank behind is the same thing."""
    assert parts_of(PieceFactory(parts=[Part(1, bought=" candle ", cost=100)])) == [("candle", 1, 100)]
