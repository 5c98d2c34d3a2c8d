from django.urls import path

from . import views

app_name = "pickups"
urlpatterns = [
    path("", views.day_list, name="day-list"),
    path("open/", views.open_day, name="day-open"),
    path("days/<int:pk>/", views.day_page, name="day"),
    path("days/<int:pk>/run-sheet.pdf", views.run_sheet, name="run-sheet"),
    path("days/<int:pk>/book/", views.book, name="book"),
    path("bookings/<int:pk>/", views.booking_page, name="booking"),
    path("bookings/<int:pk>/move/", views.move_booking, name="booking-move"),
    path("bookings/<int:pk>/nucs/", views.choose_nucs, name="booking-nucs"),
    path("bookings/<int:pk>/missed/", views.miss_booking, name="booking-miss"),
    path("bookings/<int:pk>/cancel/", views.cancel_booking, name="booking-cancel"),
    path("gate/", views.gate, name="gate"),
    path("gate/<str:number>/", views.hand_over, name="hand-over"),
    path("hand-overs/<int:pk>/", views.handed_over, name="handed"),
]
