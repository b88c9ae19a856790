"""Addresses of signing up behind a link, for people without an account."""

from django.urls import path

from . import public

urlpatterns = [path("<str:token>/", public.sign_up, name="sign-up-public")]
