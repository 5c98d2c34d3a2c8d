"""What several doors share."""

from datetime import time

from django.http import HttpRequest
from django.utils.timezone import localtime


def measures(request: HttpRequest) -> dict[str, str]:
    """The units in which people here read thermometers and odometers, for forms."""
    return {
        "temperature_unit": request.business.temperature_unit,
        "distance_unit": request.business.distance_unit,
    }


def this_minute(request: HttpRequest) -> time:
    """The time of day by the business's own clock, to the minute."""
    return localtime(request.now).time().replace(second=0, microsecond=0)
