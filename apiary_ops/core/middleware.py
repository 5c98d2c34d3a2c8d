"""What every request is refused for, before anything is read."""

from collections.abc import Callable

from django.core.exceptions import BadRequest
from django.http import HttpRequest, HttpResponse


class NoNulMiddleware:
    """An address that holds the character NUL is answered with 400: PostgreSQL cannot be asked about one.

    Forms refuse it in their own fields.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if "\0" in request.path_info or "%00" in request.META.get("QUERY_STRING", ""):
            raise BadRequest("The address holds the character NUL.")
        return self.get_response(request)
