"""Lets through the CSS selectors that can be matched in a known time.

A short selector can cost more than any drawing is worth ("g g g g g path" on deep groups), so the
tests that it will need are counted beforehand. Drawing programs write types, classes and ids.
"""

from __future__ import annotations

from collections import Counter
from typing import Any

from cssselect2 import SelectorError, compile_selector_list
from cssselect2.compiler import CompiledSelector

from tiler.intake.svg import limits
from tiler.intake.svg.xmltree import Node, Tree

_PSEUDO = frozenset({"root", "first-child", "last-child", "only-child"})
_NEVER = frozenset({"hover", "active", "focus", "focus-visible", "focus-within", "visited"})
_LONGEST = 40


class SelectorGate:
    """Compiles selectors until their cost is used up.

    Args:
        tree: The document, whose elements are counted.
    """

    def __init__(self, tree: Tree) -> None:
        self.accepted = 0
        self._tree = tree
        self._depth = tree.depth
        self._left = limits.STYLE_TESTS
        self._counts: Counter[str] | None = None
        self._all = 0

    def compile(self, sheet: Node, prelude: list[Any]) -> list[CompiledSelector] | None:
        """The selectors of one rule, those that can never match left out.

        Returns:
            None when one of them is of a kind that is not followed.

        Raises:
            DrawingError: Too many rules, or too costly ones.
        """
        climbs = 0
        for selector in _parted(prelude):
            found = _climbs(selector)
            if found is None:
                return None
            climbs = max(climbs, found)
        try:
            compiled = compile_selector_list(prelude)
        except (SelectorError, SyntaxError, RecursionError):
            return None
        compiled = [selector for selector in compiled if not selector.never_matches]
        self.accepted += len(compiled)
        for selector in compiled:
            self._left -= self._candidates(selector) * self._depth**climbs + 1
        if self.accepted > limits.STYLE_RULES or self._left < 0:
            raise sheet.fault(
                "the style sheet has too many rules, or too costly ones",
                "Save the drawing again as plain SVG, with presentation attributes.",
            )
        return compiled

    def _candidates(self, selector: CompiledSelector) -> int:
        if self._counts is None:
            self._counts = self._counted()
        if selector.id is not None:
            return self._counts["#" + selector.id]
        if selector.class_name is not None:
            return self._counts["." + selector.class_name]
        if selector.local_name is not None:
            return self._counts[selector.lower_local_name]
        return self._all

    def _counted(self) -> Counter[str]:
        counts: Counter[str] = Counter()
        todo = [self._tree.root]
        while todo:
            node = todo.pop()
            self._all += 1
            todo.extend(node.children)
            counts[node.tag.rpartition("}")[2].lower()] += 1
            counts["#" + (node.get("id") or "")] += 1
            counts.update("." + word for word in set((node.get("class") or "").split()))
        return counts


def _parted(prelude: list[Any]) -> list[list[Any]]:
    parts: list[list[Any]] = [[]]
    for token in prelude:
        if token.type == "comment":
            continue
        if token == ",":
            parts.append([])
        else:
            parts[-1].append(token)
    return parts


def _climbs(tokens: list[Any]) -> int | None:
    """How many descendant combinators there are; None for a selector that is not followed."""
    while tokens and tokens[0].type == "whitespace":
        tokens = tokens[1:]
    while tokens and tokens[-1].type == "whitespace":
        tokens = tokens[:-1]
    if not tokens or len(tokens) > _LONGEST:
        return None
    climbs, before = 0, None
    for index, token in enumerate(tokens):
        if token.type == "whitespace":
            if before not in (">", "+") and tokens[index + 1] not in (">", "+"):
                climbs += 1
            continue
        if token.type == "ident" and before == ":":
            if token.lower_value not in _PSEUDO | _NEVER:
                return None
        elif not (token.type in ("ident", "hash") or token in (".", ">", "+", "*", ":")):
            return None
        before = token
    return climbs
