"""Pages of bunching runs."""

from ledger.stock.models import Run
from tests.factories.stock import LineFactory, run_of, sound_hanging, there
from tests.stock.browsing import listed, press, words


def test_a_run_is_recorded_from_the_hanging_in_the_address(as_owner, line, box):
    """All its loose stems are offered; firsts go into a box; the value is kept in minor units."""
    hanging = sound_hanging(100)
    line = LineFactory(variety=hanging.parting.lot.planting.variety, stems=10)
    page = words(as_owner, "stock:make_run", hanging=hanging.pk)
    assert 'value="100"' in page and "100 sound and loose" in page

    answer = press(
        as_owner, "stock:make_run", query=f"?hanging={hanging.pk}", lost=10, note="dry day",
        **{f"from_{hanging.pk}": 100, "line_1": line.pk, "made_1": 9, "box_1": box.pk, "value_1": "3.50"},
    )

    run = Run.objects.get()
    assert answer["Location"] == run.get_absolute_url()
    batch = run.batches.get()
    assert (batch.made, batch.unit_value, there(batch)) == (9, 350, [(box.code, 9)])
    for told in (hanging, batch.line, "dry day"):
        assert str(told) in words(as_owner, "stock:run", run.pk)
    assert listed(as_owner, "stock:runs", since="2024-08-01") == [run]


def test_a_run_that_does_not_add_up_keeps_what_was_typed(as_owner):
    """It says what went in, what came out, and the difference."""
    hanging = sound_hanging(100)
    line = LineFactory(variety=hanging.parting.lot.planting.variety, stems=10)

    answer = press(as_owner, "stock:make_run", **{f"from_{hanging.pk}": 100, "line_1": line.pk, "made_1": 9})

    page = answer.content.decode()
    assert answer.status_code == 422
    assert "100 stems went in, but 90 were bunched and 0 lost: +10." in page
    assert 'value="9"' in page and 'value="100"' in page


def test_a_half_filled_line_of_a_run_is_refused(as_owner):
    """A line without a number, a number without a line."""
    hanging = sound_hanging(100)

    answer = press(as_owner, "stock:make_run", **{f"from_{hanging.pk}": 100, "made_2": 9})

    assert answer.context["form"].errors["made_2"]


def test_a_hand_enters_no_values(hand, client_as):
    """Values are money."""
    sound_hanging(100)

    assert "value_1" not in words(client_as(hand), "stock:make_run")


def test_a_run_is_undone_on_its_page(as_owner, line):
    """Its page says so."""
    run = run_of(line, 10)

    press(as_owner, "stock:undo_run", run.pk)

    assert "counts nowhere" in words(as_owner, "stock:run", run.pk)
