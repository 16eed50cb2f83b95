"""Long work that a page has begun: how far it is, what came of it."""

from __future__ import annotations

import secrets
import threading
from collections.abc import Mapping
from typing import Any

from tiler.pattern.errors import BlocksheetError, StoppedError
from tiler.web import worker

#: How many go on at once, and how many that are done are remembered.
_AT_ONCE, _REMEMBERED = 3, 40
#: Kinds of work that give all or nothing.
_WHOLE = ("photos", "notes")


class Work:
    """One piece of work; safe to ask from any thread.

    Args:
        kind: What it is, in a word of the page's own.
        facts: What it was asked for.
    """

    def __init__(self, kind: str, function: str, facts: Mapping[str, object]) -> None:
        self.id = secrets.token_hex(8)
        self.kind, self.facts = kind, dict(facts)
        self.stage, self.done, self.total = "", 0, 0
        self.value: Any = None
        self.error: BlocksheetError | None = None
        self.stops = 0
        self._process = worker.started(function, facts)
        self._thread = threading.Thread(target=self._listen, daemon=True)
        self._thread.start()

    @property
    def going(self) -> bool:
        """Whether it is not at its end yet."""
        return self._thread.is_alive()

    @property
    def share(self) -> float:
        """How much of the present stage is done, from 0 to 1."""
        return min(1.0, self.done / self.total) if self.total > 0 else 0.0

    @property
    def searches(self) -> bool:
        """Whether it has a best so far to end with when it is stopped."""
        return self.kind not in _WHOLE

    def stop(self) -> None:
        """End it with the best so far; asked again, end it at once."""
        self.stops += 1
        if self.stops == 1:
            worker.stop(self._process)
        else:
            self.end()

    def end(self) -> None:
        """End it at once."""
        self.stops += 2
        worker.end(self._process)

    def wait(self, seconds: float) -> None:
        """Wait for its end, that long at most."""
        self._thread.join(seconds)

    def _listen(self) -> None:
        ended = False
        for told in worker.heard(self._process):
            if told[0] == "progress":
                _, self.stage, self.done, self.total = told
                continue
            ended = True
            if told[0] == "done":
                self.value = told[1]
            else:
                self.error = worker.refusal_in(told) or _fault(told[1])
        if not ended:
            self.error = _stopped() if self.stops else _fault("the process is gone")
        worker.end(self._process)


class Works:
    """All work of a run of the studio."""

    def __init__(self) -> None:
        self._all: dict[str, Work] = {}
        self._lock = threading.Lock()

    def begin(self, kind: str, function: str, **facts: object) -> Work:
        """Begin ``function(progress, **facts)`` in a process of its own.

        Args:
            kind: A word for the page.
            function: Module and name, as in ``tiler.web.printer:publish_all``.
            facts: Its arguments, all of which can be pickled.

        Raises:
            StoppedError: Too much is going on already.
        """
        with self._lock:
            if sum(each.going for each in self._all.values()) >= _AT_ONCE:
                raise StoppedError(
                    f"{_AT_ONCE} long works are going on already",
                    remedy="Wait for one of them, or stop it.",
                )
            work = Work(kind, function, facts)
            self._all[work.id] = work
            for old in list(self._all.values())[:-_REMEMBERED]:
                if not old.going:
                    del self._all[old.id]
        return work

    def get(self, name: str) -> Work:
        """The work of that id.

        Raises:
            StoppedError: It is not known.
        """
        work = self._all.get(name)
        if work is None:
            raise StoppedError("this work is no longer known", remedy="Start it again.")
        return work

    def of(self, kind: str, **facts: object) -> tuple[Work, ...]:
        """The works of a kind that were asked for with these facts, the latest first."""
        every = [work for work in list(self._all.values()) if work.kind == kind]
        asked = [
            work
            for work in every
            if all(work.facts.get(name) == value for name, value in facts.items())
        ]
        return tuple(reversed(asked))

    def end(self) -> None:
        """End all that is going on."""
        for work in list(self._all.values()):
            if work.going:
                work.end()


def _stopped() -> StoppedError:
    return StoppedError("stopped before it was finished", remedy="Nothing was changed.")


def _fault(words: str) -> StoppedError:
    return StoppedError(
        f"this did not work ({words})",
        remedy="Nothing was changed. Please report this: it is a fault of the tool.",
    )
