"""A whole language: nothing is left unsaid, nothing is lost on the way, and a third one can be added."""

import ast
import datetime

import pytest
from django.conf import settings as live
from django.core.management import call_command
from django.utils import dates, translation
from django.utils.translation import trans_real

from conversions.common import gather, words
from conversions.common.dates import date_format
from conversions.common.measures import number

WHOLE = [code for code, _name in live.LANGUAGES if gather.is_whole(code)]


def test_spanish_is_a_whole_language_and_a_place_is_not():
    assert WHOLE == ["es"]
    assert not gather.is_whole("en-us")


@pytest.mark.parametrize("language", WHOLE)
def test_a_whole_language_says_every_text(language):
    assert [message.id for message in gather.missing(language)] == []


@pytest.mark.parametrize("language", WHOLE)
def test_no_translation_loses_or_invents_what_is_filled_in(language):
    assert gather.faults(language) == []


@pytest.mark.parametrize("language", WHOLE)
def test_no_text_is_kept_that_nobody_shows(language):
    known = {(message.context, message.id) for message in gather.wanted()}
    kept = {(message.context, message.id) for message in words.written(language) if message.id}
    assert kept - known == set()


def test_dates_and_numbers_stand_as_spanish_writes_them():
    with translation.override("es"):
        assert date_format(datetime.date(2026, 5, 9), "j F Y") == "9 de mayo de 2026"
        assert date_format(datetime.date(2026, 5, 9), "D j M") == "sáb 9 may"
        assert number("1234.5", 1) == "1\xa0234,5"


def test_no_text_of_ours_takes_the_place_of_a_day_or_a_month():
    theirs = {str(name) for names in (dates.WEEKDAYS, dates.WEEKDAYS_ABBR, dates.MONTHS) for name in names.values()}
    assert {message.id for message in gather.wanted() if not message.context} & theirs == set()
    with translation.override("es"):
        assert date_format(datetime.date(2026, 8, 9), "D") == "dom"


def test_the_engine_s_codes_are_no_texts_and_its_sentences_are():
    assert gather.is_sentence("The boards leave no room inside this frame.")
    for code in ("edge_trench", "kerb", "list[Problem] | tuple[Problem, ...]", "\nwood chips | mulch | 240"):
        assert not gather.is_sentence(code)


def test_no_text_stands_inside_an_f_string_where_it_cannot_be_gathered():
    """Before Python 3.12 an f-string is one token, and what it asks to translate is seen by nobody."""
    hidden = []
    for path in words.HERE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text())):
            for part in ast.walk(node) if isinstance(node, ast.JoinedStr) else ():
                name = getattr(getattr(part, "func", None), "id", "")
                if name in ("_", "gettext", "ngettext", "pgettext") and isinstance(part.args[0], ast.Constant):
                    hidden.append(f"{path.name}: {part.args[0].value}")
    assert hidden == []


@pytest.fixture
def third(settings, tmp_path):
    """Portuguese, in a folder of its own: the steps of DEVELOPERS.md, tried."""
    settings.LOCALE_PATHS = [tmp_path]
    settings.LANGUAGES = [("en", "English"), ("pt", "Português")]
    trans_real.get_languages.cache_clear()
    trans_real._translations.pop("pt", None)
    yield "pt"
    trans_real._translations.pop("pt", None)
    trans_real.get_languages.cache_clear()


def test_a_third_language_is_gathered_translated_and_spoken(third, capsys):
    call_command("words", gather=third)
    waiting = len(gather.missing(third))
    assert waiting > 2000
    assert f"pt: {waiting} texts to translate, 0 let go" in capsys.readouterr().out

    path = words.folder_of(third) / "django.po"
    text = path.read_text()
    assert 'msgid "This week"\nmsgstr ""' in text
    path.write_text(text.replace('msgid "This week"\nmsgstr ""', 'msgid "This week"\nmsgstr "Esta semana"'))
    call_command("words", gather=third)
    assert len(gather.missing(third)) == waiting - 1  # what was said stays, what is new comes in
    with translation.override(third):
        assert translation.gettext("This week") == "Esta semana"
        assert translation.gettext("Nobody we know by that.") == "Nobody we know by that."  # untranslated, not empty


def test_a_translation_that_drops_a_name_or_a_plural_is_told(third):
    call_command("words", gather=third, verbosity=0)
    path = words.folder_of(third) / "django.po"
    text = path.read_text()
    one = 'msgid "You are coming, %(name)s"\nmsgstr ""'
    assert one in text
    path.write_text(text.replace(one, one[:-2] + '"Você vem"'))
    assert gather.faults(third) == ["Você vem: ['%(name)s']"]


def test_a_text_that_nobody_shows_any_more_is_let_go(third, capsys):
    call_command("words", gather=third, verbosity=0)
    path = words.folder_of(third) / "django.po"
    path.write_text(path.read_text() + '\nmsgid "Long gone"\nmsgstr "Foi-se"\n')
    capsys.readouterr()
    call_command("words", gather=third)
    assert "1 let go" in capsys.readouterr().out
    assert "Foi-se" not in path.read_text()
