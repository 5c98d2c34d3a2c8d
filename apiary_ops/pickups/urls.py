from django.urls import URLPattern

app_name = "pickups"
urlpatterns: list[URLPattern] = []
