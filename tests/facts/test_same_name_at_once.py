"""Two who enter the same name at the same moment."""

import threading
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, connection
from django.urls import reverse

from ledger.facts.models import CostObject, FormKey, LedgerState
from ledger.facts.writing import action
from ledger.growing.actions import add_plot
from ledger.growing.models import Plot
from tests.filling import fill
from tests.refusals import codes_of, refused

THERE = {"name": "Long field", "kind": "open", "area_m2": Decimal(100)}


@pytest.fixture
def unseen(owner, monkeypatch):
    """A plot that the checks of so many presses do not see, as it is entered in the same moment."""
    add_plot(by=owner, **THERE)
    check = Plot.full_clean

    def for_so_many(presses):
        left = [None] * presses
        monkeypatch.setattr(Plot, "full_clean", lambda plot: left.pop() if left else check(plot))

    return for_so_many


def test_the_loser_is_told_what_the_form_says(owner, unseen):
    """The same sentence on the same field as of a plot entered long before; nothing is left behind, the key is free."""
    with pytest.raises(ValidationError) as slow:
        add_plot(by=owner, **THERE)
    token = LedgerState.objects.get().token
    unseen(1)
    with pytest.raises(ValidationError) as quick:
        add_plot(by=owner, key="a-form", **THERE)

    assert quick.value.message_dict == slow.value.message_dict == {"name": ["Plot with this Name already exists."]}
    assert (Plot.objects.count(), CostObject.objects.filter(kind="plot").count()) == (1, 1)
    assert (FormKey.objects.count(), LedgerState.objects.get().token) == (0, token)


def test_what_no_check_sees_is_refused_all_the_same(owner, unseen):
    """In words, for the whole form."""
    unseen(2)

    with refused("unique") as caught:
        add_plot(by=owner, **THERE)
    assert caught.value.messages == [
        "Somebody entered the same at this moment. Look at that first, then enter yours if it is another."
    ]


def test_the_page_keeps_what_was_typed(owner, client_as, unseen):
    """No page of a fault: the form again, with the sentence."""
    client = client_as(owner)
    unseen(1)
    answer = fill(client, reverse("growing:add_plot"), name="Long field", kind="open", area_m2="100")

    assert answer.status_code == 422
    assert "already exists" in answer.content.decode() and 'value="Long field"' in answer.content.decode()


def fault(words, state=""):
    """A refusal of the database with PostgreSQL's code."""
    error, cause = IntegrityError(words), Exception()
    cause.sqlstate, error.__cause__ = state, cause
    return error


@pytest.mark.parametrize("before", [[], [fault("taken", "23505")]], ids=["at once", "after a like row came first"])
def test_any_other_fault_of_the_database_stays_one(owner, before):
    """A key to nothing is a fault of the program, not put in words for the grower, with savepoints or without."""
    faults = [fault("a key to nothing", "23503"), *before, fault("a key to nothing", "23503")]

    @action("settings")
    def break_it(*, by):
        raise faults.pop(0)

    with pytest.raises(IntegrityError, match="a key to nothing"):
        break_it(by=owner)
    assert faults == []


@pytest.mark.postgres
@pytest.mark.django_db(transaction=True, serialized_rollback=True)
def test_two_plots_of_one_name_at_once_are_one(owner):
    """Two presses in the same instant make one plot, and one of the two is told that it is there."""
    together, said = threading.Barrier(2), []

    def press():
        try:
            together.wait()
            said.append([str(add_plot(by=owner, **THERE))])
        except ValidationError as error:
            said.append(codes_of(error))
        finally:
            connection.close()

    presses = [threading.Thread(target=press) for _ in range(2)]
    for one in presses:
        one.start()
    for one in presses:
        one.join()

    assert sorted(said) == [["Long field"], ["unique"]] and Plot.objects.count() == 1
