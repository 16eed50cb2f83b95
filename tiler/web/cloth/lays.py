"""What was laid in this run of the studio, as the page shows it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, cast

from tiler.job import Packing
from tiler.job.cloth import ClothLays, ClothWishes, cloths_of
from tiler.sheets.clothnames import cloth_words
from tiler.web.works import Work

if TYPE_CHECKING:
    from tiler.layout.cloth.model import LayPlan
    from tiler.pattern.model import Pattern
    from tiler.web.asking import Asked

#: Kinds of work: laying a cloth, and comparing it in other widths.
LAYING, COMPARING = "lay", "compare widths"
#: The column that a plan is drawn for, and the most that it may be high, millimetres; what is
#: shown on a screen is made larger or smaller.
_ROOM = (174.0, 420.0)


@dataclass(frozen=True)
class Cloths:
    """The cloths of a pattern, one of which is looked at.

    Args:
        folder: Of the pattern.
        pattern: As it is now.
        names: Of its cloths.
        cloth: The one that is looked at; empty when there is none.
        asked: The request.
    """

    folder: Path
    pattern: Pattern
    names: tuple[str, ...]
    cloth: str
    asked: Asked

    @classmethod
    def of(cls, asked: Asked, cloth: str) -> Cloths:
        """Those of the pattern of the address.

        Args:
            asked: The request.
            cloth: Name of the cloth; the first one where there is no such.
        """
        folder = asked.library.folder(asked.path["key"])
        pattern = asked.pattern(asked.path["key"])
        names = tuple(cloths_of(pattern))
        first = names[0] if names else ""
        return cls(folder, pattern, names, cloth if cloth in names else first, asked)

    def going(self, kind: str = LAYING) -> Work | None:
        """The work on the cloth that is not done."""
        return next((work for work in self._works(self.cloth, kind) if work.going), None)

    def failed(self) -> Work | None:
        """The last work on the cloth, where it was refused."""
        last = next(iter(self._works(self.cloth)), None)
        return last if last and last.error else None

    @cached_property
    def done(self) -> Work | None:
        """The work that has laid the cloth."""
        return self._done(self.cloth)

    @property
    def last(self) -> tuple[ClothWishes, str] | None:
        """What was asked for last, and how hard to search; None for nothing."""
        work = next(iter(self._works(self.cloth)), None)
        return (
            None if work is None else (_wishes(work), cast(Packing, work.facts["packing"]).effort)
        )

    @property
    def lays(self) -> ClothLays | None:
        """How the cloth was laid, compared with what else was tried."""
        work = self.done
        if work is None:
            return None
        lays: ClothLays = work.value
        for other in self._works(self.cloth, COMPARING):
            same = _wishes(other) == self.compared_by
            if same and not other.going and not other.error:
                more: ClothLays = other.value
                if more.pattern.digest == lays.pattern.digest:
                    return lays.beside(more)
        return lays

    @property
    def compared_by(self) -> ClothWishes:
        """What is asked for to compare the cloth in all widths."""
        return replace(_wishes(self.done), widths=()) if self.done else ClothWishes()

    @property
    def stale(self) -> bool:
        """Whether the pattern has changed since."""
        return self.done is not None and self.done.value.pattern.digest != self.pattern.digest

    @property
    def next_open(self) -> str:
        """The first cloth after this one that was not laid; empty when there is none."""
        at = self.names.index(self.cloth) if self.cloth else 0
        order = (*self.names[at + 1 :], *self.names[:at])
        return next((name for name in order if self._done(name) is None), "")

    def bought(self, name: str) -> LayPlan | None:
        """The plan to buy a cloth by."""
        work = self._done(name)
        return best_of(work.value) if work else None

    def called(self, name: str) -> str:
        """A cloth in the user's language."""
        return cloth_words(name, self.asked.settings.language)

    def _works(self, cloth: str, kind: str = LAYING) -> Sequence[Work]:
        return self.asked.works.of(kind, folder=self.folder, cloth=cloth)

    def _done(self, cloth: str) -> Work | None:
        works = self._works(cloth)
        return next((work for work in works if not work.going and not work.error), None)


def _wishes(work: Work) -> ClothWishes:
    return cast(ClothWishes, work.facts["wishes"])


def best_of(lays: ClothLays) -> LayPlan:
    """The plan of which the least is to be bought; the only one where one width was asked for."""
    return min(lays.plans, key=lambda plan: plan.to_buy)


def picture_of(lays: ClothLays, plan: LayPlan, language: str, title: str) -> str:
    """A plan as an SVG element.

    Args:
        lays: Where it stands in.
        plan: What to draw.
        language: Of its words.
        title: What it shows, for those who do not see it.
    """
    from tiler.output.svg import svg_element

    return svg_element(lays.picture(plan, language, _ROOM), title)
