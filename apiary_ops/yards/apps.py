from django.apps import AppConfig


class YardsConfig(AppConfig):
    name = "apiary_ops.yards"
    label = "yards"
