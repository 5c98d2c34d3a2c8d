from django.urls import URLPattern

app_name = "business"
urlpatterns: list[URLPattern] = []
