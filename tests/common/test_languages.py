"""Whose language is spoken: the first wish that can be met."""

from conversions.common.languages import first_known


def test_the_first_language_that_we_have_the_words_of_is_spoken(settings):
    settings.LANGUAGES = [("en", "English"), ("es", "Español"), ("en-us", "English, US")]
    assert first_known("es", "en-us") == "es"
    assert first_known("", "xx", "en-us", "es") == "en-us"


def test_where_no_wish_can_be_met_it_is_ours(settings):
    settings.LANGUAGE_CODE = "en"
    assert first_known() == first_known("", "xx") == "en"
