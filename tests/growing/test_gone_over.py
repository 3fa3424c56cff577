"""Stems spoiled in the bed uncut, about so many."""

from datetime import date

import pytest
from django.urls import reverse

from ledger.books.bringing.acting import bring_in
from ledger.costing.queries import fresh_book
from ledger.growing.actions import clear, note_gone_over, undo_clearing, undo_gone_over, undo_planting
from ledger.growing.models import GoneOver, Planting
from tests.factories.growing import LotFactory, PlantingFactory
from tests.filling import fill, read
from tests.refusals import refused
from tests.thread import spin_thread

MARCH_1, JULY_1, JULY_2 = date(2024, 3, 1), date(2024, 7, 1), date(2024, 7, 2)


@pytest.mark.parametrize(("on", "stems", "code"), [
    (MARCH_1, 40, "too_early"), (JULY_2, 40, "cleared"), (JULY_1, 0, "min_value"), (JULY_1, 1_000_001, "max_value"),
    (date(2099, 1, 1), 40, "not_yet"),
])
def test_what_cannot_have_gone_over_is_refused(hand, on, stems, code):
    """Before it was planted, after it was cleared, none, beyond belief, tomorrow."""
    planting = PlantingFactory()
    if code == "cleared":
        clear(by=hand, planting=planting, on=JULY_1)

    with refused(code):
        note_gone_over(by=hand, planting=planting, on=on, stems=stems)


def test_it_carries_no_cost(owner):
    """The lot's and the planting's cost are the same with and without forty gone over."""
    thread = spin_thread(owner)
    before = fresh_book(date(2024, 12, 31)).batch_cost(thread.batch.pk)
    note_gone_over(by=owner, planting=thread.planting, on=JULY_1, stems=40)

    assert before
    assert fresh_book(date(2024, 12, 31)).batch_cost(thread.batch.pk) == before


def test_clearing_and_undoing_are_not_held_up(owner):
    """A planting is cleared, put back and undone whatever went over, which is undone with it."""
    planting = PlantingFactory()
    note_gone_over(by=owner, planting=planting, on=JULY_2, stems=40)
    undo_clearing(by=owner, clearing=clear(by=owner, planting=planting, on=JULY_1))
    undo_planting(by=owner, planting=planting)

    assert not Planting.objects.standing().exists()
    assert not GoneOver.objects.standing().exists()


def test_it_is_undone_alone(owner):
    """Undone it stands no more; a second time is refused."""
    gone = note_gone_over(by=owner, planting=LotFactory().planting, on=JULY_2, stems=40)
    undo_gone_over(by=owner, gone_over=gone)

    assert not GoneOver.objects.standing().exists()
    with refused("already_undone"):
        undo_gone_over(by=owner, gone_over=GoneOver.objects.get())


def test_it_is_noted_shown_and_undone_on_its_pages(hand, client_as):
    """From the planting, where it says who bears the cost; the list shows it too."""
    planting, client = PlantingFactory(), client_as(hand)
    answer = fill(client, reverse("growing:note_gone_over", args=[planting.pk]), stems=40, why="rain", on="2024-07-02")

    assert answer.url == planting.get_absolute_url()
    for page in (read(client, answer.url), read(client, reverse("growing:gone_over"))):
        assert "about 40" in page and "rain" in page and "borne by what is cut" in page
    fill(client, reverse("growing:undo_gone_over", args=[GoneOver.objects.get().pk]))
    assert "about 40" not in read(client, planting.get_absolute_url())


def test_a_seller_notes_nothing(seller, owner, client_as):
    """The form is for those of the field."""
    assert client_as(seller).get(reverse("growing:note_gone_over", args=[PlantingFactory().pk])).status_code == 403


FILES = {
    "plots.csv": b"key,name,kind,area_m2\np,Top,open,50\n", "beds.csv": b"key,plot,name,area_m2\nb,p,1,20\n",
    "species.csv": b"key,name\ns,Statice\n", "varieties.csv": b"key,species,name\nv,s,Blue\n",
    "plantings.csv": b"key,on,variety,bed,area_m2,season\nt,2024-04-01,v,b,10,2024\n",
    "lots.csv": b"key,planting,on,stage,stems,about\nl,t,2024-07-01,full,400,yes\n",
    "gone_over.csv": b"planting,on,stems,why\nt,2024-07-02,40,rain\n",
}


def test_it_is_brought_in(owner):
    """With a lot that is about so many."""
    bring_in(by=owner, files=FILES)
    gone = GoneOver.objects.get()

    assert (gone.stems, gone.why, gone.on) == (40, "rain", JULY_2)
    assert gone.planting.lots.get().about
