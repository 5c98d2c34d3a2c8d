from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_safe

from . import queries


@require_safe
def home(request: HttpRequest) -> HttpResponse:
    items = queries.today_items(request.season, request.today, request.user.role)
    steps = queries.first_steps(request.season, request.user.role)
    context = {
        "late": [item for item in items if item.tone == "broken"],
        "short": [item for item in items if item.tone == "mind"],
        "due": [item for item in items if item.tone == ""],
        "steps": [] if all(step["is_done"] for step in steps) else steps,
    }
    return render(request, "desk/home.html", context)


@require_safe
def search(request: HttpRequest) -> HttpResponse:
    """One hit opens at once; several are listed."""
    words = request.GET.get("q", "")
    hits = queries.search(words, season=request.season, role=request.user.role)
    if len(hits) == 1:
        return redirect(hits[0].url)
    return render(request, "desk/search.html", {"words": words, "hits": hits})
