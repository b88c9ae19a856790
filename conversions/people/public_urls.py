"""Coming in; these stand outside /g/ and need no account."""

from django.urls import path

from . import joining

urlpatterns = [
    path("start/", joining.group_start, name="group-start"),
    path("join/<str:token>/", joining.join, name="join"),
]
