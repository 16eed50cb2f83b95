"""A lay plan in another language, and within the notes, can be read as well as one of its own."""

from __future__ import annotations

import re

import pytest
import shapely

from tests.demos import drafted_demo
from tests.printed import words_on
from tests.sheets.test_layplan import PLANS, plan_of
from tests.sheets.test_nothing_overlaps import colliding_words, struck_words
from tiler.layout.cloth.demand import needs_of
from tiler.pattern.bounds import Bounds, bounds_of
from tiler.sheets.drawing import Page, Use
from tiler.sheets.layplan import draw_lay_plan, lay_plan_page

SOME = ("smock, folded", "smock, narrow", "apron, checked", "trousers, nap")
each_plan = pytest.mark.parametrize("name", SOME)
each_language = pytest.mark.parametrize("language", ["de", "uk"])
#: A column of A4 or Letter in the notes, millimetres.
WITHIN = (174.0, 212.0)


def page_of(name: str, language: str) -> Page:
    pattern, plan = drafted_demo(PLANS[name][0]), plan_of(name)
    return lay_plan_page(plan, needs_of(pattern, plan.cloth.name), pattern, language=language)


@each_language
@each_plan
def test_every_word_can_be_read(name: str, language: str) -> None:
    """Words are longer than in English, and still none lies on another one or leaves the paper."""
    page = page_of(name, language)
    assert colliding_words(page) == []
    assert struck_words(page, lambda _: True) == []
    paper = shapely.box(0, 0, page.width, page.height).buffer(-6)
    assert all(paper.covers(words.ink) for words in words_on(page))
    assert min(words.size_pt for words in words_on(page)) >= 7


@each_language
@each_plan
def test_numbers_have_the_comma_of_the_language(name: str, language: str) -> None:
    text = " ".join(words.text for words in words_on(page_of(name, language)))
    assert not re.search(r"\d\.\d", text)
    assert re.search(r"\d,\d", text)


@each_plan
def test_only_the_makers_words_are_in_the_makers_language(name: str) -> None:
    """What is left of the Ukrainian plan without them has no Latin letter."""
    demo = PLANS[name][0]
    pattern = drafted_demo(demo)
    text = " ".join(words.text for words in words_on(page_of(name, "uk")))
    own = [pattern.title, pattern.maker, pattern.digest, plan_of(name).cloth.name]
    own += [piece.name for piece in pattern.pieces] + [style for style, _ in pattern.styles]
    words = {word for each in own for word in each.split()}
    left = [word for word in re.findall(r"[^\s(),:.]+", text) if word not in words]
    assert [word for word in left if re.search("[a-z]{2}", word, re.IGNORECASE)] == []


@each_plan
def test_within_a_text_the_text_says_whose_it_is_and_what_to_buy(name: str) -> None:
    """No title, no length to buy, no scale; all of it within its frame, which ends at its foot."""
    pattern, plan = drafted_demo(PLANS[name][0]), plan_of(name)
    needs = needs_of(pattern, plan.cloth.name)
    drawing = draw_lay_plan(plan, needs, pattern, within=WITHIN)
    assert drawing.bounds.width == WITHIN[0]
    assert drawing.bounds.height <= WITHIN[1] + 1e-6
    page = Page("plan", drawing.bounds.width, drawing.bounds.top, (Use(drawing),))
    text = " ".join(words.text for words in words_on(page))
    for absent in ("Lay plan", "Buy ", "1 : ", pattern.maker, pattern.digest):
        assert absent not in text
    assert colliding_words(page) == []
    assert min(words.size_pt for words in words_on(page)) >= 7
    reach = bounds_of([Bounds(*words.ink.bounds) for words in words_on(page)])
    assert reach.bottom == pytest.approx(drawing.bounds.bottom, abs=3.5)
    assert drawing.bounds.left - 0.5 <= reach.left
    assert reach.right <= drawing.bounds.right + 0.5
