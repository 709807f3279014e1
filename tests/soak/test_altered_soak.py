"""A hundred thousand altered tokens, links and codes through the functions that a request goes through."""

import pytest

from tests.shop.phones.test_join_races import WAYS, texts

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("what", WAYS)
def test_of_a_hundred_thousand_altered_texts_none_opens_anything(what):
    tried, opens, _ = texts(what)
    assert [text for text in tried if opens(text) is not None] == []
