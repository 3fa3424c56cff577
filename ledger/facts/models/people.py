"""The people of the holding and what each may do."""

from django.contrib.auth.models import AbstractUser
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

ROLE_MAY: dict[str, frozenset[str]] = {
    "owner": frozenset(
        "field loft boxes packing work money books prices selling invoices settings see_costs see_takings".split()
    ),
    "hand": frozenset("field loft boxes packing work".split()),
    "seller": frozenset("packing prices selling invoices see_takings".split()),
    "bookkeeper": frozenset("money books work invoices see_costs see_takings".split()),
}


class User(AbstractUser):
    """A person who signs in; the role says what they may do and see."""

    class Role(models.TextChoices):
        OWNER = "owner", _("Owner")
        HAND = "hand", _("Hand")
        SELLER = "seller", _("Seller")
        BOOKKEEPER = "bookkeeper", _("Bookkeeper")

    role = models.CharField(_("role"), max_length=12, choices=Role, default=Role.HAND)

    class Meta(AbstractUser.Meta):
        constraints = [
            models.CheckConstraint(
                condition=Q(role__in=["owner", "hand", "seller", "bookkeeper"]),
                name="user_role_known",
                violation_error_message=_("That is not a role of this ledger."),
            ),
        ]

    def may(self, what: str) -> bool:
        """Return whether this person's role allows `what`."""
        return self.is_active and what in ROLE_MAY.get(self.role, frozenset())
