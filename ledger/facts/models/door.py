"""One-time links that let somebody in: the first set-up, the demonstration."""

from django.conf import settings
from django.db import models


class DoorLink(models.Model):
    """A link that works once, until `expires`; only its hash is kept."""

    hashed = models.CharField(max_length=64, unique=True)
    purpose = models.CharField(max_length=10, choices=[("set_up", "set_up"), ("sign_in", "sign_in")])
    user = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+")
    expires = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(purpose__in=["set_up", "sign_in"]), name="door_link_purpose_known"
            ),
        ]
