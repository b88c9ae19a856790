"""What a log line may not tell: the key in the address of a link, and anybody's e-mail."""

import logging
import re

KEYS = re.compile(
    r"(?P<way>(?:/|%2[Ff])(?:p|s|c|join|password(?:/|%2[Ff])new)(?:/|%2[Ff]))(?P<key>[^/\s?\"'&%]+)(?P<more>(?:/|%2[Ff])[\w-]+-[\w-]+)?"
)
E_MAIL = re.compile(r"[\w.+-]+@[\w-]+(?:\.[\w-]+)+")


def mask(text: str) -> str:
    """`mask("Gone: /p/7.Xy_z/") == "Gone: /p/***/"`."""
    return E_MAIL.sub("***@***", KEYS.sub(lambda m: m["way"] + "***" + ("/***" if m["more"] else ""), text))


class Masked(logging.Formatter):
    """A formatter, not a filter: it sees the whole line, the traceback too."""

    def format(self, record: logging.LogRecord) -> str:
        return mask(super().format(record))
