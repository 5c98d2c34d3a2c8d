from django.apps import AppConfig


class NucsConfig(AppConfig):
    name = "apiary_ops.nucs"
    label = "nucs"
