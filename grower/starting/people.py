"""Who may come in: the first set-up link, the demonstration and its sign-in link."""

from collections.abc import Callable

from django.core.management import call_command
from django.urls import reverse

from grower.links import make_link
from ledger.facts.models import User

SET_UP_HOURS = 30 * 24


def load_demonstration(say: Callable[[str], object]) -> None:
    """Bring in the demonstration season where nobody exists yet."""
    if not User.objects.exists():
        say("Bringing in the demonstration season; it takes a little while.")
        call_command("load_demo")


def way_in(*, demo: bool) -> tuple[str, str] | None:
    """What the link printed at the start is for, and its path; None where people sign in by name."""
    if not User.objects.exists():
        return "Set the ledger up once at", reverse("set_up", args=[make_link("set_up", hours=SET_UP_HOURS)])
    owner = User.objects.filter(role=User.Role.OWNER, is_active=True).order_by("pk").first()
    if demo and owner:
        return "Come in (once, within the hour) at", reverse("come_in", args=[make_link("sign_in", hours=1, user=owner)])
    return None
