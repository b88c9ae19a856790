"""Takes values out of a document and collects every problem, each with its place, instead of stopping at the first."""

import math
from collections.abc import Callable

from .problems import Problem, Where

MOST = 300  # corners, beds, patches: more is a broken file, not a yard
LIMIT_M = 1e5  # beyond this a number is a slip of the finger, not a place


class Reader:
    """Takes values out of a document and collects every problem, each with its place."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []

    def fail(self, code: str, uid: str, part: str, message: str, **values: object) -> None:
        """Note a problem at a field; `values` fill the message."""
        self.problems.append(Problem(code, Where(uid, part), message, {"field": part, **values}))

    def number(self, row: dict, key: str, uid: str, default: float | None = None, least: float | None = None) -> float:
        """A finite number, rounded to 1 mm; 0 where there is none."""
        value = row.get(key, default)
        is_number = isinstance(value, (int, float)) and not isinstance(value, bool)
        if not is_number or (isinstance(value, float) and not math.isfinite(value)):
            self.fail("not-a-number", uid, key, "{field} must be a number.")
            return 0.0
        if abs(value) > LIMIT_M:
            self.fail("too-large", uid, key, "{field} is larger than any yard.")
            return 0.0
        if least is not None and value < least:
            self.fail(
                "negative", uid, key, "{field} is {value}; it may not be less than {least}.", value=value, least=least
            )
        return round(float(value), 3) + 0.0

    def size(self, row: dict, key: str, uid: str, default: float | None = None) -> float:
        """A number above zero."""
        value = self.number(row, key, uid, default, least=0)
        if value == 0 and not any(p.where == Where(uid, key) for p in self.problems):
            self.fail("zero-size", uid, key, "{field} is 0; it needs a size.")
        return value

    def share(self, row: dict, key: str, uid: str, default: float | None, most: float) -> float | None:
        """A part of one, at most `most`; None stays None."""
        if row.get(key, default) is None:
            return None
        value = self.number(row, key, uid, default, least=0)
        if value > most:
            message = "{field} is {value}; it may not be more than {most}."
            self.fail("too-large", uid, key, message, value=value, most=most)
        return value

    def word(self, row: dict, key: str, uid: str, known: tuple[str, ...], default: str | None = None) -> str:
        """One of the known words; the first of them where it is not."""
        value = row.get(key, default)
        if value not in known:
            shown = ", ".join(known)
            self.fail(
                "unknown-word", uid, key, "{field} is {value!r}; it must be one of: {known}.", value=value, known=shown
            )
            return known[0]
        return value

    def text(self, row: dict, key: str, uid: str = "", default: str = "") -> str:
        """Words; none where there are none."""
        value = row.get(key, default)
        if value is None or not isinstance(value, str):
            self.fail("not-text", uid, key, "{field} must be words.")
            return ""
        return value

    def dict(self, row: dict, key: str, uid: str = "") -> dict:
        """A group of named values; an empty one where there is none."""
        value = row.get(key) or {}
        if not isinstance(value, dict):
            self.fail("not-an-object", uid, key, "{field} must be a group of named values.")
            return {}
        return value

    def each(self, row: dict, key: str, read: Callable, uid: str = "") -> tuple:
        """Every entry of a list, read one by one."""
        value = row.get(key) or []
        if not isinstance(value, (list, tuple)) or not all(isinstance(item, dict) for item in value):
            self.fail("not-a-list", uid, key, "{field} must be a list of named values.")
            return ()
        if len(value) > MOST:
            self.fail(
                "too-many",
                uid,
                key,
                "{field} has {count} entries; at most {most} can be read.",
                count=len(value),
                most=MOST,
            )
            return ()
        return tuple(read(self, item) for item in value)
