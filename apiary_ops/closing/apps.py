from django.apps import AppConfig


class ClosingConfig(AppConfig):
    name = "apiary_ops.closing"
    label = "closing"
