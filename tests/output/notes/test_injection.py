"""What a maker writes comes out as text in the HTML and in the PDF, whatever it is."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import cache

from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from tests.demos import drafted_demo
from tests.output.notes.test_notes import Seen
from tiler.output.notes import notes_of
from tiler.output.notes.html import html_of
from tiler.pattern.handover import ClothFacts, Finished, Handover
from tiler.pattern.model import Pattern
from tiler.sheets.notes.facts import NoteFacts
from tiler.sheets.notes.quoting import plain
from tiler.sheets.notes.writing import write_notes

TRICKS = (
    "<script>alert(1)</script>",
    "[x](javascript:alert(1))",
    "![x](https://evil.example/x.png)",
    "# not a heading",
    "a | b | c",
    "</section></main><h1>x",
    "--- {{ 7 * 7 }} {% raw %}",
    '" onmouseover="x',
    "<para><b>x</para>",
    "&amp; &lt;i&gt;",
)
HOSTILE = st.text(
    st.one_of(st.sampled_from("\\`*_[]<>&#|~!-+=.():{}%'\"1 \n/ax"), st.characters()),
    min_size=1,
    max_size=30,
).map(lambda text: text if plain(text) else "x")


def hostile(words: list[str]) -> Pattern:
    """A pattern whose maker writes such words wherever words go."""
    known = drafted_demo("hat")
    at = iter(words * 5)
    piece = known.pieces[0]
    edges = tuple(replace(edge, name=next(at)) for edge in piece.outlines[0].edges)
    outlines = (replace(piece.outlines[0], edges=edges),)
    cut = replace(piece.cuts[0], cloth=words[0])
    piece = replace(
        piece, name=next(at), notes=(next(at),), outlines=outlines, stitch=(), cuts=(cut,)
    )
    told = Handover(
        address="https://x.example/" + words[1].replace("\n", ""),
        licence=(next(at),),
        language="en",
        notions=(next(at),),
        sewing=(next(at), next(at)),
        finished=(Finished(next(at), 100.0, ""),),
        cloths=(ClothFacts(words[0], avoid=next(at)),),
    )
    return replace(
        known,
        title=next(at), maker=next(at), version=next(at), about=next(at),
        traced_from=next(at), cloths=((words[0], next(at)),), styles=((words[2], next(at)),),
        pieces=(piece,), seams=(), handover=told,
    )  # fmt: skip


def elements(html: str) -> list[str]:
    """Every element with its attributes, names of addresses aside."""
    return [
        f"{name} {sorted(attrs)} {attrs.get('lang')}"
        for name, attrs in Seen(html).elements
        if name not in ("path", "text", "g")
    ]


@cache
def harmless_elements() -> list[str]:
    harmless = hostile([f"word{number}" for number in range(8)])
    return elements(html_of(write_notes(harmless, NoteFacts(), "de")))


@settings(max_examples=8)
@given(words=st.lists(HOSTILE, min_size=8, max_size=8, unique=True))
def test_no_words_change_what_the_html_is_made_of(words: list[str]) -> None:
    """The same elements as with harmless words, and every word is there to be read."""
    pattern = hostile(words)
    made = html_of(write_notes(pattern, NoteFacts(), "de"))
    assert elements(made) == harmless_elements()
    text = Seen(made).text
    for sentence in (*pattern.handover.sewing, *pattern.handover.licence, pattern.about):
        assert " ".join(plain(sentence).split()) in text


def test_known_tricks_are_text_in_all_three() -> None:
    made = notes_of(hostile(list(TRICKS)))
    html = Seen(made.html)
    assert not html.all("script")
    assert not html.all("img")
    assert all(str(a["href"]).startswith(("#", "https://x.example/")) for a in html.all("a"))
    pages = PdfReader(io.BytesIO(made.pdf)).pages
    printed = "".join("".join(page.extract_text().split()) for page in pages)
    for trick in TRICKS:
        assert " ".join(trick.split()) in html.text
        assert "".join(trick.split()) in printed


def test_words_without_end_find_room() -> None:
    """A word that is wider than the page is broken, and a long text takes another page."""
    long = "x" * 3000
    made = notes_of(replace(hostile(["a" * 400, "b", "c", long]), about=" ".join(["word"] * 1500)))
    assert len(PdfReader(io.BytesIO(made.pdf)).pages) > 2
