from django.apps import AppConfig


class CostsConfig(AppConfig):
    name = "apiary_ops.costs"
    label = "costs"
