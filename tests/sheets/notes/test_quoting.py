"""Whatever a maker writes comes out of Markdown as the text that it is."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from markdown_it.token import Token

from tiler.sheets.notes.quoting import END, MAKER, Phrase, Quoted, escaped, plain, unmarked

#: Letters that mean something to Markdown or HTML come up often.
HOSTILE = st.text(
    st.one_of(st.sampled_from("\\`*_[]<>&#|~!-+=.():{}$'\"1 \n\tax/"), st.characters()),
    max_size=40,
)
#: As strict as others read it: with HTML, and with all that the library has beside CommonMark.
OTHERS = [
    MarkdownIt("commonmark", {"html": False}).enable("table"),
    MarkdownIt("commonmark", {"html": True}).enable("table"),
    MarkdownIt("js-default", {"html": True, "linkify": False, "typographer": False}),
]
#: Where the templates put such words; the parts round them may be there as well.
PLACES = {
    "paragraph": "{}",
    "heading": "### 1 · {}",
    "list": "- {}",
    "nested": "- a\n  - does not suit: {}",
    "steps": "1. {}",
    "bold": "**{}**: a",
    "table": "| a | b |\n| :-- | --: |\n| {} | c |",
    "picture": "![{}](p/a.svg)",
}
_GIVEN = {
    "paragraph_open", "paragraph_close", "heading_open", "heading_close", "bullet_list_open",
    "bullet_list_close", "ordered_list_open", "ordered_list_close", "list_item_open",
    "list_item_close", "strong_open", "strong_close", "table_open", "table_close", "thead_open",
    "thead_close", "tbody_open", "tbody_close", "tr_open", "tr_close", "th_open", "th_close",
    "td_open", "td_close", "image", "text", "inline",
}  # fmt: skip


def flat(tokens: list[Token]) -> list[Token]:
    return [t for token in tokens for t in (token, *flat(token.children or []))]


@pytest.mark.parametrize("place", PLACES)
@given(text=HOSTILE)
def test_text_stays_text_wherever_it_stands(place: str, text: str) -> None:
    """No tag, link, list, rule, table or emphasis comes of it, and no letter is lost."""
    wanted = plain(text)
    if not wanted:
        return
    source = PLACES[place].format(escaped(text))
    bare = flat(OTHERS[0].parse(PLACES[place].format("ZQZ")))
    for reader in OTHERS:
        tokens = flat(reader.parse(source))
        assert {token.type for token in tokens} <= _GIVEN
        assert [t.type for t in tokens if t.type != "text"] == [
            t.type for t in bare if t.type != "text"
        ]
        said = "".join(token.content for token in tokens if token.type == "text")
        around = "".join(token.content for token in bare if token.type == "text")
        assert said == around.replace("ZQZ", wanted)


@given(text=HOSTILE)
def test_text_cannot_bring_marks_of_ours(text: str) -> None:
    """Letters for private use are ours alone: they would open or close a language."""
    told = Quoted(f"{text}{MAKER}{END}a").__html__()
    assert told.count(MAKER) == told.count(END) == 1
    assert told.startswith(MAKER)
    assert told.endswith(END)
    assert unmarked(told) == escaped(f"{text}  a")


@given(text=HOSTILE)
def test_blanks_are_filled_in_as_text(text: str) -> None:
    if plain(text):
        told = Phrase("Cut here for {styles}.")(styles=Quoted(text))
        assert unmarked(str(told)) == f"Cut here for {escaped(text)}."


@pytest.mark.parametrize(
    "text",
    [
        "<script>alert(1)</script>",
        "[x](javascript:alert(1))",
        "![x](http://example.org/x.png)",
        "# x",
        "a | b | c",
        "---",
        "1. x",
        "12) x",
        "\tcode",
        "&lt;b&gt;",
        "https://example.org",
        "`code`",
        "x\n\n# y",
    ],
)
def test_known_tricks_become_text(text: str) -> None:
    html = MarkdownIt("commonmark", {"html": True}).enable("table").render(escaped(text))
    assert html.startswith("<p>")
    assert html.count("<") == 2


def test_ordinary_words_stay_readable() -> None:
    """Someone reads the Markdown as it is."""
    for text in ("Firm cotton twill, 200 to 280 g/m2 (no stretch).", "Hem: turn 10 mm - then 2.5"):
        assert escaped(text) == text
