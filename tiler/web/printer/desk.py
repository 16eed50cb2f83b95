"""Plans that lie at hand while somebody looks at them and moves pieces."""

from __future__ import annotations

import secrets
import threading
from collections import OrderedDict
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

from tiler.pattern.errors import StoppedError

if TYPE_CHECKING:
    from tiler.layout.plan import Plan
    from tiler.pattern.model import Finding
    from tiler.web.printer.order import Order
    from tiler.web.state import State

#: Plans that are remembered; each move by hand makes one.
_MOST = 200


@dataclass(frozen=True)
class Laid:
    """A plan, and where it came from.

    Args:
        key: Name of the pattern's folder.
        version: Of its file, when the plan was made.
        order: What was asked for.
        plan: What lies where.
        findings: What has to be told of it.
        by_hand: Whether it lies on places that the pattern file keeps.
        before: Name of the plan before the last move; empty for one that was not moved.
        work: The work that found it.
        name: Its own.
    """

    key: str
    version: str
    order: Order
    plan: Plan
    findings: tuple[Finding, ...] = ()
    by_hand: bool = False
    before: str = ""
    work: str = ""
    name: str = field(default_factory=lambda: secrets.token_hex(8))

    @property
    def moved(self) -> bool:
        """Whether it has moves that are kept nowhere."""
        return bool(self.before)


class Desk:
    """All plans at hand; safe to ask from any thread."""

    def __init__(self) -> None:
        self._laid: OrderedDict[str, Laid] = OrderedDict()
        self._planned: dict[tuple[str, str, object], str] = {}
        self._going: dict[str, str] = {}
        self._last: dict[str, Order] = {}
        self._fronts: dict[tuple[str, str], int] = {}
        self._lock = threading.Lock()

    def put(self, laid: Laid) -> Laid:
        """Remember a plan; one without moves is found again by what was asked for."""
        with self._lock:
            self._laid[laid.name] = laid
            while len(self._laid) > _MOST:
                self._laid.popitem(last=False)
            if not laid.moved:
                self._planned[(laid.key, laid.version, laid.order.laying)] = laid.name
        return laid

    def get(self, key: str, name: str) -> Laid:
        """The plan of that name.

        Raises:
            StoppedError: It is no longer at hand.
        """
        with self._lock:
            laid = self._laid.get(name)
        if laid is None or laid.key != key:
            raise StoppedError(
                "this plan is no longer at hand", remedy="Load the page again; it is planned anew."
            )
        return laid

    def planned(self, key: str, version: str, order: Order) -> Laid | None:
        """The plan that was made for what is asked, of the pattern as it is."""
        with self._lock:
            laid = self._laid.get(self._planned.get((key, version, order.laying), ""))
            if laid and laid.order != order:
                laid = self._laid[laid.name] = replace(laid, order=order)
            return laid

    def begun(self, key: str, work: str) -> None:
        """Note which work plans a pattern now."""
        with self._lock:
            self._going[key] = work

    def going(self, key: str) -> str:
        """The work that was begun last to plan a pattern; empty for none."""
        with self._lock:
            return self._going.get(key, "")

    def last(self, key: str) -> Order | None:
        """What was asked for last of a pattern."""
        with self._lock:
            return self._last.get(key)

    def note(self, key: str, order: Order) -> None:
        """Remember what is asked for, for whoever comes back to the page."""
        with self._lock:
            self._last[key] = order

    def note_front(self, key: str, code: str, front: int) -> None:
        """Remember how many pages come first in the file of a plan."""
        with self._lock:
            self._fronts[(key, code)] = front

    def front(self, key: str, code: str) -> int | None:
        """How many pages come first in its file; None before it was made."""
        with self._lock:
            return self._fronts.get((key, code))


_DESKS: WeakKeyDictionary[State, Desk] = WeakKeyDictionary()
_LOCK = threading.Lock()


def desk_of(state: State) -> Desk:
    """The desk of a run of the studio."""
    with _LOCK:
        return _DESKS.setdefault(state, Desk())
