"""Pages of target cards, written and proven."""

from __future__ import annotations

from pathlib import Path


def targets_name(paper: str) -> str:
    """What the file is called."""
    from tiler.job.naming import slug

    return f"target-cards-{slug(paper)}.pdf"


def write_targets(paper: str, target: Path, cards: int = 4) -> Path:
    """Write pages of target cards and measure what was written.

    Args:
        paper: Its name; a4, letter or larger.
        target: The PDF; what was there before is replaced.
        cards: How many, numbered from 1.

    Returns:
        The file.

    Raises:
        BlocksheetError: The libraries for photos are not installed.
        PaperError: There is no such paper, or it is too small.
        MeasureError: There are not that many cards, or too few to measure a photo by.
        FileError: The file cannot be written.
        NotProvenError: What was written does not measure what it says; nothing is left behind.
        StoppedError: The user stopped it.
    """
    from tiler.intake.photo.needs import refuse_without_libraries
    from tiler.job.handing import not_proven, stoppable
    from tiler.layout.papers import find_paper
    from tiler.output.pdf import pdf_bytes
    from tiler.output.safely import replacing
    from tiler.proof.targets import ExpectedCards, target_faults

    refuse_without_libraries()
    from tiler.sheets.targets import draw_targets

    _refuse_count(cards)
    sheet = find_paper(paper)
    with stoppable(target):
        publication = draw_targets(sheet, cards)
        places = _places(publication.attachments[0].content)
        content = pdf_bytes(publication)
        with replacing(target) as draft:
            draft.write_bytes(content)
            faults = target_faults(draft, ExpectedCards(sheet.width, sheet.height, places))
            if faults:
                raise not_proven("; ".join(str(fault) for fault in faults[:5]), target)
    return target


def _refuse_count(count: int) -> None:
    from tiler.intake.photo.cards import MOST_CARDS
    from tiler.pattern.errors import MeasureError

    if count < 3:
        raise MeasureError(
            f"{count} cards are too few to measure a photo by",
            where="--cards",
            remedy="Make four or more: three must be seen, and the fourth makes it sure.",
        )
    if count > MOST_CARDS:
        raise MeasureError(
            f"there are only {MOST_CARDS} different cards",
            where="--cards",
            remedy=f"Make {MOST_CARDS} or fewer.",
        )


def _places(record: bytes) -> tuple[tuple[tuple[float, float], ...], ...]:
    """Lower left corners of the cards of each page, as the file's record says."""
    import json

    pages: dict[int, list[tuple[float, float]]] = {}
    for card in json.loads(record)["cards"]:
        pages.setdefault(card["page"], []).append((card["left"], card["bottom"]))
    return tuple(tuple(pages[page]) for page in sorted(pages))
