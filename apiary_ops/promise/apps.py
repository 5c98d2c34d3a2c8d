from django.apps import AppConfig


class PromiseConfig(AppConfig):
    name = "apiary_ops.promise"
    label = "promise"
