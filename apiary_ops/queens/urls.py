from django.urls import URLPattern

app_name = "queens"
urlpatterns: list[URLPattern] = []
