"""Which CSS declaration holds for which element.

Sources: CSS Cascading and Inheritance Level 4, 6 "Cascading"; SVG 2, 6.6 "Presentation attributes"
(author rules of specificity zero, before all others). Only the properties that decide where a line
lies, or whether it shows, are kept.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import tinycss2
from cssselect2 import ElementWrapper, Matcher

from tiler.intake.svg import limits
from tiler.intake.svg.notices import Notices
from tiler.intake.svg.selectors import SelectorGate
from tiler.intake.svg.xmltree import Node, Tree, excerpt

_GEOMETRY = {"x", "y", "width", "height", "cx", "cy", "r", "rx", "ry"}
_PLACE = {"transform", "transform-origin"}
_LOOK = {"clip-path", "mask", "filter", "marker-start", "marker-mid", "marker-end"}
_PAINT = {"fill", "stroke", "opacity", "fill-opacity", "stroke-opacity"}
#: Properties that an attribute of the same name can set too.
ATTRIBUTES = frozenset({"display", "visibility", "overflow"} | _GEOMETRY | _PLACE | _LOOK | _PAINT)
#: Properties that only CSS can set.
CSS_ONLY = frozenset({"d", "marker", "rotate", "scale", "translate", "offset-path", "zoom"})
PROPERTIES = ATTRIBUTES | CSS_ONLY

# Style attributes that say fonts and widths only are not worth parsing.
_WORTH = re.compile(rf"(?<![\w-])(?:{'|'.join(sorted(PROPERTIES))})\s*[:/]|\\", re.IGNORECASE)
_VISIBILITIES = frozenset(
    {"visible", "hidden", "collapse", "inherit", "initial", "unset", "revert"}
)
_SILENT_RULES = frozenset({"charset", "font-face", "namespace", "page", "font-feature-values"})
_DEEPEST = 4

_Declarations = list[tuple[str, str, bool]]


class Cascade:
    """The properties of each element, without what it inherits.

    Args:
        tree: The document.
        notices: Told of rules that cannot be followed.

    Attributes:
        paint_known: False when rules that may set colours could not be followed.

    Raises:
        DrawingError: Style sheets beyond the limits.
    """

    def __init__(self, tree: Tree, notices: Notices) -> None:
        self.paint_known = not tree.sheets
        self._notices = notices
        self._matched: dict[Node, list[_Declarations]] = {}
        self._known: dict[Node, Mapping[str, str]] = {}
        self._parsed: dict[str, _Declarations] = {}
        self._left = limits.STYLE_CHARACTERS
        matcher = Matcher()
        gate = SelectorGate(tree)
        for sheet in tree.styles:
            self._read_sheet(sheet, matcher, gate)
        if gate.accepted:
            for wrapper in ElementWrapper.from_xml_root(tree.root).iter_subtree():
                found = [entry[3] for entry in matcher.match(wrapper) if entry[2] is None]
                if found:
                    self._matched[wrapper.etree_element] = found

    def of(self, node: Node) -> Mapping[str, str]:
        """Property -> value, as text; only those that somebody set."""
        known = self._known.get(node)
        if known is None:
            known = self._known[node] = self._cascaded(node)
        return known

    def _cascaded(self, node: Node) -> Mapping[str, str]:
        values = {name: node.attrib[name] for name in node.attrib.keys() & ATTRIBUTES}
        layers = list(self._matched.get(node, ()))
        inline = node.get("style")
        if inline:
            layers.append(self._inline(node, inline))
        for important in (False, True):
            for declarations in layers:
                values.update((n, v) for n, v, grave in declarations if grave == important)
        return values

    def _inline(self, node: Node, text: str) -> _Declarations:
        if not _WORTH.search(text):
            return []
        known = self._parsed.get(text)
        if known is None:
            self._spend(node, len(text))
            known = self._parsed[text] = _declarations(
                tinycss2.parse_blocks_contents(text, skip_comments=True, skip_whitespace=True)
            )
        return known

    def _spend(self, node: Node, characters: int) -> None:
        self._left -= characters
        if self._left < 0:
            raise node.fault(
                f"the styles have more than {limits.STYLE_CHARACTERS:,} characters",
                "Save the drawing again as plain SVG; a drawing of a piece needs few styles.",
            )

    def _read_sheet(self, sheet: Node, matcher: Matcher, gate: SelectorGate) -> None:
        if sheet.get("type", "text/css") not in ("text/css", ""):
            return
        media = (sheet.get("media") or "all").strip().lower()
        if media not in ("all", "", "screen", "print"):
            self.paint_known = False
            self._left_out(sheet, f'style sheet for media "{excerpt(media)}"')
            return
        self._spend(sheet, len(sheet.text))
        for rule in tinycss2.parse_stylesheet(sheet.text, skip_comments=True, skip_whitespace=True):
            if rule.type == "qualified-rule":
                self._read_rule(sheet, rule, matcher, gate)
            elif rule.type == "at-rule":
                self._read_at_rule(sheet, rule)

    def _read_rule(self, sheet: Node, rule: Any, matcher: Matcher, gate: SelectorGate) -> None:
        declarations = _declarations(
            tinycss2.parse_blocks_contents(rule.content, skip_comments=True, skip_whitespace=True)
        )
        if not declarations:
            return
        selectors = gate.compile(sheet, rule.prelude)
        if selectors is None:
            self.paint_known &= all(name not in _PAINT for name, _, _ in declarations)
            # A lost plain colour is no loss: no line is left out for its paint then.
            if any(name not in _PAINT or "url(" in value for name, value, _ in declarations):
                self._left_out(sheet, "rule with a selector that cannot be followed")
            return
        for selector in selectors:
            matcher.add_selector(selector, declarations)

    def _read_at_rule(self, sheet: Node, rule: Any) -> None:
        name = rule.lower_at_keyword
        if name == "import":
            tokens = [*rule.prelude, *(a for t in rule.prelude for a in _arguments(t))]
            self.paint_known = False
            target = next((t.value for t in tokens if t.type in ("string", "url")), "")
            self._notices.warn(
                "external-style",
                sheet.place,
                "{count} style sheet(s) in other files were not opened, the first named"
                f' "{excerpt(target)}". Put the styles into the drawing itself.',
            )
        elif name not in _SILENT_RULES and not name.startswith("-"):
            self.paint_known = False
            self._left_out(sheet, f"rule @{excerpt(name, 20)}")

    def _left_out(self, sheet: Node, what: str) -> None:
        self._notices.warn(
            "style-rule",
            sheet.place,
            f"{{count}} part(s) of the styles were left out, the first a {what}. If lines are"
            " missing or show that should not, set display on the elements themselves.",
        )


def _arguments(token: Any) -> list[Any]:
    return list(token.arguments) if token.type == "function" else []


def _declarations(parsed: list[Any]) -> _Declarations:
    found: _Declarations = []
    for item in parsed:
        if item.type != "declaration" or item.lower_name not in PROPERTIES:
            continue
        if not _shallow(item.value):
            continue
        value = tinycss2.serialize(item.value).strip()
        if item.lower_name == "visibility" and value.lower() not in _VISIBILITIES:
            continue
        found.append((item.lower_name, value, item.important))
    return found


def _shallow(tokens: list[Any]) -> bool:
    """Whether brackets are not nested deeper than any property needs."""
    level = list(tokens)
    for _ in range(_DEEPEST):
        inner: list[Any] = []
        for token in level:
            inner.extend(getattr(token, "content", None) or getattr(token, "arguments", None) or ())
        if not inner:
            return True
        level = inner
    return False
