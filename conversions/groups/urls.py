"""Signing in and out, passwords, dusk and one's language; these stand outside /g/."""

from django.contrib.auth import views as auth
from django.urls import path

from . import passwords, views
from .forms import SignInForm

urlpatterns = [
    path("", views.start, name="start"),
    path(
        "sign-in/",
        auth.LoginView.as_view(
            template_name="groups/sign_in.html",
            authentication_form=SignInForm,
            redirect_authenticated_user=True,
            extra_context={"may_start": views.may_start},
        ),
        name="sign-in",
    ),
    path("sign-out/", auth.LogoutView.as_view(), name="sign-out"),
    path("password/", passwords.change, name="password"),
    path("password/forgotten/", passwords.forgotten, name="password-forgotten"),
    path("password/forgotten/sent/", passwords.sent, name="password-sent"),
    path("password/new/<uidb64>/<token>/", passwords.new, name="password-new"),
    path("look/", views.look, name="look"),
    path("language/", views.speak, name="speak"),
]
