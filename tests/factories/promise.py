"""Room to promise: the database refuses a promise beyond what is released for its round and kind."""

from apiary_ops.nucs.models import NucKind
from apiary_ops.orders.models import Round
from apiary_ops.promise.models import Release


def make_room(round_: Round, kind: NucKind, nucs: int = 100) -> Release:
    """Release `nucs` more of a kind in a round."""
    release, _ = Release.objects.get_or_create(round=round_, kind=kind)
    release.released += nucs
    release.save(update_fields=["released"])
    return release
