from django.urls import URLPattern

app_name = "yards"
urlpatterns: list[URLPattern] = []
