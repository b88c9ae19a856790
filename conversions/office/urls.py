"""Addresses of this part."""

from django.urls import path

from . import desk, views

urlpatterns = [
    path("", views.week, name="week"),
    path("search/", desk.search, name="search"),
    path("people/<int:pk>/all/", desk.person_all, name="person-all"),
    path("days/<int:pk>/close/", views.close, name="day-close"),
]
