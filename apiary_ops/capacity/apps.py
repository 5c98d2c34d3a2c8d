from django.apps import AppConfig


class CapacityConfig(AppConfig):
    name = "apiary_ops.capacity"
    label = "capacity"
