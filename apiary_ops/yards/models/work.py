"""Work and holds: what is to be done by when, and where nothing moves."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from apiary_ops.business.models import Season
from apiary_ops.core.models import Versioned

from .colonies import Colony
from .places import Yard
from .rules import TaskRule


class Task(Versioned):
    """Something to do at a yard or a colony, by a day."""

    yard = models.ForeignKey(Yard, on_delete=models.PROTECT, related_name="tasks")
    colony = models.ForeignKey(Colony, on_delete=models.PROTECT, null=True, blank=True, related_name="tasks")
    season = models.ForeignKey(Season, on_delete=models.PROTECT, related_name="+")
    what = models.CharField(_("what"), max_length=120)
    # Which rule made it, and of what (a Ref such as "look:12"): one thing never makes two tasks by one rule.
    rule = models.CharField(_("kind"), max_length=10, blank=True, choices=TaskRule.Code.choices)
    source = models.CharField(max_length=60, blank=True)
    due_on = models.DateField(_("due on"))
    done_on = models.DateField(_("done on"), null=True, blank=True)
    done_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="a_done_task_says_who",
                condition=Q(done_on__isnull=True, done_by__isnull=True)
                | Q(done_on__isnull=False, done_by__isnull=False),
            ),
            models.UniqueConstraint(
                fields=["source", "rule"], condition=~Q(source=""), name="one_task_of_a_rule_from_a_source"
            ),
        ]

    def __str__(self) -> str:
        return self.what


class Hold(models.Model):
    """A yard or a colony from which nothing moves until the hold ends, with its reason."""

    yard = models.ForeignKey(Yard, on_delete=models.PROTECT, related_name="holds")
    colony = models.ForeignKey(Colony, on_delete=models.PROTECT, null=True, blank=True, related_name="holds")
    reason = models.CharField(_("reason"), max_length=200)
    starts_on = models.DateField(_("from"))
    ended_on = models.DateField(_("ended on"), null=True, blank=True)
    ended_because = models.CharField(_("why it ended"), max_length=200, blank=True)
    placed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="a_hold_ends_after_it_starts",
                condition=Q(ended_on__isnull=True) | Q(ended_on__gte=F("starts_on")),
                violation_error_message=_("A hold cannot end before it starts."),
            ),
        ]

    def __str__(self) -> str:
        return self.reason
