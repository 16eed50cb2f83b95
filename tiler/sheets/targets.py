"""Pages of target cards: two cards to cut out on each, and two bars that tell their true size."""

from __future__ import annotations

import json
from dataclasses import dataclass

from tiler import __version__
from tiler.intake.photo import cards
from tiler.layout.papers import Paper
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.errors import PaperError
from tiler.pattern.path import polyline
from tiler.sheets.drawing import Attachment, Group, Item, Page, Publication, Stroke, Words
from tiler.sheets.lettering import SMALL
from tiler.sheets.pens import TRIM
from tiler.sheets.record import RECORD_NAME
from tiler.sheets.targetbars import BARS, ENDS, draw_bar
from tiler.sheets.targetcard import CARD_HEIGHT, CARD_WIDTH, draw_card
from tiler.sheets.targetwords import draw_words
from tiler.sheets.words import say

#: Nothing that is needed stands nearer to the paper's edge, millimetres (the margin of our sheets).
_MARGIN = 10.0
#: Cards on a page, one over the other.
_ON_PAGE = 2
#: From the cards to the bars: the words of the bar up stand between.
_TO_ACROSS, _TO_UP = 4.6, 7.0
#: From the bar across down to the foot of its words.
_BELOW = 4.4
#: Words take the room above the cards, between these heights.
_LEAST_WORDS, _MOST_WORDS = 12.5, 42.0
#: Between the words and the cards, with the word that tells where to cut.
_OVER_CARDS = 3.2
#: What letters such as k rise above capitals.
_OVER_CAPITALS = 0.5
#: How far the words reach past the cards; the bar up may end beside them.
_PAST_CARDS = 1.0


@dataclass(frozen=True)
class TargetFrame:
    """Where everything stands on a page, millimetres from the lower left corner of the paper."""

    paper: Paper

    def __post_init__(self) -> None:
        wide = CARD_WIDTH + _TO_UP + ENDS + 2 * _MARGIN
        around = _TO_ACROSS + _BELOW + _OVER_CARDS + _OVER_CAPITALS
        high = _ON_PAGE * CARD_HEIGHT + around + _LEAST_WORDS
        if self.paper.width < wide or self.paper.height < high + 2 * _MARGIN:
            raise PaperError(
                f"{self.paper.name} is too small for two target cards and their bars",
                remedy="Use a4, letter or a larger paper: small cards could not be seen sharply.",
            )

    @property
    def cards(self) -> tuple[Point, ...]:
        """Lower left corners of what is cut out, the upper card first."""
        left = (self.paper.width - CARD_WIDTH - _TO_UP - ENDS) / 2
        bottom = _MARGIN + _BELOW + _TO_ACROSS
        spare = self.paper.height - _MARGIN - bottom - _ON_PAGE * CARD_HEIGHT - _OVER_CARDS
        # On large paper all of it stays together, in the middle.
        bottom += max(0.0, spare - _MOST_WORDS) / 2
        return Point(left, bottom + CARD_HEIGHT), Point(left, bottom)

    @property
    def across(self) -> Affine:
        """Where the bar across goes, below the cards."""
        left, bottom = self.cards[-1]
        return Affine.move(left, bottom - _TO_ACROSS)

    @property
    def up(self) -> Affine:
        """Where the bar up goes, to the right of the cards and read from below."""
        left, bottom = self.cards[-1]
        return Affine.turn(90).then(Affine.move(left + CARD_WIDTH + _TO_UP, bottom + 1.0))

    @property
    def words(self) -> Bounds:
        """The room over the cards."""
        left, bottom = self.cards[0]
        low = bottom + CARD_HEIGHT + _OVER_CARDS
        high = min(self.paper.height - _MARGIN - _OVER_CAPITALS, low + _MOST_WORDS)
        return Bounds(left, low, left + CARD_WIDTH + _PAST_CARDS, high)


def draw_targets(paper: Paper, count: int = 4) -> Publication:
    """The pages as a publication of their own.

    Args:
        paper: A4, Letter or larger.
        count: How many cards, numbered from 1; two stand on a page.

    Raises:
        PaperError: The paper is too small.
    """
    frame = TargetFrame(paper)
    numbers = list(range(1, count + 1))
    sheets = [numbers[first : first + _ON_PAGE] for first in range(0, count, _ON_PAGE)]
    pages = tuple(
        Page(
            str(place),
            paper.width,
            paper.height,
            (Group(tuple(_page(frame, sheet, place, len(sheets))), furniture=True),),
        )
        for place, sheet in enumerate(sheets, 1)
    )
    return Publication(
        title=say("targets_title"),
        author="",
        subject=say("targets_subject", first=1, last=count, paper=paper.name),
        pages=pages,
        attachments=(Attachment(RECORD_NAME, _record(frame, sheets), "Data", "application/json"),),
    )


def _page(frame: TargetFrame, numbers: list[int], place: int, pages: int) -> list[Item]:
    told = say(
        "targets_page" if len(numbers) > 1 else "targets_page_one",
        paper=frame.paper.name,
        page=place,
        pages=pages,
        first=numbers[0],
        last=numbers[-1],
    )
    items = draw_words(frame.words, told)
    for number, at in zip(numbers, frame.cards, strict=False):
        items += draw_card(number, at)
    items += _cut_lines(frame, len(numbers))
    items += draw_bar(BARS[0], "across", frame.across)
    items += draw_bar(BARS[1], "up", frame.up)
    return items


def _cut_lines(frame: TargetFrame, count: int) -> list[Item]:
    """Two cards share one line; the words stand above the upper one, where nothing is kept."""
    tops = [at.y + CARD_HEIGHT for at in frame.cards[:count]]
    levels = [*tops, frame.cards[count - 1].y]
    left = frame.cards[0].x
    right = left + CARD_WIDTH
    lines = [polyline([Point(left, y), Point(right, y)]) for y in levels]
    lines += [polyline([Point(x, levels[-1]), Point(x, levels[0])]) for x in (left, right)]
    words = Words(say("targets_cut"), Point(right, levels[0] + 0.9), SMALL, anchor="end", grey=0.2)
    return [Stroke(tuple(lines), TRIM), words]


def _record(frame: TargetFrame, sheets: list[list[int]]) -> bytes:
    """What the pages are, for whoever reads the file back; lengths in millimetres."""
    told = {
        "tool": f"blocksheet {__version__}",
        "kind": "target cards",
        "paper": frame.paper.name,
        "bars": list(BARS),
        "border": cards.BORDER,
        "cards": [
            {
                "number": number,
                "page": place,
                "left": at.x,
                "bottom": at.y,
                "width": CARD_WIDTH,
                "height": CARD_HEIGHT,
            }
            for place, sheet in enumerate(sheets, 1)
            for number, at in zip(sheet, frame.cards, strict=False)
        ],
    }
    return json.dumps(told, indent=1, ensure_ascii=False).encode()
