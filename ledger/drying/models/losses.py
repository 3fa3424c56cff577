"""What is usually lost, and losses that were no usual ones."""

from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import Fact
from ledger.growing.models import Variety

from .hangings import Hanging


class LossNorm(Fact):
    """The usual share of stems lost in drying from a day on, in hundredths of a per cent of stems hung."""

    variety = models.ForeignKey(Variety, models.PROTECT, related_name="loss_norms")
    share_bp = models.PositiveIntegerField(_("usual loss (hundredths of a per cent)"))

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(share_bp__lt=10_000), name="loss_norm_below_whole",
                violation_error_message=_("A usual loss must be less than the whole."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("usual loss of %(variety)s")) % {"variety": self.variety}

    def get_absolute_url(self) -> str:
        return reverse("drying:loss_norms")


class Disaster(Fact):
    """The grower's mark that a hanging's loss was no usual one.

    `norm_bp` is the usual share lost kept with the mark, so that a later norm
    does not change it.
    """

    hanging = models.ForeignKey(Hanging, models.PROTECT, related_name="disasters")
    norm_bp = models.PositiveIntegerField(_("usual loss (hundredths of a per cent)"), default=0)
    why = models.CharField(_("what happened"), max_length=200)

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(norm_bp__lt=10_000), name="disaster_norm_below_whole"),
            models.UniqueConstraint(
                fields=["hanging"], condition=Q(undone_at__isnull=True), name="hanging_disaster_once",
                violation_error_message=_("It is already marked as a disaster."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("disaster: %(hanging)s")) % {"hanging": self.hanging}

    def get_absolute_url(self) -> str:
        return self.hanging.get_absolute_url()
