"""From a file's bytes to a drawn sheet."""

from __future__ import annotations

from tiler.intake.drawn import DrawnSheet
from tiler.intake.svg import xmltree
from tiler.intake.svg.cascade import Cascade
from tiler.intake.svg.notices import Notices
from tiler.intake.svg.references import check_copies
from tiler.intake.svg.viewport import Page, read_page
from tiler.intake.svg.walk import Walk
from tiler.pattern.errors import DrawingError
from tiler.pattern.units import format_mm


def read_svg(content: bytes, name: str) -> DrawnSheet:
    """Read an SVG drawing at its true size.

    Nothing but `content` is read: what the drawing names in other files or on the network is left
    out, and scripts are never run.

    Args:
        content: The file, byte for byte.
        name: Its name, for messages.

    Returns:
        The lines in millimetres, y up, origin at the lower left of the drawing's page, and what
        was left out.

    Raises:
        DrawingError: Not a drawing, of unknown size, broken, or beyond the limits.
    """
    try:
        return _read(content, name)
    except DrawingError as error:
        raise error.within(name) from None


def _read(content: bytes, name: str) -> DrawnSheet:
    tree = xmltree.parse(content)
    notices = Notices()
    cascade = Cascade(tree, notices)
    page = read_page(tree.root, cascade.of(tree.root))
    _tell_page(tree.root, page, notices)
    _tell_whole(tree, notices)
    check_copies(tree)
    walk = Walk(tree, cascade, notices)
    paths = walk.draw(page)
    findings = notices.findings(name)
    return DrawnSheet(name, page.width, page.height, paths, findings, walk.unseen.layers)


def _tell_page(root: xmltree.Node, page: Page, notices: Notices) -> None:
    size = f"{format_mm(page.width)} wide and {format_mm(page.height)} high"
    if page.in_pixels:
        notices.note(
            "size-in-pixels",
            root.place,
            f"The size is given in pixels, 96 to the inch, which makes the page {size}. If that is"
            ' not what you drew, give width and height with a unit, as in width="412mm".',
        )
    if page.stretched:
        notices.warn(
            "stretched",
            root.place,
            f"The viewBox is stretched differently across and up to fill the page, {size}. If that"
            " is not meant, make both in the same proportion.",
        )


def _tell_whole(tree: xmltree.Tree, notices: Notices) -> None:
    for line, _ in tree.sheets:
        notices.warn(
            "external-style",
            f"line {line}",
            "{count} style sheet(s) in other files were not opened. Put the styles into the drawing"
            " itself.",
        )
    for node in tree.scripts:
        notices.warn(
            "script",
            node.place,
            "{count} script(s) were left out; a drawing is never run. Delete them.",
        )
    for node in tree.animations:
        notices.warn(
            "animation",
            node.place,
            "{count} animation(s) were left out; the lines are where they stand without them.",
        )
