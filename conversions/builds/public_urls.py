"""Addresses behind a link, for people without an account."""

urlpatterns = []
