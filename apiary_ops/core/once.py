"""Once-keys: a posting form or call carries a key, and a key is carried out once however often it is sent."""

from uuid import UUID

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from apiary_ops.kernel.refusals import RuleBroken

from .models import OnceKey


class AlreadyDone(RuleBroken):
    """The same form was sent before; `result` is where its outcome stands (a URL path or a Ref)."""

    def __init__(self, result: str) -> None:
        super().__init__(_("This was already recorded; nothing was done twice."))
        self.result = result


def claim(key: UUID | None, purpose: str) -> OnceKey | None:
    """Claim `key` inside the caller's transaction, before any other write.

    None means the caller is trusted code that needs no key (commands, tests). Raises AlreadyDone when the key was
    carried out before; a second sender waits for the first one's transaction to end.
    """
    if key is None:
        return None
    try:
        with transaction.atomic():
            return OnceKey.objects.create(key=key, purpose=purpose)
    except IntegrityError:
        done = OnceKey.objects.get(key=key)
        raise AlreadyDone(done.result) from None


def settle(claimed: OnceKey | None, result: str) -> None:
    """Remember where the outcome of a claimed key stands."""
    if claimed is not None:
        claimed.result = result
        claimed.save(update_fields=["result"])
