"""Which line means what: the words that a drawing may say, and where."""

from __future__ import annotations

import difflib
import re
from typing import NamedTuple

from tiler.intake.drawn import Slip
from tiler.intake.svg.notices import Notices
from tiler.intake.svg.xmltree import LAYER_NAME, Node, excerpt
from tiler.pattern.errors import DrawingError
from tiler.pattern.model import AND, Role

CORNER = "corner"
IGNORE = "ignore"
STYLE = "style:"
_OUTLINES = frozenset({Role.CUT.value, Role.STITCH.value})
WORDS = (*(role.value for role in Role), CORNER, IGNORE)

_KNOWN = ", ".join((*WORDS, "style:NAME"))
_SPLIT = re.compile(r"[\s,;]+")
# Editors turn a layer's name into an id: other signs become _xHH_, spaces become underscores, and a
# counter is added when the name is taken ("cut_1_", "cut-2").
_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{2})_")
_COUNTER = re.compile(r"[-_]?[0-9]+_?$")
_TWO_STYLES = re.compile(r"\bstyle:(\S+ \+ \S+)", re.IGNORECASE)
_STYLE_SLIP = re.compile(r"style[-_.=](.+)")
# What people add to a role when they name a layer after it.
_ENDINGS = frozenset({"s", "es", "ed", "ing", "ting", "line", "lines", "-line", "mark", "hole"})

#: How alike two words must be to be taken for a slip of the pen (difflib's ratio).
_ALIKE = 0.8
#: Letters that a misspelt word must have left when its ending is taken off: shorter words are near
#: to a role by chance.
_STEM = 5
#: Unknown words that are compared with the roles; a drawing with more has them from a program.
_MOST_COMPARED = 2_000


class Said(NamedTuple):
    """What one element says about itself; empty where it says nothing."""

    word: str = ""
    style: str = ""
    slip: Slip | None = None

    def over(self, outer: Said) -> Said:
        """What holds when this is nearer than `outer`; role, style and slip each on their own."""
        return Said(self.word or outer.word, self.style or outer.style, self.slip or outer.slip)


def layer_names(node: Node) -> tuple[str, ...]:
    """The id and the layer name of a group, those that it has."""
    names = (node.get("id"), node.get(LAYER_NAME))
    return tuple(name for name in names if name)


class RoleReader:
    """Reads what elements say by data-role, class, layer name or id (in this order).

    Args:
        notices: Told of words that look like misspelt roles.
    """

    def __init__(self, notices: Notices) -> None:
        self._notices = notices
        self._near: dict[str, str] = {}

    def read(self, node: Node) -> Said:
        """What one element says, without the groups round it.

        Raises:
            DrawingError: A data-role that is not one, or two roles at once.
        """
        said = Said()
        _refuse_two_styles(node)
        stated = node.get("data-role")
        if stated is not None:
            said = _strict(node, stated)
        classes = node.get("class")
        if classes:
            said = said.over(self._classes(node, classes))
        label = node.get(LAYER_NAME)
        if label:
            said = said.over(self._name(node, label))
        known = node.get("id")
        if node.name == "g" and known:
            said = said.over(self._name(node, _words_of_id(known)))
        return said

    def _classes(self, node: Node, text: str) -> Said:
        said = Said()
        for word in _words(text):
            here = _meaning(word)
            if here is None:
                said = said.over(self._doubt(node, word))
            else:
                said = _joined(node, "class", said, here)
        return said

    def _name(self, node: Node, text: str) -> Said:
        """A name is free text, so two roles in it are a doubt, not an error."""
        said = Said()
        for word in _words(text):
            here = _meaning(word)
            if here is None:
                said = said.over(self._doubt(node, word))
            elif _clash(said, here):
                both = "two roles or styles at once"
                self._tell(node, text, both)
                outlines = {said.word, here.word} & _OUTLINES
                return Said(slip=Slip(excerpt(text), both) if outlines else None)
            else:
                said = here.over(said)
        return said

    def _doubt(self, node: Node, word: str) -> Said:
        near = self._near.get(word)
        if near is None:
            near = _nearest(word) if len(self._near) < _MOST_COMPARED else ""
            if len(self._near) < _MOST_COMPARED:
                self._near[word] = near
        if near:
            self._tell(node, word, f'"{near}"')
        return Said(slip=Slip(excerpt(word), f'"{near}"') if near in _OUTLINES else None)

    def _tell(self, node: Node, word: str, near: str) -> None:
        self._notices.warn(
            "unclear-role",
            node.place,
            f'"{excerpt(word)}" is not a role, but looks like {near} ({{count}} in this drawing).'
            " Correct it if it was meant as a role.",
            detail=excerpt(word),
        )


def _refuse_two_styles(node: Node) -> None:
    """A name that holds what stands between styles that share a line would be taken for two."""
    known = _words_of_id(node.get("id") or "") if node.name == "g" else ""
    for text in (node.get("data-role"), node.get("class"), node.get(LAYER_NAME), known):
        match = _TWO_STYLES.search(text[:4000]) if text and AND in text else None
        if match:
            raise node.fault(
                f'the style "{excerpt(match[1])}" has "{AND}" in its name',
                f'Name the style without "{AND}", and draw a line of two styles once for each.',
            )


def _words_of_id(text: str) -> str:
    plain = _ESCAPED.sub(lambda match: chr(int(match[1], 16)), text[:400])
    return _COUNTER.sub("", plain).replace("_", " ")


def _words(text: str) -> list[str]:
    return [word for word in _SPLIT.split(text[:4000]) if word]


def _strict(node: Node, text: str) -> Said:
    said = Said()
    for word in _words(text):
        here = _meaning(word)
        if here is None:
            near = _nearest(word)
            hint = f'Did you mean "{near}"? ' if near else ""
            raise node.fault(
                f'data-role="{excerpt(text)}" has the unknown word "{excerpt(word)}"',
                f"{hint}The roles are {_KNOWN}.",
            )
        said = _joined(node, "data-role", said, here)
    return said


def _meaning(word: str) -> Said | None:
    plain = word.casefold()
    if plain in WORDS:
        return Said(plain)
    if plain.startswith(STYLE) and len(word) > len(STYLE):
        return Said(style=word[len(STYLE) :])
    return None


def _clash(said: Said, here: Said) -> bool:
    return any(old and new and old != new for old, new in zip(said[:2], here[:2], strict=True))


def _joined(node: Node, source: str, said: Said, here: Said) -> Said:
    if _clash(said, here):
        raise _two(node, source, said, here)
    return here.over(said)


def _two(node: Node, source: str, said: Said, here: Said) -> DrawingError:
    old, new = (said.word, here.word) if here.word else (said.style, here.style)
    return node.fault(
        f'{source} says both "{excerpt(old)}" and "{excerpt(new)}"',
        "Keep one of them; a line has one role and one style.",
    )


def _nearest(word: str) -> str:
    """The role that a word was probably meant to be, or empty."""
    plain = word.casefold()
    if plain == STYLE:
        return "style:NAME"
    style = _STYLE_SLIP.fullmatch(plain)
    if style:
        return f"{STYLE}{excerpt(style[1])}"
    if not 3 <= len(plain) <= 16:
        return ""
    for role in WORDS:
        if plain.startswith(role) and plain[len(role) :] in _ENDINGS:
            return role
    swapped = [role for role in WORDS if sorted(role) == sorted(plain)]
    if swapped:
        return swapped[0]
    stems = [plain.removesuffix(ending) for ending in _ENDINGS]
    for stem in (plain, *sorted({stem for stem in stems if _STEM <= len(stem) < len(plain)})):
        near = difflib.get_close_matches(stem, WORDS, n=1, cutoff=_ALIKE)
        # Words such as "side" and "art" are near to a role too, but begin with another letter.
        if near and near[0][0] == plain[0]:
            return near[0]
    return ""
