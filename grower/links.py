"""One-time links: made, looked up and used up; only their hash is kept."""

import hashlib
import secrets
from datetime import timedelta

from django.utils import timezone

from ledger.facts.models import DoorLink, User


def make_link(purpose: str, *, hours: int, user: User | None = None) -> str:
    """Make a link for `purpose`, the only one of it that works from now on; return its token."""
    token = secrets.token_urlsafe(24)
    DoorLink.objects.filter(purpose=purpose, used_at__isnull=True).delete()
    DoorLink.objects.create(hashed=_hash(token), purpose=purpose, user=user, expires=timezone.now() + timedelta(hours=hours))
    return token


def find_link(purpose: str, token: str) -> DoorLink | None:
    """The link if it still works, else None."""
    return DoorLink.objects.filter(
        hashed=_hash(token), purpose=purpose, used_at__isnull=True, expires__gt=timezone.now()
    ).select_related("user").first()


def use_up(link: DoorLink) -> bool:
    """Use the link; False where somebody else used it a moment before."""
    return DoorLink.objects.filter(pk=link.pk, used_at__isnull=True).update(used_at=timezone.now()) == 1


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()
