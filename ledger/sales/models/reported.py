"""What the customer reports of a parcel on sale or return."""

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import Fact
from ledger.stock.models import Movement

from .orders import AskedChange, Dispatch, HandedOver, OrderLine, Parcel


class Reported(Fact):
    """A report of a parcel handed over: what was sold (`dispatch`, NULL: nothing), what came back, what is still there.

    The parcel is closed by it; what is still with the customer goes on in another (`goes_on_in`, NULL: nothing is).
    """

    handed_over = models.ForeignKey(HandedOver, models.PROTECT, related_name="reports")
    dispatch = models.OneToOneField(Dispatch, models.PROTECT, null=True, blank=True, related_name="report")
    goes_on_in = models.OneToOneField(Parcel, models.PROTECT, null=True, blank=True, related_name="goes_on_from")

    class Meta(Fact.Meta):
        abstract = False
        verbose_name_plural = _("reports")
        constraints = [
            *Fact.Meta.constraints,
            models.UniqueConstraint(
                fields=["handed_over"], condition=Q(undone_at__isnull=True), name="handed_over_reported_once",
                violation_error_message=_("That parcel was reported on already; go on from the one that followed it."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("Report of parcel %(parcel)s, %(on)s")) % {"parcel": self.handed_over.parcel, "on": self.on}

    def get_absolute_url(self) -> str:
        return self.handed_over.parcel.order.get_absolute_url()


class ReportedBack(models.Model):
    """Bunches brought back: the row of the stock book that took them out of the parcel; they are asked for no longer."""

    part_of = "report"
    report = models.ForeignKey(Reported, models.PROTECT, related_name="back")
    order_line = models.ForeignKey(OrderLine, models.PROTECT, related_name="reported_back")
    bunches = models.PositiveIntegerField(_("bunches"), validators=[MinValueValidator(1)])
    taken = models.OneToOneField(Movement, models.PROTECT, related_name="reported_back")
    asked_change = models.OneToOneField(AskedChange, models.PROTECT, related_name="reported_back")

    class Meta:
        ordering = ["pk"]
