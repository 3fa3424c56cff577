"""What cannot be is refused with a sentence, the form keeps what was typed, and a button counts once."""

import pytest

from tests.browser.steps import drying
from tests.browser.walking import Walk

pytestmark = [pytest.mark.browser, pytest.mark.filterwarnings("ignore::ResourceWarning")]


def yarrow(walk: Walk) -> tuple[str, str]:
    """What bunches of the yarrow are called, and how many are free."""
    walk.open("/stock/lines/")
    walk.open_up("Show only some")
    walk.fill({"Variety": "Yarrow gold plate", "Grade": "firsts"})
    walk.press("Show")
    walk.follow_with("Yarrow gold plate")
    return walk.title(), walk.fact("Free")


def cut_larkspur(walk: Walk, on: str) -> str:
    """200 stems of the larkspur standing in 2026; return the lot's page."""
    walk.open("/growing/plantings/?sort=-season")
    walk.follow_with("Larkspur tall blue")
    drying.cut(walk, bundles=20, per_bundle=10, on=on)
    return walk.page.url


def hang_larkspur(walk: Walk, *, cut: str, hung: str) -> str:
    """150 stems of a lot of its own; return the hanging's page."""
    cut_larkspur(walk, cut)
    drying.hang(walk, 150, "Loft", 1, hung)
    return walk.page.url


def refused(walk: Walk, words: str) -> bool:
    """Whether nothing was recorded and one of the sentences says so."""
    return walk.says("Nothing was recorded:") and any(words in sentence for sentence in walk.refusals())


def test_more_than_is_free_cannot_be_promised(visitor: Walk):
    """The free bunches are named, and what was asked for stays."""
    line, free = yarrow(visitor)
    visitor.open("/sales/orders/take/")
    visitor.fill({"Customer": "Fennock Flowers", f"{line}: asked for": 900, "Customer's reference": "for the fair"})
    visitor.press("Promise it")

    assert refused(visitor, f"Only {free} of {line} are free.")
    assert visitor.typed(f"{line}: asked for") == "900"
    assert visitor.typed("Customer's reference") == "for the fair"


def test_more_than_hangs_cannot_be_taken_down(visitor: Walk):
    """The stems still up are named, and the losses typed stay."""
    visitor.open(hang_larkspur(visitor, cut="2026-06-10", hung="2026-06-11"))
    visitor.follow("Take down")
    visitor.fill({"Stems taken down": 151, "Lost of these": 12, "because": "mould", "Day": "2026-06-25"})
    visitor.press("Taken down")

    assert refused(visitor, "Only 150 stems are still up")
    assert (visitor.typed("Stems taken down"), visitor.typed("Lost of these")) == ("151", "12")
    assert (visitor.typed("because"), visitor.typed("Day")) == ("mould", "2026-06-25")


def test_nothing_comes_down_before_it_went_up(visitor: Walk):
    """A day before its parent's is refused with the parent's day."""
    visitor.open(hang_larkspur(visitor, cut="2026-06-12", hung="2026-06-14"))
    visitor.follow("Take down")
    visitor.fill({"Stems taken down": 20, "Day": "2026-06-13"})
    visitor.press("Taken down")

    assert refused(visitor, "It went up only on 14 Jun 2026.")
    assert visitor.typed("Day") == "2026-06-13"


def test_a_closed_year_takes_nothing_more(visitor: Walk):
    """The day the books are closed to is named, and what else would do."""
    visitor.open("/books/closes/close/")
    visitor.fill({"Last day of the year": "2025-12-31"})
    visitor.record("Close the year")
    visitor.open("/daybook/work/note/")
    visitor.fill({"Worker": "Marget", "Minutes": 45, "Spent on": "the store", "Day": "2025-06-01", "Note": "swept"})
    visitor.press("Note it")

    assert refused(visitor, "The books are closed up to 31 Dec 2025. Enter it on a later day")
    assert (visitor.typed("Minutes"), visitor.typed("Note")) == ("45", "swept")


ABSURD = [("-3.00", "cannot be below zero"), ("99999999999999", "beyond belief"), ("3,5o", "such as 12.50")]


@pytest.mark.parametrize(("net", "says"), ABSURD)
def test_absurd_amounts_are_refused(visitor: Walk, net, says):
    """A price below nothing, beyond belief or no number is refused, and stands as typed."""
    line, _free = yarrow(visitor)
    visitor.open("/pricing/prices/set/")
    visitor.fill({"Line": line, "Way of selling": "Farm gate", "Price of one": net, "From": "2026-05-01"})
    visitor.press("See what it does")

    assert refused(visitor, says)
    assert visitor.typed("Price of one") == net


@pytest.mark.parametrize("minutes", ["-5", "0", "2000"])
def test_no_day_has_so_many_minutes(visitor: Walk, minutes):
    """Minutes below one or beyond a day are refused."""
    visitor.open("/daybook/work/note/")
    visitor.fill({"Worker": "Marget", "Minutes": minutes, "Spent on": "the store", "Day": "2026-05-01"})
    visitor.press("Note it")

    assert refused(visitor, "Minutes")
    assert visitor.typed("Minutes") == minutes


def test_a_form_is_stale_once_its_record_is_undone_elsewhere(visitor: Walk):
    """The hanging was undone in another tab: the taking down says so and keeps what was typed."""
    hanging = hang_larkspur(visitor, cut="2026-06-16", hung="2026-06-16")
    visitor.follow("Take down")
    visitor.fill({"Stems taken down": 60, "Day": "2026-06-30"})
    other = visitor.another_tab()
    other.open(hanging)
    other.follow("Undo this hanging")
    other.record("Undo it")
    visitor.press("Taken down")

    assert refused(visitor, "has been undone since this form was opened")
    assert visitor.typed("Stems taken down") == "60"


def test_a_choice_that_is_gone_is_refused_in_words(visitor: Walk):
    """The lot was undone in another tab: hanging it says what is so."""
    lot = cut_larkspur(visitor, "2026-06-18")
    visitor.follow("Hang stems of it")
    visitor.fill({"Stems": 70, "Place": "Loft"})
    other = visitor.another_tab()
    other.open(lot)
    other.follow("Undo this lot")
    other.record("Undo it")
    visitor.press("Hang them")

    assert refused(visitor, "since this form was opened")
    assert visitor.typed("Stems") == "70"


def test_a_double_click_counts_once(visitor: Walk):
    """Two presses of one button are one entry."""
    visitor.open("/daybook/work/note/")
    visitor.fill({"Worker": "Marget", "Minutes": 17, "Spent on": "the store", "Day": "2026-05-02", "Note": "pressed twice"})
    with visitor.page.expect_navigation():
        visitor.main.get_by_role("button", name="Note it").dblclick()
    visitor.arrived()
    visitor.open("/daybook/work/?since=2026-05-02&until=2026-05-02")

    assert visitor.main.locator("tbody tr").count() == 1
    assert "17" in visitor.row("Marget")


def test_a_form_sent_twice_counts_once(visitor: Walk):
    """A form sent again after it was answered leads to what it made the first time."""
    visitor.open("/daybook/work/note/")
    visitor.fill({"Worker": "Marget", "Minutes": 19, "Spent on": "the store", "Day": "2026-05-03"})
    ends = [visitor.send_form() for _again in range(2)]

    assert ends[0] == ends[1]
    assert "/daybook/work/" in ends[0]
