"""Addresses of this part."""

from django.urls import path

from . import layout, queue, views

urlpatterns = [
    path("yards/<int:pk>/visit/", views.book, name="visit-book"),
    path("yards/<int:pk>/plan/patches/<uuid:uid>/layout/", layout.lay_out, name="plan-layout"),
    path("visits/<int:pk>/", views.visit, name="visit"),
    path("visits/<int:pk>/entries/", views.answer, name="visit-answer"),
    path("visits/<int:pk>/photos/", views.photo, name="visit-photo"),
    path("visits/<int:pk>/queue/", queue.queue, name="visit-queue"),
    path("visits/<int:pk>/offline/", queue.offline, name="visit-offline"),
    path("visits/<int:pk>/done/", views.done, name="visit-done"),
]
