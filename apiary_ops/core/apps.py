from django.apps import AppConfig
from django.db.models.signals import post_migrate, pre_migrate


class CoreConfig(AppConfig):
    name = "apiary_ops.core"
    label = "core"

    def ready(self) -> None:
        from simple_history.signals import pre_create_historical_record

        from . import guards
        from .history import date_by_the_clock

        pre_migrate.connect(guards.lift_before_migrating, sender=self)
        post_migrate.connect(guards.restore_after_migrating, sender=self)
        pre_create_historical_record.connect(date_by_the_clock)
