"""A whole language, text by text: new texts taken into its .po, texts nobody shows any more taken out.

A place such as en-us keeps only what it says differently (words.py); a whole language keeps every text.
"""

import re
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog, Message
from babel.messages.pofile import write_po
from django.conf import settings
from django.utils.translation import to_locale

from . import words

FILLED = re.compile(r"%\(\w+\)[sd]|%[sd]|\{[^}]*\}|<[^>]*>")  # what a translation must carry over unchanged
PATTERN = re.compile(
    r"""\|(?:date|time):["']([^"']+)["']|(?:date|time)_format\((?:[^"\n]|"(?=[^"\n]*"[^"\n)]*,))*"([^"\n]+)"\)"""
)


def is_whole(language: str) -> bool:
    """Spanish is; English as a place says it is not."""
    return language.split("-")[0] != settings.LANGUAGE_CODE


def patterns() -> set[str]:
    """The orders of a date or time that some page asks for, such as "j F Y"."""
    found: set[str] = set()
    for folder, ends in ((settings.TEMPLATES[0]["DIRS"][0], ".html"), (words.HERE, ".py")):
        for path in Path(folder).rglob(f"*{ends}"):
            found |= {one or other for one, other in PATTERN.findall(path.read_text())}
    return {pattern for pattern in found if "Y-m-d" not in pattern}


def wanted() -> Catalog:
    """Every text of ours and every order of a date, which is all that a language has to say."""
    out = Catalog()
    for message in words.texts():
        if message.id and (message.locations or is_sentence(message.id)):
            out.add(message.id, context=message.context)
    for pattern in sorted(patterns()):
        out.add(pattern, context="date")
    return out


def is_sentence(constant: str) -> bool:
    """A constant of the engine that people read; single words are its codes and keys, tables are its catalogue.

    A label of one word that a figure shows is said by the page that shows it (yards/measure.py).
    """
    return " " in constant.strip() and not any(sign in constant for sign in ("\n", "[", "python -m"))


def standing(language: str) -> Catalog:
    """The .po as it is; for a language that has none yet, an empty one."""
    path = words.folder_of(language) / "django.po"
    return words.written(language) if path.exists() else Catalog(locale=to_locale(language))


def missing(language: str) -> list[Message]:
    """The texts that the language does not say yet."""
    have = {(message.context, message.id) for message in standing(language) if message.id and is_said(message)}
    return [message for message in wanted() if message.id and (message.context, message.id) not in have]


def is_said(message: Message) -> bool:
    forms = message.string if isinstance(message.string, tuple | list) else (message.string,)
    return all(forms)


def gather(language: str) -> tuple[int, int]:
    """Bring the .po up to date and say how many texts wait for a translation and how many were let go."""
    old, new = standing(language), Catalog(locale=to_locale(language), creation_date=words.NEVER, project="conversions")
    new.revision_date, new.fuzzy = words.NEVER, False
    new.header_comment = (
        f"# Every text of ours, in {new.locale.english_name}. `manage.py words --gather` keeps it up to date."
    )
    said = {(message.context, message.id): message.string for message in old if message.id}
    texts = [message for message in wanted() if message.id]
    for message in sorted(texts, key=lambda message: (message.context or "", str(message.id))):
        new.add(message.id, said.get((message.context, message.id)), context=message.context)
    made = BytesIO()
    write_po(made, new, width=0, omit_header=False, no_location=True)
    target = words.folder_of(language) / "django.po"
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_bytes(made.getvalue())
    known = {(message.context, message.id) for message in texts}
    waiting = [message for message in new if message.id and not is_said(message)]
    return len(waiting), len([key for key in said if key not in known])


def faults(language: str) -> list[str]:
    """Translations that lose or invent what is filled in later, or that lack a plural form."""
    out = []
    catalog = standing(language)
    for message in catalog:
        if not message.id or not is_said(message):
            continue
        forms = message.string if isinstance(message.string, tuple | list) else (message.string,)
        asked = message.id if isinstance(message.id, tuple) else (message.id,)
        if len(asked) > 1 and len(forms) != catalog.num_plurals:
            out.append(f"{message.id}: {len(forms)} of {catalog.num_plurals} forms")
        most = set(FILLED.findall(asked[-1]))
        for form in forms:
            if message.context != "date" and set(FILLED.findall(form)) - set(FILLED.findall("".join(asked))):
                out.append(f"{form}: something is filled in that the text does not have")
        if message.context != "date" and set(FILLED.findall(forms[-1])) != most:
            out.append(f"{forms[-1]}: {sorted(most ^ set(FILLED.findall(forms[-1])))}")
    return out
