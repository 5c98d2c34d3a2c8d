"""The addresses of the whole desk: composition only, each app keeps its own."""

from django.contrib import admin
from django.urls import include, path

urlpatterns = [
    path("", include("apiary_ops.desk.urls")),
    path("", include("apiary_ops.core.urls")),
    path("", include("apiary_ops.people.urls")),
    path("", include("apiary_ops.business.urls")),
    path("field/", include("apiary_ops.fieldbook.urls")),
    path("tables/", include("apiary_ops.sheets.urls")),
    path("yards/", include("apiary_ops.yards.urls")),
    path("books/", include("apiary_ops.books.urls")),
    path("costs/", include("apiary_ops.costs.urls")),
    path("queens/", include("apiary_ops.queens.urls")),
    path("nucs/", include("apiary_ops.nucs.urls")),
    path("orders/", include("apiary_ops.orders.urls")),
    path("billing/", include("apiary_ops.billing.urls")),
    path("capacity/", include("apiary_ops.capacity.urls")),
    path("promise/", include("apiary_ops.promise.urls")),
    path("allocation/", include("apiary_ops.allocation.urls")),
    path("pickups/", include("apiary_ops.pickups.urls")),
    path("margin/", include("apiary_ops.margin.urls")),
    path("closing/", include("apiary_ops.closing.urls")),
    path("records/", admin.site.urls),
]
