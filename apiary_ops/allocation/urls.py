from django.urls import URLPattern

app_name = "allocation"
urlpatterns: list[URLPattern] = []
