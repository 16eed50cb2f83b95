"""What would make a card measure wrongly is found on the written pages."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tiler.layout.papers import find_paper
from tiler.output.pdf import pdf_bytes
from tiler.pattern.affine import Affine
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import rectangle
from tiler.proof.targets import ExpectedCards, target_faults
from tiler.sheets.drawing import Fill, Group, Item, Publication
from tiler.sheets.targets import draw_targets

#: A4, two cards of 180 x 117 mm one over the other; measured off the printed page with a rule.
LEFT, LOW, HIGH = 10.0, 19.0, 136.0


def pages() -> Publication:
    return draw_targets(find_paper("a4"), 3)


def expected() -> ExpectedCards:
    return ExpectedCards(210, 297, (((LEFT, HIGH), (LEFT, LOW)), ((LEFT, HIGH),)))


def changed(change: object) -> Publication:
    """The pages with the items of the first one spoilt."""
    publication = pages()
    first = publication.pages[0]
    (whole,) = first.items
    assert isinstance(whole, Group)
    items = tuple(change(list(whole.items)))  # type: ignore[operator]
    page = replace(first, items=(replace(whole, items=items),))
    return replace(publication, pages=(page, *publication.pages[1:]))


def faults(publication: Publication, folder: Path) -> list[str]:
    file = folder / "cards.pdf"
    file.write_bytes(pdf_bytes(publication))
    return [str(fault) for fault in target_faults(file, expected())]


def test_sound_pages_have_no_faults(tmp_path: Path) -> None:
    """The cards are where a rule finds them."""
    assert faults(pages(), tmp_path) == []


@pytest.mark.parametrize("which", [0, 1])
def test_a_bar_that_is_too_long_is_found(which: int, tmp_path: Path) -> None:
    """By 0.1 %, which is 0.19 and 0.24 mm."""

    def longer(items: list[Item]) -> list[Item]:
        spoilt = []
        for item in items:
            measure = dict(item.facts).get("Measure") if isinstance(item, Group) else None
            if isinstance(item, Group) and isinstance(measure, tuple) and measure[which]:
                item = replace(item, at=Affine.scale(*((1.001, 1), (1, 1.001))[which]))
            spoilt.append(item)
        return spoilt

    told = faults(changed(longer), tmp_path)
    assert any(("bar of 190 mm across", "bar of 240 mm up")[which] in text for text in told)


def test_a_square_out_of_place_is_found(tmp_path: Path) -> None:
    """One of 40 on the page, by 0.05 mm."""

    def shifted(items: list[Item]) -> list[Item]:
        nth = next(n for n, item in enumerate(items) if isinstance(item, Fill))
        fill = items[nth]
        assert isinstance(fill, Fill)
        items[nth] = Fill((*fill.paths[:-1], fill.paths[-1].moved(Affine.move(0.05, 0))), 0.0)
        return items

    assert any("a square of a card" in text for text in faults(changed(shifted), tmp_path))


def test_cards_of_another_size_are_found(tmp_path: Path) -> None:
    """All of a page drawn 0.1 % larger."""

    def larger(items: list[Item]) -> list[Item]:
        return [Group(tuple(items), at=Affine.scale(1.001, 1.001))]

    assert faults(changed(larger), tmp_path)


def test_what_lies_on_a_card_is_found(tmp_path: Path) -> None:
    """Dark or light."""
    spot = rectangle(Bounds(60, 60, 64, 64))
    for grey in (0.0, 1.0):
        assert faults(changed(lambda items, g=grey: [*items, Fill((spot,), g)]), tmp_path)


def test_missing_pages_are_found(tmp_path: Path) -> None:
    """Two are expected."""
    whole = pages()
    assert faults(replace(whole, pages=whole.pages[:1]), tmp_path) == ["it has 1 and not 2 pages"]
