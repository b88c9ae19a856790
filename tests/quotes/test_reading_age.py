"""How old a reader must be for the paper: the prose of the rendered pages, by the published formula of its language."""

import datetime
import re

import pytest

from conversions.quotes import proposal
from conversions.visits.actions import add_entries, book_visit
from conversions.visits.texts import ASKING, CAUTIONS
from tests.quotes.readback import spoken
from tests.quotes.reading import (
    LEAST_INFLESZ,
    MOST_GRADE,
    english_syllables,
    flesch_kincaid,
    perspicuity,
    spanish_syllables,
)
from tests.rows import make_kept, make_quote, make_yard


@pytest.mark.parametrize(("word", "syllables"), [
    ("cardboard", 2), ("make", 1), ("table", 2), ("planted", 2), ("marked", 1), ("places", 2), ("layers", 2), ("tree", 1),
    ("edges", 2), ("area", 3), ("little", 2), ("minutes", 2), ("quiet", 2), ("somebody", 3), ("whole", 1), ("licensed", 2),
    ("expert", 2), ("engineer", 3), ("promise", 2), ("because", 2), ("house", 1), ("4.50", 1),
])  # fmt: skip
def test_syllables_of_english_words_are_counted_as_they_are_said(word, syllables):
    assert english_syllables(word) == syllables


@pytest.mark.parametrize(("word", "syllables"), [
    ("ciudad", 2), ("día", 2), ("jardín", 2), ("cartón", 2), ("agua", 2), ("tierra", 2), ("guía", 2), ("queso", 2),
    ("leer", 2), ("país", 2), ("ahora", 3), ("rey", 1), ("y", 1), ("poeta", 3), ("pingüino", 3), ("cuidado", 3),
])  # fmt: skip
def test_syllables_of_spanish_words_are_counted_as_they_are_said(word, syllables):
    assert spanish_syllables(word) == syllables


def test_the_formulas_give_what_they_were_published_to_give():
    # 0.39 x 6 / 1 + 11.8 x 6 / 6 - 15.59
    assert round(flesch_kincaid("The cat sat on the mat."), 2) == -1.45
    # 206.835 - 62.3 x 10 / 5 - 5 / 1: el-ga-to-co-me-pes-ca-do-fres-co
    assert round(perspicuity("El gato come pescado fresco."), 2) == 77.24


def test_a_hard_text_is_told_from_an_easy_one():
    hard = (
        "Participants acknowledge that the remuneration of subcontractors remains contingent upon satisfactory completion "
        "of the aforementioned horticultural installation."
    )
    assert flesch_kincaid(hard) > MOST_GRADE + 5
    hard = (
        "La administración reconoce que la remuneración correspondiente a las intervenciones subcontratadas permanecerá "
        "condicionada a la finalización satisfactoria de la instalación hortícola anteriormente mencionada."
    )
    assert perspicuity(hard) < LEAST_INFLESZ - 20


SAID = {"septic": {"septic": "away"}, "past": {"past": "both", "soil": "untested"}}


def prose(world, language: str = "", *, large: bool = False, tenure: str = "own") -> list[str]:
    """The running text of a paper: every tagged paragraph that ends as a sentence does; no tables, no labels."""
    yard = make_yard(world, name=f"Ruth {language}{large}{tenure}", wish="", tenure=tenure)
    contact = yard.household.contact
    contact.language, contact.large_print = language, large
    contact.save()
    visit = book_visit(conversion=yard, by=world.organiser, due_at=datetime.datetime.now(datetime.UTC))
    rows = [{"question": code, "value": value, "as_typed": "", "patch": None} for code, value in SAID.items()]
    add_entries(visit=visit, by=world.organiser, entries=rows)
    on = world.today + datetime.timedelta(days=40)
    days = {"offered_on": on, "offered_rain_on": on + datetime.timedelta(7)}
    content = proposal.prepare(make_quote(world, make_kept(world, yard)), **days).content
    return [words for tag, words in spoken(content) if tag in ("P", "LBody") and re.search(r"[.?]$", words)]


@pytest.mark.django_db
@pytest.mark.parametrize(("large", "tenure"), [(False, "own"), (False, "rent"), (True, "rent")])
def test_the_english_paper_can_be_read_at_the_age_of_12(oak, large, tenure):
    found = prose(oak, large=large, tenure=tenure)
    assert len(found) > 8
    assert flesch_kincaid(" ".join(found)) <= MOST_GRADE
    # no paragraph hides behind the easy ones
    hard = {words: round(flesch_kincaid(words), 1) for words in found if flesch_kincaid(words) > MOST_GRADE + 2}
    assert hard == {}


@pytest.mark.django_db
def test_the_spanish_paper_can_be_read_at_the_age_of_12(oak):
    english, spanish = prose(oak, tenure="rent"), prose(oak, "es", tenure="rent")
    assert set(english) & set(spanish) == set()  # all of it is said in Spanish
    assert len(spanish) > 8
    assert perspicuity(" ".join(spanish)) >= LEAST_INFLESZ


@pytest.mark.parametrize("key", sorted(ASKING))
def test_every_caution_and_whom_to_ask_can_be_read_at_the_age_of_12(key):
    words = f"{CAUTIONS[key].household_text} {ASKING[key]}"
    assert flesch_kincaid(words) <= MOST_GRADE


def test_whoever_may_get_a_caution_of_their_own_yard_is_told_whom_to_ask_when_and_at_whose_cost():
    ours = {key for key, caution in CAUTIONS.items() if caution.household_text} - proposal.EVERY_DAY
    assert ours == set(ASKING)
    for asking in ASKING.values():
        assert all(str(words).endswith((".", "?")) for words in (asking.whom, asking.when, asking.cost))
