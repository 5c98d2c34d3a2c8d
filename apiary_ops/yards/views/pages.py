"""What several doors share."""

from django.http import HttpRequest


def measures(request: HttpRequest) -> dict[str, str]:
    """The units in which people here read thermometers and odometers, for forms."""
    return {
        "temperature_unit": request.business.temperature_unit,
        "distance_unit": request.business.distance_unit,
    }
