"""Addresses of this part."""

from django.urls import path

from . import views

urlpatterns = [
    path("tally/", views.tally, name="tally"),
    path("tally/ground.csv", views.ground_csv, name="tally-csv"),
]
