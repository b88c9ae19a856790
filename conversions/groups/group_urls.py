"""The group's own page; below /g/<group>/."""

from django.urls import path

from . import views

urlpatterns = [
    path("group/", views.group_edit, name="group-edit"),
    path("group/uses/", views.uses, name="uses"),
]
