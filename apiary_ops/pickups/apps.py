from django.apps import AppConfig


class PickupsConfig(AppConfig):
    name = "apiary_ops.pickups"
    label = "pickups"
