"""What stands beside a figure is said in the reader's language."""

import pytest
from django.utils import translation

from conversions.common import gather
from conversions.sizing.figures import LABELS, TEXTS, UNITS
from conversions.sizing.own import OWN
from conversions.yards import inputs, measure

SAME_EVERYWHERE = {"", "%"}  # signs that no language says otherwise


@pytest.fixture(scope="module")
def said():
    """Every text that a language is asked for, singular and plural."""
    ids = [message.id for message in gather.wanted() if message.id]
    return {text for found in ids for text in (found if isinstance(found, tuple) else (found,))}


def test_every_label_that_the_engine_can_emit_is_a_text_to_translate(said):
    for label in LABELS:
        shown = measure.KINDS.get(label) or measure.LABELS.get(label) or inputs.WORDS.get(label) or label
        assert str(shown) in said, label
        assert "_" not in str(shown), label


def test_every_unit_that_the_engine_can_emit_is_said():
    assert UNITS - set(measure.UNITS) == SAME_EVERYWHERE


@pytest.mark.parametrize("name", OWN)
def test_every_number_a_group_may_set_has_a_label_and_a_source_to_translate(said, name):
    label = OWN[name].label
    assert label in said or label in inputs.WORDS
    assert OWN[name].source in said


@pytest.mark.parametrize("key", TEXTS)
def test_how_a_figure_came_about_is_a_text_to_translate(said, key):
    assert set(TEXTS[key][1:]) <= said


def test_a_patch_keeps_its_name_and_what_is_kept_of_it_is_said_in_the_readers_words():
    with translation.override("es"):
        assert inputs.said("Front: house wall") == "Front: pared de la casa"
        assert inputs.said("by plain division") == "por simple división"
    assert inputs.said("mornings") == "mornings" and inputs.said("Back: east") == "Back: east"
    assert inputs.said("") == ""
