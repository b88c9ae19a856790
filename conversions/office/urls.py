"""Addresses of this part."""

from django.urls import path

from . import views

urlpatterns = [
    path("", views.week, name="week"),
    path("days/<int:pk>/close/", views.close, name="day-close"),
]
