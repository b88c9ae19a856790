"""Signing in."""

from django.contrib.auth.forms import AuthenticationForm
from django.utils.translation import gettext_lazy as _


class SignInForm(AuthenticationForm):
    error_messages = {
        "invalid_login": _("This e-mail and password don't go together. Mind capital letters."),
        "inactive": _("This account is switched off."),
    }
