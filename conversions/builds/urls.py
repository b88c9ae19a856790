"""Addresses of build days, below /g/<group>/."""

from django.urls import path

from . import views

urlpatterns = [
    path("days/", views.days, name="days"),
    path("days/new/", views.new, name="day-new"),
    path("days/<int:pk>/", views.day, name="day"),
    path("days/<int:pk>/edit/", views.edit, name="day-edit"),
    path("days/<int:pk>/state/", views.state, name="day-state"),
    path("days/<int:pk>/ready/", views.ready, name="day-ready"),
    path("days/<int:pk>/helpers/", views.helpers, name="day-helpers"),
    path("days/<int:pk>/came/", views.came, name="day-came"),
    path("days/<int:pk>/patches/<int:patch_pk>/built/", views.built, name="day-built"),
    path("days/<int:pk>/crew-sheet.pdf", views.crew_sheet, name="crew-sheet"),
]
