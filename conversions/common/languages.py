"""Which language somebody reads, of those whose words we have."""

from django.conf import settings


def first_known(*codes: str) -> str:
    """The first of these languages that we have the words of; where it is none of them, ours."""
    known = dict(settings.LANGUAGES)
    return next((code for code in codes if code in known), settings.LANGUAGE_CODE)
