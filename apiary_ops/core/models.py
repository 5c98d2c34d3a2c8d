import uuid

from django.db import models
from django.utils.translation import gettext_lazy as _


class OnceKey(models.Model):
    """A form or call that was carried out: the key it travelled with, and where its result stands."""

    key = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    purpose = models.CharField(max_length=60)
    result = models.CharField(max_length=200, blank=True)
    claimed_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return f"{self.purpose} {self.key}"


class Versioned(models.Model):
    """A record people edit by hand: its `version` rises with each save, so that a stale form is noticed."""

    version = models.PositiveIntegerField(_("version"), default=1, editable=False)

    class Meta:
        abstract = True
