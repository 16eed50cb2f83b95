"""Changes of seams, and of what lies together on paper."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from tiler.output.editing.change import Change
from tiler.output.editing.document import Document
from tiler.output.editing.entries import same_again
from tiler.output.editing.label import Label
from tiler.output.editing.lists import added
from tiler.output.editing.putting import put, take
from tiler.output.editing.tidying import take_tidily
from tiler.pattern.errors import PatternError


@dataclass(frozen=True, slots=True)
class SeamWords:
    """A seam as it is written.

    Args:
        first: The edges of one side, such as ``Front.E``.
        second: Those of the other.
        name: Empty for none.
        ease: How much longer the second side is: one length, the least and the most, or none.
        times: How often each side goes into the seam; none for once.
        turned: Whether the second side runs the other way; None when it is to be found out.
        match: Whether a check or stripe is to match at it.
    """

    first: tuple[str, ...]
    second: tuple[str, ...]
    name: str = ""
    ease: tuple[str, ...] = ()
    times: tuple[int, ...] = ()
    turned: bool | None = None
    match: bool = False

    def data(self) -> dict[str, Any]:
        """As the file has it."""
        found: dict[str, Any] = {"name": self.name} if self.name else {}
        found["join"] = [_one_or_all(self.first), _one_or_all(self.second)]
        if self.ease:
            found["ease"] = _one_or_all(self.ease)
        if self.times:
            found["times"] = list(self.times)
        if self.turned is not None:
            found["turned"] = self.turned
        if self.match:
            found["match"] = True
        return found

    @property
    def title(self) -> str:
        """Its name, or what it joins."""
        return self.name or f"{' + '.join(self.first)} / {' + '.join(self.second)}"


@dataclass(frozen=True, slots=True)
class AddSeam(Change):
    """One more seam.

    Args:
        seam: The seam.
    """

    seam: SeamWords

    @property
    def label(self) -> Label:
        return Label.of("seam_added", seam=self.seam.title)

    def done(self, doc: Document) -> Document:
        return added(doc, ("seam",), self.seam.data())


@dataclass(frozen=True, slots=True)
class ChangeSeam(Change):
    """A seam that is another one.

    Args:
        number: Which one in the file, from 0.
        seam: What it is now.
    """

    number: int
    seam: SeamWords

    @property
    def label(self) -> Label:
        return Label.of("seam_changed", seam=self.seam.title)

    def done(self, doc: Document) -> Document:
        there = _seam(doc, self.number)
        return put(doc, ("seam", self.number), _spelled_as(self.seam.data(), there))

    def moved(self, base: Document, now: Document) -> ChangeSeam | None:
        number = _seam_again(base, now, self.number)
        return None if number is None else replace(self, number=number)


@dataclass(frozen=True, slots=True)
class RemoveSeam(Change):
    """A seam that is taken away.

    Args:
        number: Which one in the file, from 0.
        name: What it is called, for the label.
    """

    number: int
    name: str = ""

    @property
    def label(self) -> Label:
        return Label.of("seam_removed", seam=self.name)

    def done(self, doc: Document) -> Document:
        _seam(doc, self.number)
        return take(doc, ("seam", self.number))

    def moved(self, base: Document, now: Document) -> RemoveSeam | None:
        number = _seam_again(base, now, self.number)
        return None if number is None else replace(self, number=number)


@dataclass(frozen=True, slots=True)
class Group(Change):
    """Pieces that are printed as one along their folds, or kept on one sheet.

    Args:
        key: joined or keep_together.
        before: The group so far; none for a new one.
        names: The group now; none to take it away.
    """

    key: str
    before: tuple[str, ...]
    names: tuple[str, ...]

    def __post_init__(self) -> None:
        if self.key not in ("joined", "keep_together"):
            raise ValueError(self.key)

    @property
    def label(self) -> Label:
        return Label.of(self.key, value=" + ".join(self.names or self.before), **self._way())

    def _way(self) -> dict[str, str]:
        return {"sign": "+" if self.names else "−"}

    def done(self, doc: Document) -> Document:
        groups = doc.value((self.key,)) or []
        if not self.before:
            return added(doc, (self.key,), list(self.names))
        if list(self.before) not in groups:
            raise PatternError(
                f"{' + '.join(self.before)} do not stand under {self.key}",
                remedy="Open the pattern again.",
            )
        path = (self.key, groups.index(list(self.before)))
        if not self.names:
            return take_tidily(doc, path)
        return put(doc, path, list(self.names))


def _seam(doc: Document, number: int) -> dict[str, Any]:
    found: dict[str, Any] | None = doc.value(("seam", number))
    if found is None:
        raise PatternError(f"there is no {number + 1}. seam", remedy="Open the pattern again.")
    return found


def _seam_again(base: Document, now: Document, number: int) -> int | None:
    return same_again(base.data.get("seam", []), now.data.get("seam", []), number)


def _spelled_as(new: dict[str, Any], there: dict[str, Any]) -> dict[str, Any]:
    """The same seam; lists of one are written as the file has them."""
    found = dict(new)
    old = there.get("join")
    if isinstance(old, list) and len(old) == 2:
        found["join"] = [_like(*pair) for pair in zip(new["join"], old, strict=True)]
    if "ease" in new:
        found["ease"] = _like(new["ease"], there.get("ease"))
    if "match" not in new and there.get("match") is False:
        found["match"] = False
    return found


def _like(new: Any, old: Any) -> Any:
    return [new] if isinstance(old, list) and len(old) == 1 and not isinstance(new, list) else new


def _one_or_all(values: tuple[str, ...]) -> str | list[str]:
    return values[0] if len(values) == 1 else list(values)
