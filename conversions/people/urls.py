"""Who is in the group, and everybody we know; below /g/<group>/."""

from django.urls import path

from . import group_history, members, numbers, persons

urlpatterns = [
    path("members/", members.members, name="members"),
    path("members/<int:pk>/roles/", members.member_roles, name="member-roles"),
    path("members/<int:pk>/remove/", members.member_remove, name="member-remove"),
    path("invites/<int:pk>/revoke/", members.invite_revoke, name="invite-revoke"),
    path("history/", group_history.history, name="history"),
    path("numbers/", numbers.numbers, name="numbers"),
    path("leave/", members.leave, name="leave"),
    path("people/", persons.people, name="people"),
    path("people/<int:pk>/", persons.person, name="person"),
    path("people/<int:pk>/edit/", persons.edit, name="person-edit"),
    path("people/<int:pk>/consents/", persons.consent, name="person-consent"),
]
