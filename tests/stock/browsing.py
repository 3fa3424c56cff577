"""Opening pages and sending forms."""

from datetime import date

from django.urls import reverse

AUGUST_5 = date(2024, 8, 5)


def words(client, page, *args, **query):
    """What a page says."""
    answer = client.get(reverse(page, args=args), query)
    assert answer.status_code == 200
    return answer.content.decode()


def listed(client, page, **query):
    """The records a list shows."""
    return [row.record for row in client.get(reverse(page), query).context["table"].rows]


def press(client, page, *args, number=1, query="", **sent):
    """Send a verb's form, the first one unless numbered."""
    url = reverse(page, args=args) + query
    return client.post(url, {"form_key": f"00000000-0000-0000-0000-{number:012d}", "on": "2024-08-05", **sent})
