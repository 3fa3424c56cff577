"""The site in a real browser: from the set-up link to Today, on a phone and at a desk."""

import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import sync_playwright

from tests.conftest import chromium
from tests.serving import serving

pytestmark = [pytest.mark.browser, pytest.mark.filterwarnings("ignore::ResourceWarning")]
FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]
PAGES = ["/", "/holding/", "/holding/people/", "/holding/people/add/", "/growing/lots/", "/no/such/page/"]


@pytest.fixture(params=[360, 1280])
def page(request):
    """A page of a browser as wide as a phone or a desk, its complaints kept."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=FLAGS)
        page = browser.new_page(viewport={"width": request.param, "height": 800})
        page.complaints = []
        page.on("console", lambda said: page.complaints.append(said.text) if said.type == "error" else None)
        yield page
        browser.close()


def set_up(page, link):
    """Fill in the set-up page and begin."""
    page.goto(link)
    page.fill("[name=name]", "Hollow Lane Flowers")
    page.fill("[name=username]", "rowan")
    page.fill("[name=password]", "teasel-and-honesty")
    page.click("form.verb button")


def faults(page):
    """What is wrong with the page shown: too wide, or hard to use for somebody."""
    wide = page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth")
    found = [f"{one['id']}: {one['nodes'][0]['html']}" for one in Axe().run(page).response["violations"]]
    return [*found, *(["wider than the screen"] if wide else [])]


def test_from_the_set_up_link_to_every_kind_of_page(page, tmp_path):
    """A newcomer sets up and looks round; every page fits, is accessible and keeps to the policy."""
    with serving(tmp_path / "ledger") as lines:
        link = re.search(r"http://\S+/set-up/\S+", "".join(lines))[0]
        set_up(page, link)
        assert page.inner_text("h1") == "Today"

        address = link.split("/set-up/")[0]
        found = {where: faults(page) for where in PAGES if page.goto(address + where)}

    assert {where: wrong for where, wrong in found.items() if wrong} == {}
    assert [said for said in page.complaints if "404" not in said] == []
