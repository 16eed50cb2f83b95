"""Every sign that the notes explain is on the sheets, and every sign on the sheets is explained."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tests.demos import DEMOS, drafted_demo, pattern_of_demo, pdf_of, plan_of
from tests.laying import laid
from tests.sheets.notes.drawnsigns import signs_in
from tiler.drafting.draft import drafted
from tiler.drafting.paper import for_paper
from tiler.intake.folder import read_pattern
from tiler.layout.papers import find_paper
from tiler.layout.plan import Plan
from tiler.layout.tiles import PageSetup
from tiler.output.pdf import pdf_bytes
from tiler.pattern.model import Pattern
from tiler.sheets.notes.facts import NoteFacts, PrintFacts
from tiler.sheets.notes.signs import Kind, Sign, page_signs, signs_of
from tiler.sheets.notes.words import languages, words_of
from tiler.sheets.notes.writing import write_notes
from tiler.sheets.publication import lay_out
from tiler.sheets.ways import Way

#: Small paper for the small ones.
PAPERS = {"apron": "a5", "hat": "a5", "smock": "a4", "trousers": "a4"}
PLAIN = """<svg xmlns="http://www.w3.org/2000/svg" width="120mm" height="90mm" viewBox="0 0 120 90">
<path fill="none" stroke="black" d="M10 10H110V80H10Z"/></svg>"""


def told(pattern: Pattern, plan: Plan, way: Way = Way.OVERLAP) -> tuple[Sign, ...]:
    joined, whole = bool(plan.joints), plan.head is not None
    return (*signs_of(pattern), *page_signs(pattern, joined=joined, whole=whole, way=way))


def names_of(signs: tuple[Sign, ...]) -> set[str]:
    return {sign.kind.value for sign in signs}


@pytest.mark.parametrize("demo", DEMOS)
def test_a_demo_has_the_signs_that_are_explained_and_no_others(demo: str) -> None:
    """Both ways: what is drawn is read from the written file with pikepdf and pypdf."""
    drawn, styles = signs_in(pdf_of(demo, PAPERS[demo]))
    signs = told(pattern_of_demo(demo), plan_of(demo, PAPERS[demo]))
    assert names_of(signs) == drawn
    assert sum(sign.kind is Kind.CUT_STYLE for sign in signs) == len(styles)


@pytest.mark.parametrize("way", list(Way))
def test_each_way_to_join_pages_has_its_own_signs(way: Way) -> None:
    pattern, plan = pattern_of_demo("hat"), plan_of("hat", "a5")
    drawn, _ = signs_in(pdf_bytes(lay_out(pattern, plan, way=way)))
    assert names_of(told(pattern, plan, way)) == drawn


def plain_piece(folder: Path) -> Pattern:
    (folder / "plain.svg").write_text(PLAIN)
    return drafted(read_pattern(folder / "plain.svg"))


def test_a_plain_drawing_has_next_to_no_signs(tmp_path: Path) -> None:
    """One closed outline on one page: nothing about taping, folds or notches is explained."""
    pattern = for_paper(plain_piece(tmp_path))
    plan = laid(pattern, [PageSetup(find_paper("a4"), False)])
    drawn, styles = signs_in(pdf_bytes(lay_out(pattern, plan)))
    assert names_of(told(pattern, plan)) == drawn
    assert not styles
    assert drawn - {"cut", "stitch"} <= {"squares", "code", "map", "bar", "tag"}


def test_the_glossary_has_a_row_for_each_sign_and_no_other() -> None:
    pattern, plan = pattern_of_demo("hat"), plan_of("hat", "a5")
    signs = told(pattern, plan)
    facts = PrintFacts("hat.pdf", "A5", 148, 210, 7, 2, 0.0, Way.OVERLAP, signs=signs)
    for language in languages():
        written = write_notes(drafted_demo("hat"), NoteFacts((facts,)), language)
        rows = [line for line in written.markdown.splitlines() if "/sign-" in line]
        assert len(rows) == len(signs)
        assert len(set(rows)) == len(rows)


def test_only_one_style_has_no_lines_of_styles() -> None:
    alone = for_paper(drafted_demo("smock"), ["short"])
    kinds = names_of(signs_of(alone))
    assert "cut_style" not in kinds
    assert "stitch_style" not in kinds
    assert "buttonhole" in kinds


def test_signs_of_pieces_that_are_not_printed_are_not_explained() -> None:
    """Of the smock, only the seed pocket has a buttonhole."""
    pattern = pattern_of_demo("smock")
    shown = replace(pattern, pieces=tuple(p for p in pattern.pieces if p.name == "Sleeve"))
    kinds = names_of(signs_of(shown))
    assert "buttonhole" not in kinds
    assert "fold_edge" not in kinds
    assert "slit" in kinds


def test_every_sign_has_a_name_and_a_meaning_in_every_language() -> None:
    for language in languages():
        words = words_of(language)["sign"]
        assert {key for key, _ in words.items()} == {kind.value for kind in Kind}
        for kind in Kind:
            assert len(words[kind.value]) == 2
