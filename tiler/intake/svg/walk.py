"""Goes through the drawing in drawing order and gathers its lines."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import NamedTuple

from tiler.intake.drawn import DrawnPath
from tiler.intake.svg import limits, roles
from tiler.intake.svg.cascade import Cascade
from tiler.intake.svg.leftout import NOT_DRAWN, Unhonoured
from tiler.intake.svg.lengths import read_length
from tiler.intake.svg.notices import Notices
from tiler.intake.svg.outline import to_path
from tiler.intake.svg.paint import Paint
from tiler.intake.svg.references import GROUPS, href, target_of
from tiler.intake.svg.roles import Said
from tiler.intake.svg.shapes import SHAPES, read_shape
from tiler.intake.svg.subpath import Subpath
from tiler.intake.svg.transforms import about, read_origin, read_transform
from tiler.intake.svg.unseen import UnseenLines, is_background
from tiler.intake.svg.viewport import Page, Viewport, fit, read_box
from tiler.intake.svg.window import Window, inverse
from tiler.intake.svg.xmltree import Node, Tree, excerpt
from tiler.pattern.affine import Affine
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Role


@dataclass(frozen=True, slots=True)
class _Setting:
    """What an element gets from those round it."""

    matrix: Affine
    viewport: Viewport
    visible: bool
    said: Said
    paint: Paint
    layers: tuple[str, ...]
    copied_by: str
    windows: tuple[Window, ...]


class _Step(NamedTuple):
    """An element still to be drawn; `size` is the width and height that a <use> gives it."""

    node: Node
    setting: _Setting
    size: tuple[str | None, str | None] | None


class Walk:
    """One pass over a document.

    Args:
        tree: The document, its copies already checked.
        cascade: Its styles.
        notices: Told of what is left out.

    Attributes:
        unseen: What was left out since nobody sees it.
    """

    def __init__(self, tree: Tree, cascade: Cascade, notices: Notices) -> None:
        self._tree = tree
        self._cascade = cascade
        self.unseen = UnseenLines(notices)
        self._unhonoured = Unhonoured(notices)
        self._roles = roles.RoleReader(notices)
        self._page = Bounds(0, 0, 0, 0)
        self._drawn: list[DrawnPath] = []
        self._segments = 0
        self._shapes: dict[tuple[Node, Viewport], list[Subpath]] = {}
        self._todo: list[_Step] = []

    def draw(self, page: Page) -> tuple[DrawnPath, ...]:
        """The lines of the whole drawing, in drawing order.

        Raises:
            DrawingError: An element that is broken, or too many of them.
        """
        root = self._tree.root
        style = self._cascade.of(root)
        if style.get("display", "").strip().lower() == "none":
            self.unseen.hidden(root, root.place, ())
            return ()
        if style.get("transform", "none").strip() not in ("", "none"):
            raise root.fault(
                "the outermost <svg> has a transform, which programs read in different ways",
                "Put the transform on a <g> inside it.",
            )
        self._unhonoured.style(root.place, style)
        self._page = Bounds(0, 0, page.width, page.height)
        setting = _Setting(
            matrix=page.matrix,
            viewport=page.viewport,
            visible=_visible(style, True),
            said=self._roles.read(root),
            paint=Paint().with_style(style),
            layers=(),
            copied_by="",
            windows=(),
        )
        self._push(root.children, setting)
        while self._todo:
            self._visit(*self._todo.pop())
        return tuple(self._drawn)

    def _push(self, nodes: list[Node], setting: _Setting) -> None:
        self._todo.extend(_Step(node, setting, None) for node in reversed(nodes))

    def _visit(
        self, node: Node, outer: _Setting, size: tuple[str | None, str | None] | None
    ) -> None:
        name = node.name
        if not name or name in NOT_DRAWN or (name == "symbol" and size is None):
            return
        style = self._cascade.of(node)
        if style.get("display", "").strip().lower() == "none":
            self.unseen.hidden(node, _place(node, outer), outer.layers)
            return
        if self._unhonoured.condition(node):
            return
        said = self._roles.read(node).over(outer.said)
        visible = _visible(style, outer.visible)
        if name not in SHAPES and name not in GROUPS and name not in ("use", "symbol"):
            if visible and said.word != roles.IGNORE:
                self._unhonoured.element(node)
            return
        place = _place(node, outer)
        if said.word != roles.IGNORE:
            self._unhonoured.style(place, style)
        setting = replace(
            outer,
            matrix=_matrix(node, style).then(outer.matrix),
            visible=visible,
            said=said,
            paint=outer.paint.with_style(style),
        )
        if name in SHAPES:
            self._shape(node, style, setting)
            return
        setting = replace(setting, layers=outer.layers + roles.layer_names(node))
        if name == "use":
            self._use(node, style, setting)
        elif name in ("svg", "symbol"):
            self._nested(node, style, setting, size)
        elif name == "switch":
            self._push(self._unhonoured.switch(node), setting)
        else:
            self._push(node.children, setting)

    def _use(self, node: Node, style: Mapping[str, str], setting: _Setting) -> None:
        target = target_of(self._tree, node)
        if target is None:
            self._unhonoured.lost_copy(node, href(node))
            return
        viewport = setting.viewport
        x = _user(node, style, "x", viewport.width)
        y = _user(node, style, "y", viewport.height)
        setting = replace(
            setting,
            matrix=Affine.move(x, y).then(setting.matrix),
            copied_by=node.place,
        )
        self._todo.append(_Step(target, setting, (style.get("width"), style.get("height"))))

    def _nested(
        self,
        node: Node,
        style: Mapping[str, str],
        setting: _Setting,
        size: tuple[str | None, str | None] | None,
    ) -> None:
        outer = setting.viewport
        given_width, given_height = size or (None, None)
        width = _extent(node, "width", given_width or style.get("width"), outer.width)
        height = _extent(node, "height", given_height or style.get("height"), outer.height)
        if node.get("refX") or node.get("refY"):
            raise node.fault(
                "refX and refY are not followed",
                "Take them out and move the copy with x and y instead.",
            )
        x = _user(node, style, "x", outer.width)
        y = _user(node, style, "y", outer.height)
        box = read_box(node)
        frame = Affine.move(x, y).then(setting.matrix)
        windows = setting.windows
        if style.get("overflow", "hidden").strip().lower() not in ("visible", "auto"):
            windows = (*windows, Window(inverse(frame), width, height))
        inner = replace(
            setting,
            matrix=fit(node, box, width, height).then(frame),
            viewport=Viewport(*box[2:]) if box else Viewport(width, height),
            windows=windows,
        )
        self._push(node.children, inner)

    def _shape(self, node: Node, style: Mapping[str, str], setting: _Setting) -> None:
        said = setting.said
        if said.word == roles.IGNORE:
            self.unseen.ignored(setting.layers)
            return
        place = _place(node, setting)
        if not setting.visible:
            self.unseen.hidden(node, place, setting.layers)
            return
        # Many a drawing written by hand says class="cut" fill="none" and no more.
        unsaid = said == Said() and self._cascade.paint_known
        if unsaid and not (setting.paint.fills or setting.paint.strokes):
            self.unseen.unpainted(place, setting.layers)
            return
        if "d" in style:
            self._unhonoured.css_path(place)
            return
        key = (node, setting.viewport)
        subpaths = self._shapes.get(key)
        if subpaths is None:
            subpaths = self._shapes[key] = read_shape(node, style, setting.viewport)
        for subpath in subpaths:
            self._count(len(subpath.steps), place)
            path = to_path(node, subpath, setting.matrix) if subpath.steps else None
            if path is None:
                if subpath.steps:
                    self._unhonoured.point(place, said.word)
                continue
            self._count(len(path.segments) - len(subpath.steps), place)
            alone = unsaid and len(subpaths) == 1
            if alone and is_background(path, setting.paint, self._page):
                self.unseen.background(place, setting.layers)
                continue
            if not all(window.holds(path) for window in setting.windows):
                self._unhonoured.window(place)
            corner = said.word == roles.CORNER
            role = Role(said.word) if said.word and not corner else None
            self._drawn.append(
                DrawnPath(path, role, said.style, corner, place, setting.layers, said.slip)
            )

    def _count(self, more: int, place: str) -> None:
        self._segments += more
        if self._segments > limits.SEGMENTS:
            raise limits.too_many_segments(place)


def _place(node: Node, setting: _Setting) -> str:
    return f"{node.place}, copied by {setting.copied_by}" if setting.copied_by else node.place


def _visible(style: Mapping[str, str], outer: bool) -> bool:
    stated = style.get("visibility", "").strip().lower()
    if stated in ("hidden", "collapse"):
        return False
    return True if stated in ("visible", "initial") else outer


def _matrix(node: Node, style: Mapping[str, str]) -> Affine:
    for name in ("rotate", "scale", "translate", "offset-path", "zoom"):
        # `rotate` is an attribute of text; only the CSS property of that name gets here.
        if style.get(name, "none").strip().lower() not in ("", "none", "auto", "normal", "1"):
            raise node.fault(
                f"the CSS property {name} is not followed",
                "Use transform instead, or apply the transform in the editor.",
            )
    matrix = read_transform(node, style.get("transform", ""))
    origin = style.get("transform-origin")
    if origin is None or matrix == Affine():
        return matrix
    return about(read_origin(node, origin), matrix)


def _user(node: Node, style: Mapping[str, str], name: str, whole: float) -> float:
    text = style.get(name)
    return 0.0 if text is None else read_length(node, name, text).user(whole)


def _extent(node: Node, name: str, text: str | None, whole: float) -> float:
    if text is None or text.strip() in ("", "auto"):
        return whole
    extent = read_length(node, name, text).user(whole)
    if not extent > 0:
        raise node.fault(
            f'the {name} of this drawing inside the drawing is "{excerpt(text)}"',
            f"Give it a {name} above zero, or take it out.",
        )
    return extent
