from django.urls import URLPattern

app_name = "closing"
urlpatterns: list[URLPattern] = []
