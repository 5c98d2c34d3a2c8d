"""An invented season, built through the services people use: nothing in it is written past a rule."""

from django.utils import timezone

from . import delivery, ground, results, spring, winter
from .scenario import SIZES, Scenario

__all__ = ["SIZES", "Scenario", "build", "results"]


def build(scenario: Scenario) -> None:
    """The whole season in the order of the work, as far as the scenario's today."""
    with timezone.override(scenario.data["business"]["time_zone"]):
        for heading, act in (
            ("Autumn: terms, prices, yards, colonies", ground.lay),
            ("Winter: bills, queens booked, orders, deposits", winter.pass_winter),
            ("Spring: looks, forecast, promises, nucs, checks", spring.grow),
            ("Delivery: plan, pickup days, hand-overs", delivery.deliver),
        ):
            scenario.say(heading)
            act(scenario)
