"""What a drawing may hold that cannot be put on paper as a line, and how that is told."""

from __future__ import annotations

from collections.abc import Mapping

from tiler.intake.svg.notices import Notices
from tiler.intake.svg.references import GROUPS, href
from tiler.intake.svg.shapes import SHAPES
from tiler.intake.svg.xmltree import ANIMATIONS, Node, excerpt

#: Elements that are not drawn where they stand.
NOT_DRAWN = frozenset(
    {"defs", "clipPath", "mask", "marker", "filter", "style", "script", "view", "cursor"}
    | {"pattern", "linearGradient", "radialGradient", "meshgradient", "hatch", "solidcolor"}
    | {"title", "desc", "metadata", "font", "font-face", "color-profile"}
    | ANIMATIONS
)

_TEXT = frozenset({"text", "tspan", "textPath", "tref", "flowRoot"})
_PICTURE = frozenset({"image", "video", "audio", "canvas"})
_DRAWN = SHAPES.keys() | GROUPS | {"use"}


class Unhonoured:
    """Tells of things that are left out.

    Args:
        notices: Where it tells.
    """

    def __init__(self, notices: Notices) -> None:
        self._notices = notices

    def element(self, node: Node) -> None:
        """An element that is not a line."""
        name = node.name
        if name in _TEXT:
            self._warn(
                "text",
                node.place,
                "{count} text(s) were left out. Turn text into paths if it is part of the piece;"
                " names and notes belong in the pattern file.",
            )
        elif name in _PICTURE:
            link = href(node)
            shown = "embedded" if link.startswith("data:") else f'"{excerpt(link)}"'
            self._warn(
                "image",
                node.place,
                f"{{count}} picture(s) were left out and not opened, the first {shown}. Trace the"
                " lines that you need.",
            )
        elif name == "foreignObject":
            self._warn(
                "foreign-object",
                node.place,
                "{count} foreignObject element(s) were left out. Draw the lines as paths.",
            )
        else:
            self._warn(
                "unknown-element",
                node.place,
                f"{{count}} <{excerpt(name, 30)}> element(s) were left out, since they are not"
                " lines that SVG knows. Draw them as paths.",
                detail=name,
            )

    def style(self, place: str, style: Mapping[str, str]) -> None:
        """The properties of a drawn element that change its look in a way that lines cannot."""
        if _set(style, "clip-path"):
            self._warn(
                "clip-path",
                place,
                "{count} clip path(s) were left out: the lines are drawn whole. Cut the lines off"
                " in the editor.",
            )
        if _set(style, "mask"):
            self._warn(
                "mask", place, "{count} mask(s) were left out: what they would hide is drawn."
            )
        if _set(style, "filter"):
            self._warn("filter", place, "{count} filter(s) were left out; the lines are plain.")
        if any(_set(style, f"marker{end}") for end in ("", "-start", "-mid", "-end")):
            self._warn(
                "marker",
                place,
                "{count} line(s) have markers such as arrowheads, which were left out. Draw them as"
                " paths if they matter.",
            )
        if any("url(" in style.get(paint, "").lower() for paint in ("fill", "stroke")):
            self._warn(
                "paint",
                place,
                "{count} gradient(s) or fill pattern(s) were left out; only the lines are kept.",
            )

    def condition(self, node: Node) -> bool:
        """Whether an element is only for programs that know an extension."""
        if not (node.get("requiredExtensions") or node.get("systemLanguage")):
            return False
        self._warn(
            "conditional",
            node.place,
            "{count} element(s) were left out, since they are for certain programs or languages"
            " only (requiredExtensions, systemLanguage). Delete the condition to keep them.",
        )
        return True

    def switch(self, node: Node) -> list[Node]:
        """The child of a <switch> that is drawn: the first without a condition (SVG 2, 5.7.3)."""
        self._warn(
            "switch",
            node.place,
            "{count} switch element(s) hold several versions of a drawing; the first that asks for"
            " nothing special was taken. Keep only the version that you mean.",
        )
        for child in node.children:
            free = not (child.get("requiredExtensions") or child.get("systemLanguage"))
            if free and child.name in _DRAWN:
                return [child]
        return []

    def lost_copy(self, node: Node, link: str) -> None:
        """A <use> without anything in this file to copy."""
        if link.strip() and not link.strip().startswith("#"):
            self._warn(
                "external-use",
                node.place,
                "{count} copies of elements in other files were left out and not opened, the first"
                f' "{excerpt(link)}". Put the element into this drawing.',
            )
            return
        self._warn(
            "lost-copy",
            node.place,
            f'{{count}} <use> element(s) point at nothing, the first at "{excerpt(link)}", and were'
            " left out. Point href at the id of an element in this file.",
        )

    def window(self, place: str) -> None:
        """A line that reaches out of an inner drawing, where other programs cut it off."""
        self._warn(
            "inner-drawing",
            place,
            "{count} line(s) reach out of the <svg> or <symbol> that holds them; they are drawn"
            " whole. Cut them off in the editor if they should end there.",
        )

    def css_path(self, place: str) -> None:
        """A path whose data stand in the styles."""
        self._warn(
            "css-path",
            place,
            "{count} path(s) were left out whose form is set in the styles (CSS property d). Move"
            " the data into the attribute d.",
        )

    def point(self, place: str, word: str) -> None:
        """A line without length."""
        role = f" {word}" if word else ""
        self._warn(
            "no-length",
            place,
            f"{{count}}{role} line(s) without length were left out. Mark a place with a small"
            " circle or cross, and delete stray points.",
            detail=word,
        )

    def _warn(self, code: str, place: str, text: str, *, detail: str = "") -> None:
        self._notices.warn(code, place, text, detail=detail)


def _set(style: Mapping[str, str], name: str) -> bool:
    return style.get(name, "none").strip().lower() not in ("", "none", "inherit", "initial")
