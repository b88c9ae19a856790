"""Signing in and out; these stand outside /g/."""

from django.contrib.auth.views import LoginView, LogoutView
from django.urls import path

from . import views
from .forms import SignInForm

urlpatterns = [
    path("", views.start, name="start"),
    path(
        "sign-in/",
        LoginView.as_view(
            template_name="groups/sign_in.html", authentication_form=SignInForm, redirect_authenticated_user=True
        ),
        name="sign-in",
    ),
    path("sign-out/", LogoutView.as_view(), name="sign-out"),
]
