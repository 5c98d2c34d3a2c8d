"""What nucs know of records below them: the frames a colony gave, the batches a lot of queens went into."""

from django.http import HttpRequest
from django.utils.translation import gettext as _

from apiary_ops.core.panels import Panel
from apiary_ops.queens.models import Lot
from apiary_ops.yards.models import Colony

from . import queries


def frames_given(request: HttpRequest, colony: Colony) -> Panel | None:
    """On a colony's page: what it gave on split days, if it ever did."""
    rows = list(queries.given_by_colony(colony.pk))
    if not rows:
        return None
    return Panel(
        key="frames-given",
        heading=_("Frames given to nucs"),
        template="nucs/_given.html",
        context={"rows": rows},
    )


def batches_of_lot(request: HttpRequest, lot: Lot) -> Panel | None:
    """On a lot's page: the batches its queens went into first."""
    rows = list(queries.batches_with_queens_of(lot.pk))
    if not rows:
        return None
    return Panel(
        key="batches-of-lot",
        heading=_("Batches with its queens"),
        template="nucs/_batches_of_lot.html",
        context={"rows": rows},
        note=_("Nucs requeened one by one stand under where they went."),
    )
