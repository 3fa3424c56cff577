"""Takings, comings back and promises undone in many orders leave the stock as it was."""

from collections.abc import Callable
from datetime import date
from itertools import permutations

from django.core.exceptions import ValidationError
from django.db import transaction

from ledger.facts.models import User
from ledger.sales.actions import (
    bring_bunches_back,
    free_from_job,
    take_bunches_for,
    undo_came_back,
    undo_kept,
    undo_order,
    undo_taken,
)
from ledger.sales.models import Job
from ledger.stock.models import Balance, Hold, HoldChange
from tests.factories.jobs import HELD, JobFactory, kept_for
from tests.factories.sales import Ready, line_of, order_of, ready
from tests.refusals import codes_of

Undoing = Callable[[], object]
SAYS_WHY = {"rested_on", "not_free", "too_many", "part_of_more"}
BACK = date(2024, 9, 16)


def figures(stock: Ready) -> tuple[int, ...]:
    """On hand and held of the line, and what each hold keeps and is short of."""
    balance = Balance.objects.get(line=stock.line)
    holds = Hold.objects.standing().with_kept().with_short().filter(line=stock.line).order_by("pk")
    return (balance.on_hand, balance.held, *(number for hold in holds for number in (hold.kept, hold.short) if number))


def pressed(undoing: Undoing) -> bool:
    """Whether it was undone; where it was refused, with a code that says what stands in the way."""
    try:
        with transaction.atomic():
            undoing()
    except ValidationError as error:
        assert set(codes_of(error)) <= SAYS_WHY, error
        return False
    return True


def undone_round_by_round(undoings: list[Undoing]) -> int:
    """Press each in turn, those refused again, until all are undone; how many rounds it took."""
    rounds = 0
    while undoings:
        left = [one for one in undoings if not pressed(one)]
        assert len(left) < len(undoings), "none of what is left can be undone"
        undoings, rounds = left, rounds + 1
    return rounds


def entered(owner: User, stock: Ready, job: Job) -> list[Undoing]:
    """Ten kept, four of them given back, a dozen promised to a florist, two takings beyond what is kept, some back of each."""
    kept = kept_for(job, stock, 10)
    free_from_job(by=owner, job_hold=kept, on=date(2024, 8, 21), bunches=4)
    change = HoldChange.objects.latest("pk")
    order = order_of(stock, 12)
    first = take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=9)
    second = take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=13)
    backs = [bring_bunches_back(by=owner, taken=one, on=BACK, bunches=2) for one in (first, second)]
    assert line_of(order).short > 0
    takings = [lambda one=one: undo_taken(by=owner, taken=one) for one in (first, second)]
    back = [lambda one=one: undo_came_back(by=owner, came_back=one) for one in backs]
    return [*takings, *back, lambda: undo_order(by=owner, order=order), lambda: undo_kept(by=owner, change=change)]


def test_in_whatever_order_all_of_it_can_be_undone(owner: User) -> None:
    """Two dozen of the 720 orders of undoing six things, refused ones pressed again: ten of twenty are kept after each."""
    stock, job = ready(20), JobFactory()
    undoings = entered(owner, stock, job)

    for order in list(permutations(range(len(undoings))))[::31]:
        with transaction.atomic():
            undone_round_by_round([undoings[number] for number in order])
            assert figures(stock) == (20, 10, 10), order
            transaction.set_rollback(True)
