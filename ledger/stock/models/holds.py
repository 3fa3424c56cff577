"""What of a line is on hand, and what is kept for promises."""

from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import Fact
from ledger.stock.queries.sets import HoldQuerySet

from .lines import Line


class Balance(models.Model):
    """Running figure: bunches of a line on hand and held for promises now."""

    line = models.OneToOneField(Line, models.PROTECT, primary_key=True, related_name="balance")
    on_hand = models.IntegerField(default=0)
    held = models.IntegerField(default=0)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(held__gte=0, held__lte=F("on_hand")), name="balance_held_within_on_hand",
                violation_error_message=_("More would be held than there is."),
            ),
        ]

    @property
    def free(self) -> int:
        """Bunches on hand that nobody was promised."""
        return self.on_hand - self.held


class Hold(Fact):
    """Bunches of a line kept for a promise; what it keeps now is the sum of its changes.

    `season`: only bunches made in that season will do (NULL: of any).
    """

    line = models.ForeignKey(Line, models.PROTECT, related_name="holds")
    for_what = models.CharField(_("for"), max_length=120)
    season = models.PositiveSmallIntegerField(_("only of season"), null=True, blank=True)

    objects = HoldQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False

    def __str__(self) -> str:
        return str(_("%(line)s kept for %(what)s")) % {"line": self.line, "what": self.for_what}

    def get_absolute_url(self) -> str:
        return reverse("stock:hold", args=[self.pk])


class HoldChange(Fact):
    """A change of what a hold keeps.

    promised (+), used (-) when sent, released (-) when given back, short (-)
    when stock it rested on is gone, refilled (+) when it could be filled again.
    """

    class Why(models.TextChoices):
        PROMISED = "promised", _("promised")
        USED = "used", _("sent")
        RELEASED = "released", _("given back")
        SHORT = "short", _("left short")
        REFILLED = "refilled", _("filled again")

    part_of = "hold"
    hold = models.ForeignKey(Hold, models.PROTECT, related_name="changes")
    bunches = models.IntegerField(_("bunches"))
    why = models.CharField(max_length=8, choices=Why)

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(why__in=["promised", "refilled"], bunches__gt=0)
                | Q(why__in=["used", "released", "short"], bunches__lt=0),
                name="hold_change_sign_fits",
            ),
        ]
