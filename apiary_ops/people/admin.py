from django.contrib import admin

from .models import User


@admin.register(User)
class UserAdmin(admin.ModelAdmin):
    """A window: people are added and changed on their own pages."""

    list_display = ("username", "full_name", "role", "is_active", "last_login")
    search_fields = ("username", "full_name")
    fields = ("username", "full_name", "role", "is_active", "last_login")

    def has_add_permission(self, request):
        return False

    def has_change_permission(self, request, obj=None):
        return False

    def has_delete_permission(self, request, obj=None):
        return False
