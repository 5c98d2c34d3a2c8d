from django.apps import AppConfig


class QueensConfig(AppConfig):
    name = "apiary_ops.queens"
    label = "queens"
