"""A form sent again counts once: pressed twice at once, and after an answer that never came."""

import http.client
import re
import threading
from contextlib import closing
from urllib.parse import urlencode

import pytest

from tests.pressure.ground import ground
from tests.serving import serving

CSRF = "a" * 32


@pytest.fixture
def pressed(db, tmp_path):
    """A ledger of its own."""
    with ground(tmp_path) as laid:
        yield laid


class Phone:
    """A browser that is signed in, down to the bytes it sends."""

    def __init__(self, address, cookie):
        self.host = address.split("/")[2]
        self.headers = {"Cookie": f"sessionid={cookie}; csrftoken={CSRF}", "Host": self.host}

    def get(self, path):
        """A page's text."""
        with closing(http.client.HTTPConnection(self.host, timeout=30)) as desk:
            desk.request("GET", path, headers=self.headers)
            return desk.getresponse().read().decode()

    def post(self, path, form, *, listen=True):
        """Send a form; without `listen` the line breaks before the answer comes."""
        body = urlencode({**form, "csrfmiddlewaretoken": CSRF})
        with closing(http.client.HTTPConnection(self.host, timeout=30)) as desk:
            desk.request("POST", path, body, {**self.headers, "Content-Type": "application/x-www-form-urlencoded"})
            if not listen:
                return None
            answer = desk.getresponse()
            answer.read()
            return answer.status, answer.headers.get("Location")


@pytest.fixture
def phone(pressed):
    """A phone at the sale's page, and what its form says."""
    folder = pressed.environment["LEDGER_HOME"]
    more = {name: value for name, value in pressed.environment.items() if name in {"DATABASE_URL", "LEDGER_SECRET_KEY"}}
    with serving(folder, **more) as lines:
        phone = Phone(re.search(r"http://\S+", lines[-1]).group(), pressed.made["cookie"])
        path = f"/sales/sell/?way={pressed.made['stall']}"
        key = re.search(r'name="form_key" value="([^"]+)"', phone.get(path)).group(1)
        line = pressed.made["lines"][0]
        said = {"on": "2024-09-01", "paid": "cash", f"n_{line}": 3, f"price_{line}": "5.00"}
        phone.path, phone.form = path, {"form_key": key, **said}
        yield phone


def test_pressed_at_once_it_counts_once(pressed, phone):
    """Eight presses of one form in the same moment: one sale, and every answer leads to it."""
    answers = []
    presses = [threading.Thread(target=lambda: answers.append(phone.post(phone.path, phone.form))) for _ in range(8)]
    for press in presses:
        press.start()
    for press in presses:
        press.join()

    assert {status for status, _ in answers} == {302} and len({where for _, where in answers}) == 1
    assert pressed.ask("tally")["sales"] == 1
    pressed.proved()


def test_after_a_lost_answer_it_counts_once(pressed, phone):
    """The line breaks before the answer; the same form sent again twice leads to the one sale there is."""
    phone.post(phone.path, phone.form, listen=False)
    answers = {phone.post(phone.path, phone.form) for _ in range(2)}

    assert len(answers) == 1 and answers.pop()[0] == 302
    assert pressed.ask("tally")["sales"] == 1
    pressed.proved()
