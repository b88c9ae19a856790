"""Addresses behind a link, for people without an account."""

from django.urls import path

from . import public

urlpatterns = [
    path("<str:token>/", public.care, name="care-public"),
    path("<str:token>/sheet.pdf", public.care_paper, name="care-public-paper"),
]
