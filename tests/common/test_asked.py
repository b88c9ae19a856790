import pytest

from conversions.common.asked import uid_of, whole


@pytest.mark.parametrize("text", [None, "", " 3", "-3", "3.0", "²", "٣", "1" * 10, "1" * 5000, "1e3", "\x00"])
def test_what_is_no_whole_number_is_none(text):
    assert whole(text) is None


@pytest.mark.parametrize(("text", "number"), [("0", 0), ("007", 7), ("9" * 9, 999_999_999)])
def test_a_whole_number_is_read(text, number):
    assert whole(text) == number


@pytest.mark.parametrize("text", [None, "", "4711", "{}", "\x00", "g" * 32])
def test_what_is_no_uid_is_none(text):
    assert uid_of(text) is None


def test_a_uid_is_read():
    assert str(uid_of("0b4f5a1e-5d5e-4c53-9f0a-0d8f0c8f0a01")) == "0b4f5a1e-5d5e-4c53-9f0a-0d8f0c8f0a01"
