"""Changing a password, and getting in again without one: Django's own pages in our words."""

from django.conf import settings
from django.contrib.auth import views as auth
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse_lazy
from django.views.decorators.cache import never_cache

from .forms import ChangePasswordForm, ForgottenForm, NewPasswordForm


def has_mail() -> bool:
    """Without a mail server messages lie as files, and the pages say so."""
    return bool(settings.EMAIL_HOST)


change = never_cache(
    auth.PasswordChangeView.as_view(
        template_name="groups/password.html",
        form_class=ChangePasswordForm,
        success_url=reverse_lazy("start"),
    )
)
forgotten = auth.PasswordResetView.as_view(
    template_name="groups/password_forgotten.html",
    form_class=ForgottenForm,
    subject_template_name="groups/password_mail_subject.txt",
    email_template_name="groups/password_mail.txt",
    success_url=reverse_lazy("password-sent"),
    extra_context={"has_mail": has_mail},
)
new = auth.PasswordResetConfirmView.as_view(
    template_name="groups/password_new.html",
    form_class=NewPasswordForm,
    post_reset_login=True,
    post_reset_login_backend="django.contrib.auth.backends.ModelBackend",
    reset_url_token="chosen",
    success_url=reverse_lazy("start"),
)


@login_not_required
def sent(request: HttpRequest) -> HttpResponse:
    return render(request, "groups/password_sent.html", {"has_mail": has_mail()})
