"""Addresses of build days, below /g/<group>/."""

from django.urls import path

from . import correcting, presses, views

urlpatterns = [
    path("days/", views.days, name="days"),
    path("days/new/", views.new, name="day-new"),
    path("days/<int:pk>/", views.day, name="day"),
    path("days/<int:pk>/edit/", views.edit, name="day-edit"),
    path("days/<int:pk>/state/", presses.state, name="day-state"),
    path("days/<int:pk>/ready/", presses.ready, name="day-ready"),
    path("days/<int:pk>/helpers/", presses.helpers, name="day-helpers"),
    path("days/<int:pk>/photos/", presses.photos, name="day-photo"),
    path("days/<int:pk>/came/", presses.came, name="day-came"),
    path("days/<int:pk>/patches/<int:patch_pk>/built/", presses.built, name="day-built"),
    path("days/<int:pk>/ground/<int:ground_pk>/correct/", correcting.correct, name="ground-correct"),
    path("days/<int:pk>/crew-sheet.pdf", presses.crew_sheet, name="crew-sheet"),
]
