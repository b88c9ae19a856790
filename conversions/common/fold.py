"""Text made comparable: accents off, case folded, spaces single; both databases then agree."""

import re
import unicodedata


def fold(text: str) -> str:
    """`fold("  Zoë  Ångström ") == "zoe angstrom"`."""
    bare = "".join(c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))
    return re.sub(r"\s+", " ", bare.casefold()).strip()


def address_key(line: str) -> str:
    """An address line without case, accents, punctuation or order of spaces: `address_key("14, Tansy  Row") == "14 tansy row"`."""
    return re.sub(r"[^\w]+", " ", fold(line)).strip()
