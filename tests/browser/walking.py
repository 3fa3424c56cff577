"""How a person goes through the ledger: links, labels and buttons, each page checked as it opens."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping, Sequence
from itertools import count
from pathlib import Path
from typing import Any

from playwright.sync_api import Locator, Page

SHOTS = os.environ.get("LEDGER_SHOTS", "")
FIGURES_ARE_IN = """() => [...document.querySelectorAll('[hx-trigger=load]')].every(
  one => [...one.querySelectorAll('a')].every(link => link.getAttribute('href') !== one.getAttribute('hx-get'))
)"""
SENT = """async () => {
  const form = document.querySelector('form.verb')
  return (await fetch(location.href, {method: 'POST', body: new URLSearchParams(new FormData(form))})).url
}"""
TOO_WIDE = "() => document.scrollingElement.scrollWidth > document.scrollingElement.clientWidth"


def plain(shown: str) -> str:
    """Text as a person reads it: a space that does not break is a space."""
    return shown.replace("\xa0", " ")


class Walk:
    """One person with one browser window; `address` is where the ledger is open."""

    def __init__(self, page: Page, address: str, name: str = "") -> None:
        self.page, self.address, self.name = page, address, name
        self.numbers = count(1)

    # going

    def open(self, where: str) -> None:
        """Type an address."""
        self.page.goto(where if where.startswith("http") else self.address + where)
        self.arrived()

    def go(self, stage: str, listed: str) -> None:
        """Go by the way through: the word of a stage, then one of its lists."""
        way = self.page.get_by_role("navigation", name="The way through")
        self.click(way.get_by_role("link", name=stage, exact=True))
        self.click(way.get_by_role("link", name=listed, exact=True))

    def today(self) -> None:
        """Go to the first page."""
        self.click(self.page.get_by_role("link", name="Today", exact=True))

    def follow(self, label: str) -> None:
        """Follow the first link of the page that says so."""
        self.click(self.main.get_by_role("link", name=label, exact=True).first)

    def follow_with(self, words: str) -> None:
        """Follow the first link of the page with these words in it."""
        self.click(self.main.get_by_role("link").filter(has_text=words).first)

    def press(self, button: str) -> None:
        """Press a button that sends a form."""
        self.click(self.main.get_by_role("button", name=button, exact=True))

    def record(self, button: str) -> None:
        """Press a button and see that it was done."""
        self.press(button)
        assert self.refusals() == [], self.refusals()

    def click(self, what: Locator) -> None:
        """Click what leads to another page."""
        with self.page.expect_navigation():
            what.click()
        self.arrived()

    def another_tab(self) -> Walk:
        """The same person in a second tab."""
        page = self.page.context.new_page()
        page.set_viewport_size(self.page.viewport_size)
        return Walk(page, self.address, f"{self.name}-tab")

    def send_form(self) -> str:
        """Send the page's form as it stands without leaving the page; return where it led."""
        return self.page.evaluate(SENT)

    def arrived(self) -> None:
        """Every page shown fits its screen and is whole."""
        self.page.wait_for_function(FIGURES_ARE_IN)
        self._picture()
        assert self.page.locator("h1").count() == 1, self.page.url
        assert not self.page.evaluate(TOO_WIDE), f"wider than the screen: {self.page.url}"

    def _picture(self) -> None:
        """Keep a picture where LEDGER_SHOTS names a folder."""
        if SHOTS:
            words = re.sub(r"\W+", "-", self.page.locator("h1").first.inner_text()).strip("-")[:40]
            path = Path(SHOTS) / self.name / f"{next(self.numbers):03d}-{words}.png"
            self.page.screenshot(path=path, full_page=True)

    # filling in

    def fill(self, fields: Mapping[str, Any], *, within: str = "") -> None:
        """Fill fields in by their labels; a choice by words of it."""
        place = self.main.get_by_role("group", name=within, exact=True) if within else self.main
        for label, value in fields.items():
            self._fill_one(place.get_by_label(label, exact=True).first, value)

    def _fill_one(self, field: Locator, value: Any) -> None:
        self._unfold(field)
        if field.evaluate("one => one.tagName") == "SELECT":
            choice = field.locator("option").filter(has_text=value).first
            field.select_option(value=choice.get_attribute("value"))
        elif isinstance(value, bool):
            field.set_checked(value)
        else:
            field.fill(str(value))

    def choose(self, label: str, choices: Sequence[str]) -> None:
        """Choose several things of a list by words of each; the list may be folded away."""
        field = self.main.get_by_label(label, exact=True).first
        self._unfold(field)
        found = [field.locator("option").filter(has_text=words).first for words in choices]
        field.select_option(value=[str(one.get_attribute("value")) for one in found])

    def _unfold(self, field: Locator) -> None:
        """Open what a field is folded away in."""
        folded = field.locator("xpath=ancestor::details[not(@open)]")
        if not field.is_visible() and folded.count():
            folded.first.locator("summary").first.click()

    def open_up(self, summary: str) -> None:
        """Open what is folded away under these words."""
        self.main.locator("summary").get_by_text(summary, exact=True).click()

    def typed(self, label: str) -> str:
        """What a field says now."""
        return self.main.get_by_label(label, exact=True).first.input_value()

    # reading

    @property
    def main(self) -> Locator:
        """The page itself, without the way through."""
        return self.page.locator("main")

    def refusals(self) -> list[str]:
        """The sentences of a refusal, none where the page refuses nothing."""
        return [plain(sentence) for sentence in self.page.locator(".refused li").all_inner_texts()]

    def title(self) -> str:
        """The heading."""
        return self.page.locator("h1").inner_text()

    def says(self, words: str) -> bool:
        """Whether the page shows these words."""
        return words in plain(self.main.inner_text())

    def fact(self, name: str) -> str:
        """What the record's list says of this."""
        term = self.main.locator("dl.facts dt").get_by_text(name, exact=True)
        return plain(term.locator("xpath=following-sibling::dd[1]").inner_text()).strip()

    def row(self, words: str) -> list[str]:
        """The cells of the first row with these words."""
        row = self.main.locator("tr").filter(has_text=words).first
        return [plain(cell).strip() for cell in row.locator("th, td").all_inner_texts()]

    def paper(self, label: str) -> str:
        """Fetch a paper by its link; return what kind of file came."""
        link = self.main.get_by_role("link", name=label, exact=True).first
        answer = self.page.request.get(self.address + str(link.get_attribute("href")))
        assert answer.status == 200, answer.url
        return answer.headers["content-type"].split(";")[0]
