"""How often a thing may be asked for from one place. Each server process counts for itself; signing in is counted by axes."""

from django.core.cache import cache


def too_often(what: str, who: str, *, most: int, seconds: int = 3600) -> bool:
    """Count this time; true where `who` has asked for `what` more than `most` times within `seconds`."""
    key = f"throttle:{what}:{who.casefold()[:120]}".replace(" ", "_")
    if cache.add(key, 1, seconds):
        return most < 1
    try:
        return cache.incr(key) > most
    except ValueError:  # it ran out between the two lines
        return False
