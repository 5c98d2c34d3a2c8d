from django.contrib.auth.decorators import login_not_required
from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe


@login_not_required
@require_safe
def live(request: HttpRequest) -> HttpResponse:
    """The process answers."""
    return HttpResponse("live\n", content_type="text/plain")


@login_not_required
@require_safe
def ready(request: HttpRequest) -> HttpResponse:
    """The database answers and is migrated; a load balancer sends work only then."""
    try:
        executor = MigrationExecutor(connection)
        waiting = executor.migration_plan(executor.loader.graph.leaf_nodes())
    except DatabaseError:
        return HttpResponse("the database does not answer\n", content_type="text/plain", status=503)
    if waiting:
        return HttpResponse("migrations are waiting\n", content_type="text/plain", status=503)
    return HttpResponse("ready\n", content_type="text/plain")
