from django.urls import path

from . import views

app_name = "yards"
urlpatterns = [
    path("", views.yard_list, name="list"),
    path("add/", views.add_yard, name="add"),
    path("at/<slug:code>/", views.yard_page, name="detail"),
    path("at/<slug:code>/edit/", views.edit_yard, name="edit"),
    path("at/<slug:code>/colonies/add/", views.add_colony, name="colony-add"),
    path("at/<slug:code>/visits/start/", views.start_visit, name="visit-start"),
    path("at/<slug:code>/tasks/add/", views.add_task, name="task-add"),
    path("at/<slug:code>/holds/add/", views.place_hold, name="hold-add"),
    path("at/<slug:code>/no-go/add/", views.add_no_go, name="no-go-add"),
    path("at/<slug:code>/certificates/add/", views.record_certificate, name="certificate-add"),
    path("at/<slug:code>/fence/", views.check_fence, name="fence-check"),
    path("no-go/<int:pk>/remove/", views.remove_no_go, name="no-go-remove"),
    path("certificates/<int:pk>/", views.correct_certificate, name="certificate"),
    path("colonies/<str:tag>/", views.colony_page, name="colony"),
    path("colonies/<str:tag>/edit/", views.edit_colony, name="colony-edit"),
    path("colonies/<str:tag>/move/", views.move_colony, name="colony-move"),
    path("colonies/<str:tag>/purpose/", views.set_purpose, name="colony-purpose"),
    path("colonies/<str:tag>/end/", views.end_colony, name="colony-end"),
    path("visits/", views.visit_list, name="visit-list"),
    path("visits/<int:pk>/", views.visit_page, name="visit"),
    path("visits/<int:pk>/edit/", views.edit_visit, name="visit-edit"),
    path("visits/<int:pk>/looks/<str:tag>/", views.look, name="look"),
    path("visits/<int:pk>/stop/", views.stop_work, name="stop"),
    path("tasks/", views.task_list, name="task-list"),
    path("tasks/<int:pk>/finish/", views.finish_task, name="task-finish"),
    path("tasks/<int:pk>/reopen/", views.reopen_task, name="task-reopen"),
    path("holds/", views.hold_list, name="hold-list"),
    path("holds/<int:pk>/lift/", views.lift_hold, name="hold-lift"),
    path("rules/", views.rules_page, name="rules"),
    path("rules/change/", views.change_rules, name="rules-change"),
]
