from django.apps import AppConfig


class AllocationConfig(AppConfig):
    name = "apiary_ops.allocation"
    label = "allocation"
