from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from apiary_ops.business.models import Season
from apiary_ops.kernel.weeks import Week
from apiary_ops.nucs.models import Nuc, NucKind
from apiary_ops.orders.models import Line


class Plan(models.Model):
    """Who gets how many of what in which week: a proposal until accepted; one accepted plan stands per season."""

    season = models.ForeignKey(Season, on_delete=models.PROTECT, related_name="plans")
    made_at = models.DateTimeField(_("made"))
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    stamps = models.JSONField()
    accepted_at = models.DateTimeField(_("accepted"), null=True, blank=True)
    accepted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    is_standing = models.BooleanField(_("stands"), default=False)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["season"], condition=Q(is_standing=True), name="one_plan_stands_a_season"),
            models.CheckConstraint(
                name="a_standing_plan_was_accepted", condition=Q(is_standing=False) | Q(accepted_at__isnull=False)
            ),
        ]

    def __str__(self) -> str:
        return f"plan {self.pk}"


class Place(models.Model):
    """What a plan gives a line from one supply in one week, or how many it leaves it short, with the sentence."""

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="places")
    line = models.ForeignKey(Line, on_delete=models.PROTECT, related_name="places")
    kind = models.ForeignKey(NucKind, on_delete=models.PROTECT, null=True, related_name="+")
    week = models.DateField(_("week"), null=True, blank=True)
    quantity = models.PositiveIntegerField(_("nucs"), default=0)
    short = models.PositiveIntegerField(_("short"), default=0)
    supply = models.CharField(_("from"), max_length=80, blank=True)
    reason = models.CharField(_("why"), max_length=300)
    # Why the line's pin could not be kept; empty where it was, or where there is none.
    pin_refusal = models.CharField(_("why the pin fails"), max_length=300, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="a_place_gives_or_says_short",
                condition=Q(quantity__gt=0, short=0, week__isnull=False, kind__isnull=False)
                | Q(quantity=0, short__gt=0, week__isnull=True, kind__isnull=True),
            ),
        ]
        indexes = [models.Index(fields=["plan", "line"], name="place_plan_line")]

    def __str__(self) -> str:
        return self.reason


class Pin(models.Model):
    """A place fixed by hand: the plan gives it first, or says why it cannot."""

    line = models.OneToOneField(Line, on_delete=models.PROTECT, related_name="pin")
    week = models.DateField(_("week"))
    kind = models.ForeignKey(NucKind, on_delete=models.PROTECT, related_name="+")
    reason = models.CharField(_("reason"), max_length=200)
    pinned_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    history = HistoricalRecords()

    def __str__(self) -> str:
        return self.reason

    @property
    def label(self) -> str:
        return Week(self.week).label


class Binding(models.Model):
    """A numbered nuc given to a line at loading. At most one is live per nuc; a released one stays for the record."""

    nuc = models.ForeignKey(Nuc, on_delete=models.PROTECT, related_name="bindings")
    line = models.ForeignKey(Line, on_delete=models.PROTECT, related_name="bindings")
    bound_at = models.DateTimeField(_("bound"))
    bound_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    released_at = models.DateTimeField(_("released"), null=True, blank=True)
    release_reason = models.CharField(_("why released"), max_length=200, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["nuc"],
                condition=Q(released_at__isnull=True),
                name="a_nuc_is_given_once",
                violation_error_message=_("This nuc is already given to another order."),
            ),
            models.CheckConstraint(
                name="a_released_nuc_says_why",
                condition=Q(released_at__isnull=True, release_reason="")
                | (Q(released_at__isnull=False) & ~Q(release_reason="")),
            ),
        ]
        indexes = [models.Index(fields=["line"], name="binding_line")]

    def __str__(self) -> str:
        return f"{self.nuc_id} to {self.line_id}"
