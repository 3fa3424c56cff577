"""The running sum beside the press of a sale takes off what the ledger's own reckoning takes off."""

import random

import pytest

from ledger.reckoning.offers import Several, Units, take_off
from tests.browser.walking import Walk

pytestmark = [pytest.mark.browser, pytest.mark.filterwarnings("ignore::ResourceWarning")]
SAVED = """async (cases) => {
  const { saved } = await import("/static/selling/offers.js");
  return cases.map(([sold, offers]) => saved(sold, offers.map((one) => ({ ...one, lines: new Set(one.lines) }))));
}"""


def cases() -> list[tuple[list[Units], list[Several]]]:
    """Three hundred small sales under up to three offers, always the same ones."""
    draw = random.Random(7)

    def sold(line: int) -> Units:
        return Units(line, draw.randint(1, 9), draw.choice([300, 450, 450, 500, 700]))

    def offer(key: int) -> Several:
        lines = draw.sample(range(1, 5), draw.randint(1, 4))
        return Several(key, draw.randint(1, 5), draw.randint(2, 25) * 100, frozenset(lines))

    return [
        ([sold(line) for line in range(1, draw.randint(2, 5))], [offer(key) for key in range(1, draw.randint(2, 4))])
        for _case in range(300)
    ]


def as_told(sold: list[Units], offers: list[Several]) -> tuple[list[dict], list[dict]]:
    """What the page's script is given."""
    return [vars(one) for one in sold], [{**vars(one), "lines": [str(line) for line in one.lines]} for one in offers]


def test_offers_take_off_as_much_on_the_page_as_in_the_ledger(visitor: Walk):
    """Three hundred sales, among them some with nothing and some with several offers at once."""
    visitor.open("/sales/sell/")
    reckoned = [sum(piece.off for pieces in take_off(*case) for piece in pieces) for case in cases()]

    assert visitor.page.evaluate(SAVED, [as_told(*case) for case in cases()]) == reckoned
    assert 20 < reckoned.count(0) < 200
