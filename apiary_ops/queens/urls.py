from django.urls import path

from . import views

app_name = "queens"
urlpatterns = [
    path("", views.overview, name="overview"),
    path("orders/add/", views.add_order, name="order-add"),
    path("orders/<int:pk>/", views.order_page, name="order"),
    path("orders/<int:pk>/edit/", views.edit_order, name="order-edit"),
    path("orders/<int:pk>/cancel/", views.cancel_order, name="order-cancel"),
    path("orders/<int:pk>/receive/", views.receive, name="receive"),
    path("lots/<str:code>/", views.lot_page, name="lot"),
    path("lots/<str:code>/dead/", views.record_dead, name="dead"),
]
