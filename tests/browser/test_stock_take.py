"""A shelf counted on a phone, box after box, what differs put into the book and taken out again."""

import pytest

from tests.browser.conftest import asked
from tests.browser.steps import boxing
from tests.browser.walking import Walk

pytestmark = [pytest.mark.browser, pytest.mark.filterwarnings("ignore::ResourceWarning")]
OLDER, YOUNGER = "2025-09-27", "2025-10-17"


def begin(walk: Walk, shelf: str) -> None:
    """A stock-take of one shelf, its figures hidden, its sheet a paper."""
    walk.open("/")
    walk.go("boxed", "Stock-takes")
    walk.follow("Begin a stock-take")
    walk.fill({"One shelf": shelf})
    walk.record("Begin it")
    assert walk.title() == f"Stock-take of shelf {shelf}"
    assert walk.paper("Count sheet on paper, without figures") in boxing.PAPER


def count_next(walk: Walk, numbers: list[int]) -> str:
    """Count the next box, its batches from the oldest on, without being told what should be there; return its id."""
    walk.follow("Count the next box")
    assert not walk.says("The record says")
    fields = walk.main.locator(".counted").get_by_role("spinbutton").all()
    for field, number in zip(fields, numbers, strict=True):
        size = field.bounding_box()
        assert size is not None and size["height"] >= 48
        field.fill(str(number))
    code = walk.title().removeprefix("Count box ")
    walk.record("Counted")
    return code


def sell_one(walk: Walk, code: str, words: str) -> None:
    """Sell one of a row straight from its box, the line being filled in."""
    boxing.open_box(walk, code)
    boxing.do_with(walk, words, "Sell")
    walk.record("Sold")


def there(walk: Walk, code: str) -> list[str]:
    """How many of each batch the record says are in a box."""
    return [boxing.holds(walk, code, on) for on in (OLDER, YOUNGER)]


def open_take(walk: Walk) -> None:
    """Go on with the stock-take the first page names."""
    walk.today()
    walk.follow_with("is not put into the book yet")


def test_a_shelf_is_counted_and_put_right(visitor: Walk, demo):
    """Eleven and seventeen recorded, nine and eighteen counted, one sold before it is ended; then all is undone as one."""
    begin(visitor, "D2")
    code = count_next(visitor, [9, 18])
    assert visitor.says("All that lies here by the record is counted.")
    assert there(visitor, code) == ["11", "17"]
    sell_one(visitor, code, OLDER)

    open_take(visitor)
    visitor.follow("Look at what differs, then end it")
    assert visitor.says("Bunches missing: 2. Over: 1.")
    visitor.open_up("What the differences cost")
    assert visitor.says("Stock cost")
    visitor.press("Put it into the book")
    assert "Say why 2 of" in visitor.refusals()[0]
    visitor.fill({"Why, of every difference without a reason of its own": "mice"})
    visitor.record("Put it into the book")

    assert visitor.says("-2 written off")
    ended = visitor.page.url
    assert there(visitor, code) == ["8", "18"]
    assert asked(demo.folder, "prove")["ok"]
    visitor.open(ended)
    visitor.follow("Undo its end")
    visitor.record("Undo it")
    assert there(visitor, code) == ["10", "17"]


def test_a_box_is_split_and_put_together_again_with_a_thumb(visitor: Walk, demo):
    """Three of a batch into a new box beside it, and back; the emptied box says so and what it held."""
    visitor.open("/")
    visitor.go("boxed", "How full the shelves are")
    visitor.follow("C2")
    visitor.click(visitor.main.locator("tbody a").first)
    code = visitor.title().removeprefix("Box ")
    visitor.follow("Split it")
    visitor.main.get_by_role("spinbutton").first.fill("3")
    visitor.fill({"Day": "2026-01-05"})
    visitor.record("Split it")
    visitor.go("boxed", "Boxes")
    visitor.open("/stock/boxes/?shelf=C2")
    visitor.click(visitor.main.locator("tbody a").filter(has_not_text=code).first)
    visitor.follow("Put it together with another")
    visitor.fill({"Everything into the box": code, "Day": "2026-01-06"})
    visitor.record("Put it all in")

    assert visitor.says("It is empty and can be used again.")
    assert visitor.says("5 Jan 2026 to 6 Jan 2026, at most 3:")
