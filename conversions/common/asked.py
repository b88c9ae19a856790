"""What a request carries as text, read without trust."""

from uuid import UUID


def whole(text: str | None) -> int | None:
    """A whole number of at most nine digits, such as a row's id or revision; None for anything else."""
    return int(text) if text and text.isascii() and text.isdecimal() and len(text) < 10 else None


def uid_of(text: str | None) -> UUID | None:
    """The uid that a page or a phone made; None for anything else."""
    try:
        return UUID(text or "")
    except ValueError:
        return None
