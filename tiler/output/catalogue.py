"""What the PDF says about itself: layers, page names, attachments, metadata, print wishes.

reportlab has no calls for most of these, but every object of its file takes more entries as
attributes; nothing has to be parsed or copied afterwards.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any
from xml.sax.saxutils import escape

from tiler import __version__
from tiler.sheets.drawing import Attachment, Publication

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

TOOL = f"Blocksheet {__version__}"
#: A page's name that ends with a number as a reader counts.
_COUNTED = re.compile(r"(.*?)([1-9][0-9]{0,5})", re.DOTALL)


def add_layers(canvas: Canvas, publication: Publication) -> dict[str, Any]:
    """An optional content group for each layer, all shown (ISO 32000-1, 8.11).

    Readers list them under the publication's headings (8.11.4.3, Order). A layer that is printed
    whatever the screen shows says so in its usage, and a reader is asked to follow it when it
    prints (8.11.4.4, Usage and AS).

    Returns:
        The group of each layer, to be named by the form or the stretch of content that carries it.
    """
    from reportlab.pdfbase.pdfdoc import PDFArray, PDFDictionary, PDFName, PDFString

    document = canvas._doc
    printing = PDFDictionary({"Print": PDFDictionary({"PrintState": PDFName("ON")})})
    groups = {}
    for name in publication.layers:
        about = {"Type": PDFName("OCG"), "Name": PDFString(name)}
        if name in publication.printed:
            about["Usage"] = printing
        groups[name] = document.Reference(PDFDictionary(about))
    if not groups:
        return groups
    listed = list(groups.values())
    order: list[Any] = [
        PDFArray([PDFString(heading), *(groups[name] for name in under)])
        for heading, under in publication.headings
    ]
    shown = {"Order": PDFArray(order or listed), "ON": PDFArray(listed)}
    if publication.printed:
        held = PDFArray([groups[name] for name in publication.printed])
        usage = {
            "Event": PDFName("Print"),
            "Category": PDFArray([PDFName("Print")]),
            "OCGs": held,
        }
        shown["AS"] = PDFArray([PDFDictionary(usage)])
    properties = {"OCGs": PDFArray(listed), "D": PDFDictionary(shown)}
    _catalogue(canvas, OCProperties=PDFDictionary(properties))
    return groups


def any_of(canvas: Canvas, groups: Sequence[Any]) -> Any:
    """What shows as long as one of some groups is on (ISO 32000-1, 8.11.2.2)."""
    from reportlab.pdfbase.pdfdoc import PDFArray, PDFDictionary, PDFName

    membership = {
        "Type": PDFName("OCMD"),
        "OCGs": PDFArray(list(groups)),
        "P": PDFName("AnyOn"),
    }
    return canvas._doc.Reference(PDFDictionary(membership))


def describe(canvas: Canvas, publication: Publication, digest: bytes) -> None:
    """Everything that belongs to the document and not to a page.

    Args:
        canvas: Where the pages have been drawn.
        publication: What they are.
        digest: 16 bytes that depend on the pages, for the file identifier.
    """
    _label_pages(canvas, publication)
    _attach(canvas, publication.attachments)
    _prefer(canvas)
    _inform(canvas, publication)
    _add_xmp(canvas, publication)
    identity = hashlib.md5(digest, usedforsecurity=False)
    for attachment in publication.attachments:
        identity.update(attachment.content)
    mark = identity.hexdigest().encode()
    # A file identifier that depends on nothing but the content (ISO 32000-1, 14.4).
    canvas._doc._ID = b"[<%s><%s>]" % (mark, mark)


def _catalogue(canvas: Canvas, **entries: Any) -> None:
    """Add entries to the document catalogue."""
    catalogue = canvas._doc.Catalog
    for name, value in entries.items():
        setattr(catalogue, name, value)
        if name not in catalogue.__NoDefault__:
            catalogue.__NoDefault__ = [*catalogue.__NoDefault__, name]


def _label_pages(canvas: Canvas, publication: Publication) -> None:
    """Page labels equal to page names (ISO 32000-1, 12.4.2); a row of pages is one entry."""
    from reportlab.pdfbase.pdfdoc import PDFArray, PDFDictionary, PDFName, PDFString

    numbers: list[Any] = []
    due = ("", 0)
    for index, page in enumerate(publication.pages):
        found = _COUNTED.fullmatch(page.name)
        begin, count = (found[1], int(found[2])) if found else (page.name, 0)
        if not count:
            numbers += [index, PDFDictionary({"P": PDFString(begin)})]
        elif due != (begin, count):
            style = {"P": PDFString(begin), "S": PDFName("D"), "St": count}
            numbers += [index, PDFDictionary(style)]
        due = (begin, count + 1) if count else ("", 0)
    _catalogue(canvas, PageLabels=PDFDictionary({"Nums": PDFArray(numbers)}))


def _prefer(canvas: Canvas) -> None:
    """Wishes for the print dialogue: no scaling, one side, a fitting tray (ISO 32000-1, 12.2)."""
    from reportlab.pdfbase.pdfdoc import PDFDictionary, PDFName

    wishes = {
        "PrintScaling": PDFName("None"),
        "Duplex": PDFName("Simplex"),
        "PickTrayByPDFSize": "true",
        "DisplayDocTitle": "true",
    }
    _catalogue(canvas, ViewerPreferences=PDFDictionary(wishes))


def _attach(canvas: Canvas, attachments: tuple[Attachment, ...]) -> None:
    """Embedded files, listed by name and associated with the document (ISO 32000-2, 14.13)."""
    from reportlab.pdfbase.pdfdoc import (
        PDFArray,
        PDFDictionary,
        PDFName,
        PDFStream,
        PDFString,
        PDFZCompress,
    )

    if not attachments:
        return
    document = canvas._doc
    names: list[Any] = []
    for attachment in sorted(attachments, key=lambda a: a.name.encode()):
        stream = PDFStream(content=attachment.content, filters=[PDFZCompress])
        stream.dictionary["Type"] = PDFName("EmbeddedFile")
        # A slash within a name is written as #2F (ISO 32000-1, 7.3.5).
        stream.dictionary["Subtype"] = PDFName(attachment.media_type.replace("/", "#2F"))
        stream.dictionary["Params"] = PDFDictionary({"Size": len(attachment.content)})
        content = document.Reference(stream)
        name = PDFString(attachment.name)
        specification = PDFDictionary(
            {
                "Type": PDFName("Filespec"),
                "F": name,
                "UF": name,
                "AFRelationship": PDFName(attachment.relation),
                "EF": PDFDictionary({"F": content, "UF": content}),
            }
        )
        names += [name, document.Reference(specification)]
    tree = PDFDictionary({"Names": PDFArray(names)})
    _catalogue(canvas, Names=PDFDictionary({"EmbeddedFiles": tree}), AF=PDFArray(names[1::2]))


def _inform(canvas: Canvas, publication: Publication) -> None:
    """The information dictionary, without dates: equal input gives equal bytes."""
    from reportlab.pdfbase.pdfdoc import PDFDictionary, PDFInfo, PDFString

    facts = {
        "Title": publication.title,
        "Author": publication.author,
        "Subject": publication.subject,
        "Creator": TOOL,
        "Producer": TOOL,
    }

    class _Info(PDFInfo):  # type: ignore[misc]
        def format(self, document: Any) -> bytes:
            entries = {name: PDFString(words) for name, words in facts.items() if words}
            return bytes(PDFDictionary(entries).format(document))

    canvas._doc.info = _Info()


def _xml_text(words: str) -> str:
    """The words without what XML cannot hold (XML 1.0, production 2)."""
    return "".join(c for c in words if c >= " " and not "\ud800" <= c <= "\udfff")


def _add_xmp(canvas: Canvas, publication: Publication) -> None:
    """The same facts as XMP (ISO 16684-1)."""
    from reportlab.pdfbase.pdfdoc import PDFName, PDFStream

    title, author, subject = (
        escape(_xml_text(words))
        for words in (publication.title, publication.author, publication.subject)
    )
    creator = f"<dc:creator><rdf:Seq><rdf:li>{author}</rdf:li></rdf:Seq></dc:creator>"
    packet = (
        '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>\n'
        '<x:xmpmeta xmlns:x="adobe:ns:meta/">'
        '<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
        '<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"'
        ' xmlns:pdf="http://ns.adobe.com/pdf/1.3/" xmlns:xmp="http://ns.adobe.com/xap/1.0/">'
        f'<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>'
        f"{creator if author else ''}"
        "<dc:description><rdf:Alt>"
        f'<rdf:li xml:lang="x-default">{subject}</rdf:li></rdf:Alt></dc:description>'
        f"<pdf:Producer>{TOOL}</pdf:Producer><xmp:CreatorTool>{TOOL}</xmp:CreatorTool>"
        "</rdf:Description></rdf:RDF></x:xmpmeta>\n"
        '<?xpacket end="r"?>\n'
    )
    stream = PDFStream(content=packet.encode())
    stream.dictionary["Type"] = PDFName("Metadata")
    stream.dictionary["Subtype"] = PDFName("XML")
    _catalogue(canvas, Metadata=stream)
