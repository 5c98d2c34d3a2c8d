from django.apps import AppConfig


class MarginConfig(AppConfig):
    name = "apiary_ops.margin"
    label = "margin"
