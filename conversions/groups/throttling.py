"""Whose wrong passwords are counted together: the e-mail as typed, whatever its capitals."""

from django.http import HttpRequest


def whose(request: HttpRequest, credentials: dict | None = None) -> str:
    """The name that axes counts by. Without it every try would be counted for nobody, and a lock would hold nobody out."""
    told = (credentials or {}).get("username") or (credentials or {}).get("email") or request.POST.get("username", "")
    return told.strip().lower()[:255]
