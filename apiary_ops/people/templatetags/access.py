"""{% if user|may_open:"orders:add" %} … a page shows only the doors its reader may open."""

from typing import Any

from django import template

from apiary_ops.people import access

register = template.Library()


@register.filter
def may_open(user: Any, page: str) -> bool:
    return user.is_authenticated and access.may_open(user.role, page)
