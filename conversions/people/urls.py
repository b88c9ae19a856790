"""Who is in the group; below /g/<group>/."""

from django.urls import path

from . import members

urlpatterns = [
    path("members/", members.members, name="members"),
    path("members/<int:pk>/roles/", members.member_roles, name="member-roles"),
    path("members/<int:pk>/remove/", members.member_remove, name="member-remove"),
    path("invites/<int:pk>/revoke/", members.invite_revoke, name="invite-revoke"),
    path("leave/", members.leave, name="leave"),
]
