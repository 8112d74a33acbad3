"""What people type can never become markup."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ferrule.web.markup import Markup, attributes, join, tag, text

EVIL = "\"><script>alert(1)</script>'&"


def test_text_and_attributes_are_escaped() -> None:
    made = tag("p", EVIL, title=EVIL)
    assert "<script>" not in made
    assert made.count("<") == 2
    assert (
        made
        == '<p title="&quot;&gt;&lt;script&gt;alert(1)&lt;/script&gt;&#x27;&amp;">&quot;&gt;&lt;script&gt;alert(1)&lt;/script&gt;&#x27;&amp;</p>'
    )


@given(st.text())
@settings(max_examples=60, derandomize=True)
def test_no_string_opens_an_element_or_leaves_its_attribute(said: str) -> None:
    made = tag("b", said, data_said=said)
    assert made.startswith('<b data-said="')
    assert made.count("<") == 2
    assert made.count(">") == 2
    assert made.count('"') == 2


def test_markup_is_left_as_it_is_and_lists_are_flattened() -> None:
    assert tag("ul", [tag("li", "a"), None, [tag("li", 2)]]) == "<ul><li>a</li><li>2</li></ul>"
    assert join("a", Markup("<br>"), "<") == "a<br>&lt;"
    assert text(1.5) == "1.5"


def test_names_of_attributes() -> None:
    assert (
        attributes({"class_": "a", "data_send": "/x", "hidden": True, "open": False, "id": None})
        == ' class="a" data-send="/x" hidden'
    )


@pytest.mark.parametrize("name", ["p onclick=x", "p>", "", "a/b"])
def test_a_name_that_is_none_is_refused(name: str) -> None:
    if name:
        with pytest.raises(ValueError, match="not a tag name"):
            tag(name)
    with pytest.raises(ValueError, match="not an attribute name"):
        attributes({"on click": "x"})
