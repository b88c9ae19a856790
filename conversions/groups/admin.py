"""The operator's own pages, for what no group page offers yet."""

from django.contrib import admin

from .models import Group, Member, User


@admin.register(User)
class UserAdmin(admin.ModelAdmin):
    list_display = ["email", "name", "is_active"]
    search_fields = ["email", "name"]
    exclude = ["password"]


@admin.register(Group)
class GroupAdmin(admin.ModelAdmin):
    list_display = ["name", "slug", "zone"]


@admin.register(Member)
class MemberAdmin(admin.ModelAdmin):
    list_display = ["user", "group", "is_organiser", "is_visitor", "is_lead", "is_reader", "ended_on"]

    def get_queryset(self, request):
        return Member.everywhere.select_related("user", "group")
