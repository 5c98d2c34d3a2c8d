from django.urls import path

from . import api, views

app_name = "fieldbook"
urlpatterns = [
    path("", views.shell, name="shell"),
    path("worker.js", views.worker, name="worker"),
    path("manifest.webmanifest", views.manifest, name="manifest"),
    path("session/", api.session, name="session"),
    path("yards/", api.yards, name="yards"),
    path("pack/<slug:code>/", api.pack, name="pack"),
    path("records/", api.records, name="records"),
    path("exceptions/", views.exceptions, name="exceptions"),
    path("exceptions/<uuid:key>/", views.settle, name="settle"),
]
