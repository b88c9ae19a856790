"""Every text of ours, gathered with Babel, and the word list of a place made into a compiled locale.

A place's .po holds only what differs: entries with the context "word" are its word list ("kerb": "curb") and change
every sentence that has the word; entries with the context "date" turn a date round; any other entry is one whole text
said differently, and wins over the list.
"""

import ast
import datetime
import os
import re
from collections.abc import Iterator
from functools import cache
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import DEFAULT_KEYWORDS, extract
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po
from django.conf import settings
from django.utils.translation import to_locale
from django.utils.translation.template import templatize

NEVER = datetime.datetime(2000, 1, 1, tzinfo=datetime.UTC)  # so that the same texts make the same file
HERE = Path(__file__).resolve().parent.parent
KEYWORDS = DEFAULT_KEYWORDS | {
    "gettext_lazy": None,
    "gettext_noop": None,
    "ngettext_lazy": (1, 2),
    "pgettext": ((1, "c"), 2),
    "pgettext_lazy": ((1, "c"), 2),
    "npgettext": ((1, "c"), 2, 3),
}
NAMED = re.compile(r"(%\(\w+\)[sd]|%[sd]|\{[^}]*\}|<[^>]*>)")  # what is filled in later, and is no word of ours
READ = re.compile(r"[^\W\d_]{2}")  # a constant of the engine with a word in it; figures hand it to gettext later


def texts() -> Catalog:
    """Every text that people can read: out of Python, of templates, and of the engine, whose sentences are constants."""
    found = Catalog()
    for path in sorted(HERE.rglob("*.py")):
        source = path.read_text()
        if "migrations" in path.parts:
            continue
        _gather(found, source, path.name)
        if path.parent.name == "sizing":
            for sentence in _sentences(source):
                found.add(sentence)
    for folder in settings.TEMPLATES[0]["DIRS"]:
        for path in sorted([*Path(folder).rglob("*.html"), *Path(folder).rglob("*.txt")]):
            _gather(found, templatize(path.read_text(), origin=str(path)), path.name)
    return found


def _gather(found: Catalog, source: str, name: str) -> None:
    for line, message, context in _extracted(source):
        found.add(message, locations=[(name, line)], context=context)


@cache
def _extracted(source: str) -> list[tuple]:
    """(line, message, context) of every text in a source; read once while a program runs."""
    rows = extract("python", BytesIO(source.encode()), KEYWORDS)
    return [
        (line, message, context)
        for line, message, _comments, context in rows
        if message and (message[0] if isinstance(message, tuple) else message)
    ]


def _sentences(source: str) -> Iterator[str]:
    """Constants with words in a module of the engine: labels, formulas and sentences, not its documentation."""
    tree = ast.parse(source)
    notes = {
        node.body[0].value
        for node in ast.walk(tree)
        if isinstance(node, (ast.Module, ast.ClassDef, ast.FunctionDef)) and isinstance(node.body[0], ast.Expr)
    }
    for node in ast.walk(tree):
        is_text = isinstance(node, ast.Constant) and isinstance(node.value, str) and node not in notes
        if is_text and READ.search(node.value):
            yield node.value


def folder_of(language: str) -> Path:
    return Path(settings.LOCALE_PATHS[0]) / to_locale(language) / "LC_MESSAGES"


def written(language: str) -> Catalog:
    """What stands in the .po of a place or a language."""
    with open(folder_of(language) / "django.po", "rb") as file:
        return read_po(file, locale=to_locale(language))


def word_list(by_hand: Catalog) -> dict[str, str]:
    return {message.id: message.string for message in by_hand if message.id and message.context == "word"}


def said(text: str, words: dict[str, str]) -> str:
    """`said("Kerb and kerbs, %(kerb)s", {"kerb": "curb", "kerbs": "curbs"}) == "Curb and curbs, %(kerb)s"`."""
    if not words:
        return text
    known = re.compile(rf"(?<![\w-])({'|'.join(sorted(map(re.escape, words), key=len, reverse=True))})(?![\w-])", re.I)
    parts = NAMED.split(text)
    parts[::2] = [known.sub(lambda found: _as(found[0], words[found[0].lower()]), part) for part in parts[::2]]
    return "".join(parts)


def _as(model: str, word: str) -> str:
    """The word in capitals, with a capital, or as it is, like the one it stands for."""
    if model.isupper() and len(model) > 1:
        return word.upper()
    return word[0].upper() + word[1:] if model[0].isupper() else word


def variant(language: str) -> Catalog:
    """The place's own entries, and every text of ours that its word list changes."""
    by_hand = written(language)
    words = word_list(by_hand)
    own = [message for message in by_hand if message.id and message.context != "word"]
    taken = {(message.context, message.id) for message in own}
    out = Catalog(locale=to_locale(language), creation_date=NEVER, revision_date=NEVER)
    for message in texts() if words else ():
        if not message.id or (message.context, message.id) in taken:
            continue
        was = message.id if isinstance(message.id, tuple) else (message.id,)
        now = tuple(said(text, words) for text in was)
        if now != was:
            out.add(message.id, now if len(now) > 1 else now[0], context=message.context)
    for message in own:
        out.add(message.id, message.string, context=message.context)
    return out


def languages() -> list[str]:
    """The languages that have a list of their own; the plain one is the text itself."""
    return [code for code, _name in settings.LANGUAGES if folder_of(code).is_dir()]


def compile_one(language: str) -> int:
    """Write the .mo of one place; how many texts differ there."""
    catalog = variant(language)
    target = folder_of(language) / "django.mo"
    fresh = BytesIO()
    write_mo(fresh, catalog)
    if not target.exists() or target.read_bytes() != fresh.getvalue():
        part = target.with_suffix(f".{os.getpid()}.part")
        part.write_bytes(fresh.getvalue())
        part.replace(target)  # whoever reads it meanwhile reads the old one or the new one, never half
    return len([message for message in catalog if message.id])
