"""Text made comparable: accents off, case folded, spaces single, digits bare; both databases then agree."""

import re
import unicodedata

from django.db.models import Q

LEAST_DIGITS = 4  # fewer are a house number
TAIL = 8  # of a whole number these are compared: +000 12 345 678 and 0 12 345 678 are one telephone
WHOLE = 9


def fold(text: str) -> str:
    """`fold("  Zoë  Ångström ") == "zoe angstrom"`."""
    bare = "".join(c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))
    return re.sub(r"\s+", " ", bare.casefold()).strip()


def address_key(line: str) -> str:
    """An address line without case, accents, punctuation or order of spaces: `address_key("14, Tansy  Row") == "14 tansy row"`."""
    return re.sub(r"[^\w]+", " ", fold(line)).strip()


def digits(text: str) -> str:
    """`digits("(000) 111-222") == "000111222"`, in whatever script they were typed."""
    return "".join(str(unicodedata.decimal(c)) for c in text if c.isdecimal())


def number_in(asked: str) -> str:
    """The digits of what can only be a telephone number; empty for a name or an address."""
    number = digits(asked)
    return number if len(number) >= LEAST_DIGITS and not any(c.isalpha() for c in asked) else ""


def asks(asked: str, *columns: str) -> Q:
    """What rows match: every word stands in one of these folded columns; a number however it is spaced."""
    number = number_in(asked)
    if number:
        wanted = number[-TAIL:] if len(number) >= WHOLE else number
        return _in_any(wanted, columns) | _in_any(fold(asked), columns)
    found = Q()
    for word in fold(asked).split():
        found &= _in_any(word, columns)
    return found


def _in_any(word: str, columns: tuple[str, ...]) -> Q:
    found = Q()
    for column in columns:
        found |= Q(**{f"{column}__contains": word})
    return found
