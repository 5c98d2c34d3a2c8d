"""What nucs know of records below them: the frames a colony gave."""

from django.http import HttpRequest
from django.utils.translation import gettext as _

from apiary_ops.core.panels import Panel
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
