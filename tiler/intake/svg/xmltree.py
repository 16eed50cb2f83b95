"""XML without its dangers: elements with line numbers, and nothing fetched or expanded.

The parser is the standard library's expat, driven by our own handlers. It never resolves an
external entity by itself; a declaration of an entity ends the reading at once, so that none can be
expanded.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from xml.parsers import expat

from tiler.intake.svg import limits
from tiler.pattern.errors import DrawingError

SVG = "{http://www.w3.org/2000/svg}"
XLINK_HREF = "{http://www.w3.org/1999/xlink}href"
LAYER_NAME = "{http://www.inkscape.org/namespaces/inkscape}label"

ANIMATIONS = frozenset(
    {"animate", "animateColor", "animateMotion", "animateTransform", "set", "discard"}
)

_SAVE_AGAIN = "Open it in a vector editor and save it again as plain SVG."


@dataclass(slots=True, eq=False)
class Node:
    """One element.

    Args:
        tag: ``{namespace}name``, as ElementTree writes it.
        attrib: Attributes, their names written in the same way.
        line: The line on which it begins, from 1.
        name: The name alone when the element belongs to SVG, else empty.
        children: Elements inside it, in order.
        text: The text inside it, kept for style sheets only.
    """

    tag: str
    attrib: dict[str, str]
    line: int
    name: str
    children: list[Node] = field(default_factory=list)
    text: str = ""

    def get(self, key: str, default: str | None = None) -> str | None:
        """The attribute's value, or the default."""
        return self.attrib.get(key, default)

    def __iter__(self) -> Iterator[Node]:
        return iter(self.children)

    @property
    def place(self) -> str:
        """How to find it: ``<path id="hem"> on line 12``."""
        words = self.name or self.tag.rpartition("}")[2]
        known = self.attrib.get("id", "")
        if known:
            words += f' id="{excerpt(known)}"'
        return f"<{words}> on line {self.line}"

    def fault(self, problem: str, remedy: str) -> DrawingError:
        """The error to raise about this element."""
        return DrawingError(problem, where=self.place, remedy=remedy)


@dataclass(slots=True)
class Tree:
    """A parsed document.

    Args:
        root: Its outermost element, an SVG ``<svg>``.
        sheets: Line and data of each style sheet that a processing instruction points at.
        by_id: The first element with each id.
        styles: Every ``<style>`` element, in order.
        scripts: Every ``<script>`` element.
        animations: Every element that would move something.
        depth: How deeply the deepest element lies, the root counting 1.
    """

    root: Node
    sheets: list[tuple[int, str]] = field(default_factory=list)
    by_id: dict[str, Node] = field(default_factory=dict)
    styles: list[Node] = field(default_factory=list)
    scripts: list[Node] = field(default_factory=list)
    animations: list[Node] = field(default_factory=list)
    depth: int = 0


def excerpt(text: str, length: int = 60) -> str:
    """The beginning of a text, fit to be shown in a message."""
    shown = "".join(letter if letter.isprintable() else " " for letter in text[: length + 1])
    return f"{shown[:length]}…" if len(text) > length else shown


def parse(content: bytes) -> Tree:
    """Read the elements of an SVG document.

    Raises:
        DrawingError: Not XML, not SVG, too large, or with declarations that could do harm.
    """
    _refuse_other_files(content)
    builder = _Builder()
    try:
        builder.feed(content)
    except expat.ExpatError as error:
        raise DrawingError(
            f"it is not well-formed XML ({expat.ErrorString(error.code)})",
            where=f"line {error.lineno}",
            remedy=_SAVE_AGAIN,
        ) from None
    except (ValueError, LookupError) as error:
        # Raised by the codec that an XML declaration names.
        raise DrawingError(
            f"its text is in an encoding that cannot be read ({error})",
            where="line 1",
            remedy="Save it again in UTF-8.",
        ) from None
    assert builder.tree is not None
    return builder.tree


def _refuse_other_files(content: bytes) -> None:
    if len(content) > limits.FILE_BYTES:
        raise limits.too_large(len(content))
    if not content.strip():
        raise DrawingError("the file is empty", remedy="Save the drawing again.")
    if content.startswith(b"\x1f\x8b"):
        raise DrawingError(
            "it is a compressed SVG (svgz)",
            remedy="Save it as plain SVG, or unpack it with gzip first.",
        )
    for mark, kind in ((b"%PDF", "a PDF"), (b"\x89PNG", "a PNG picture"), (b"\xff\xd8", "a JPEG")):
        if content.startswith(mark):
            raise DrawingError(
                f"it is {kind}, not an SVG drawing",
                remedy="Save the drawing as plain SVG from the editor in which it was drawn.",
            )


class _Builder:
    """Expat's handlers."""

    def __init__(self) -> None:
        self.tree: Tree | None = None
        self._open: list[Node] = []
        self._text: list[str] = []
        self._sheets: list[tuple[int, str]] = []
        self._count = 0
        self._space = SVG
        parser = self._parser = expat.ParserCreate(namespace_separator="}")
        parser.buffer_text = True
        parser.SetParamEntityParsing(expat.XML_PARAM_ENTITY_PARSING_NEVER)
        parser.StartDoctypeDeclHandler = self._doctype
        parser.EntityDeclHandler = self._entity
        parser.SkippedEntityHandler = self._skipped
        parser.ExternalEntityRefHandler = self._external
        parser.ProcessingInstructionHandler = self._instruction
        parser.StartElementHandler = self._start
        parser.EndElementHandler = self._end
        parser.CharacterDataHandler = self._characters

    def feed(self, content: bytes) -> None:
        """Parse everything."""
        self._parser.Parse(content, True)

    @property
    def _line(self) -> int:
        return self._parser.CurrentLineNumber

    def _doctype(
        self, _name: str, _system: str | None, _public: str | None, internal: bool
    ) -> None:
        if internal:
            self._refuse_declarations("the document type holds declarations of its own")

    def _entity(self, name: str, *_rest: object) -> None:
        self._refuse_declarations(f"it declares the entity {excerpt(name)!r}")

    def _skipped(self, name: str, _parameter: bool) -> None:
        self._refuse_declarations(f"it uses the entity {excerpt(name)!r}, which is not in the file")

    def _external(self, *_reference: object) -> int:
        self._refuse_declarations("it wants text from another file")
        return 0

    def _refuse_declarations(self, problem: str) -> None:
        raise DrawingError(
            f"{problem} (DTD and entities are refused, since they can hide harmful content)",
            where=f"line {self._line}",
            remedy="Save it again as plain SVG, or delete the <!DOCTYPE …> from the file.",
        )

    def _instruction(self, target: str, data: str) -> None:
        if target == "xml-stylesheet":
            self._sheets.append((self._line, data))

    def _start(self, tag: str, attributes: dict[str, str]) -> None:
        self._count += 1
        space, _, local = tag.rpartition("}")
        tag = f"{{{space}}}{local}" if space else tag
        if self.tree is None:
            self._space = self._space_of_root(tag, local)
        name = local if tag == self._space + local else ""
        attributes = {f"{{{k}" if "}" in k else k: v for k, v in attributes.items()}
        node = Node(tag, attributes, self._line, name)
        if self._count > limits.ELEMENTS:
            raise limits.too_many_elements(node.place)
        if len(self._open) >= limits.NESTING:
            raise limits.too_deep(node.place)
        if self.tree is None:
            self.tree = Tree(node, self._sheets)
        else:
            self._open[-1].children.append(node)
        self._open.append(node)
        self._index(node, self.tree)

    def _space_of_root(self, tag: str, local: str) -> str:
        if tag == "svg":  # Written by hand without xmlns: what is meant is plain.
            return ""
        if tag != SVG + "svg":
            raise DrawingError(
                f"the outermost element is <{excerpt(local)}>, not <svg>",
                where=f"line {self._line}",
                remedy="Save the drawing as plain SVG.",
            )
        return SVG

    def _index(self, node: Node, tree: Tree) -> None:
        tree.depth = max(tree.depth, len(self._open))
        if node.attrib.get("id"):
            tree.by_id.setdefault(node.attrib["id"], node)
        if node.name == "style":
            tree.styles.append(node)
            self._text = []
        elif node.name == "script":
            tree.scripts.append(node)
        elif node.name in ANIMATIONS:
            tree.animations.append(node)

    def _end(self, _tag: str) -> None:
        node = self._open.pop()
        if node.name == "style":
            node.text = "".join(self._text)

    def _characters(self, text: str) -> None:
        if self._open and self._open[-1].name == "style":
            self._text.append(text)
