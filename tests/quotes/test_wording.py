"""What a plan says in words: one of a thing is said as one, in both languages."""

import pytest
from django.utils import translation

from conversions.quotes import wording


@pytest.mark.parametrize(
    ("language", "layers", "words"),
    [
        ("en", 1, "plain, no tape; one layer of"),
        ("en", 3, "plain, no tape; three layers of"),
        ("es", 1, "simple, sin cinta; una capa de"),
        ("es", 3, "simple, sin cinta; tres capas de"),
    ],
)
def test_one_layer_is_one_layer(language, layers, words):
    site = {"cardboard": {"layers": layers, "sheet_m": [1.2, 0.8]}}
    with translation.override(language):
        assert wording.detail("cardboard", site, {"figures": {}}, "metric").startswith(words)


@pytest.mark.parametrize(("language", "words"), [("en", "one long bed"), ("es", "una cama larga")])
def test_one_bed_is_one_bed(language, words):
    with translation.override(language):
        assert wording.beds_in_words({"beds": {"b": {"kind": "mounded"}}}) == [words]
