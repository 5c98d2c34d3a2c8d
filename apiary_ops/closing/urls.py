from django.urls import path

from . import views

app_name = "closing"
urlpatterns = [
    path("", views.proofs, name="proofs"),
]
