"""A small publication, written with pypdf alone, that tests can spoil in every way they like.

Two pieces of the Marrow Lane demo work (the bib of an apron and its pocket) on 2 x 2 pages.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path as File
from typing import Any

from pypdf import PdfWriter
from pypdf.generic import (
    ArrayObject,
    DecodedStreamObject,
    DictionaryObject,
    FloatObject,
    NameObject,
    NumberObject,
    TextStringObject,
)

from tiler.pattern.affine import Affine, Point
from tiler.pattern.model import Edge, Line, Mark, Outline, Pattern, Piece, Role, Source
from tiler.pattern.path import Path, polyline
from tiler.pattern.segment import Cubic, Straight

PT = 72 / 25.4
WIDTH, HEIGHT = 150.0, 160.0
WINDOW = (13.0, 13.0, 137.0, 147.0)
PITCH = (120.0, 130.0)
CELLS = {"A1": (0, 0), "A2": (0, 1), "B1": (1, 0), "B2": (1, 1)}
ORIGINS = {
    name: (column * PITCH[0] - 10.0, (1 - row) * PITCH[1] - 10.0)
    for name, (row, column) in CELLS.items()
}
#: Joint -> its two pages and the places of its crosses on the sheet.
JOINTS = {
    1: (("A1", "A2"), ((125.0, 150.0), (125.0, 250.0))),
    2: (("B1", "B2"), ((125.0, 20.0), (125.0, 110.0))),
    3: (("A1", "B1"), ((20.0, 135.0), (110.0, 135.0))),
    4: (("A2", "B2"), ((140.0, 135.0), (230.0, 135.0))),
}
PLACEMENTS = {
    "Bib": Affine.move(10, 10),
    "Pocket": Affine.turn(30).then(Affine.move(190, 40)),
}


def pattern() -> Pattern:
    left = Straight(Point(0, 0), Point(0, 120))
    armhole = Cubic(Point(0, 120), Point(25, 125), Point(45, 150), Point(48, 180))
    top = Straight(Point(48, 180), Point(150, 180))
    right = Straight(Point(150, 180), Point(150, 0))
    hem = Cubic(Point(150, 0), Point(100, -4), Point(50, -4), Point(0, 0))
    bib = Piece(
        name="Bib",
        outlines=(
            Outline(
                Role.CUT,
                (
                    Edge("A", Path((left,))),
                    Edge("B", Path((armhole,))),
                    Edge("C", Path((top,))),
                    Edge("D", Path((right,))),
                    Edge("E", Path((hem,))),
                ),
            ),
        ),
        lines=(
            Line(Role.STITCH, polyline([Point(10, 10), Point(140, 10), Point(140, 170)])),
            Line(Role.INSIDE, polyline([Point(20, 40), Point(130, 40)]), style="narrow"),
        ),
        marks=(Mark(Role.NOTCH, Point(0, 60), polyline([Point(0, 60), Point(6, 60)])),),
        grain=polyline([Point(75, 30), Point(75, 160)]),
    )
    corner = Cubic(Point(60, 10), Point(60, 4), Point(56, 0), Point(50, 0))
    pocket = Piece(
        name="Pocket",
        outlines=(
            Outline(
                Role.CUT,
                (
                    Edge("A", polyline([Point(0, 0), Point(0, 70)])),
                    Edge("B", polyline([Point(0, 70), Point(60, 70)])),
                    Edge("C", Path((Straight(Point(60, 70), Point(60, 10)), corner))),
                    Edge("D", polyline([Point(50, 0), Point(0, 0)])),
                ),
            ),
        ),
    )
    source = Source("pattern.toml", b"# stands for the maker's own file\n")
    return Pattern("Potting apron", (bib, pocket), sources=(source,))


@dataclass
class Page:
    """What a page draws; `before` comes in front of everything, `beside` after it."""

    origin: tuple[float, float]
    window: tuple[float, float, float, float] = WINDOW
    before: str = ""
    beside: str = ""
    crosses: dict[tuple[int, int], tuple[float, float]] = field(default_factory=dict)
    measures: list[tuple[float, float, float, float]] = field(
        default_factory=lambda: [(100.0, 0.0, 100.0, 0.0), (0.0, 100.0, 0.0, 100.0)]
    )
    #: Cross -> operators in front of it and after it.
    round_cross: dict[tuple[int, int], tuple[str, str]] = field(default_factory=dict)
    #: Layer -> extra map of its form on this page only, page mm.
    moved: dict[str, Affine] = field(default_factory=dict)
    #: Layer -> operators in front of its form.
    mood: dict[str, str] = field(default_factory=dict)
    left_out: set[str] = field(default_factory=set)
    #: Layer -> another form's name to draw in its stead.
    instead: dict[str, str] = field(default_factory=dict)
    entries: dict[str, Any] = field(default_factory=dict)


@dataclass
class Draft:
    pattern: Pattern
    pages: dict[str, Page]
    #: Form name -> its layer and its strokes, one string a stroke, in pattern mm. The layer is a
    #: piece's, or one inside it: "Bib · narrow", "Bib · narrow + wide".
    forms: dict[str, tuple[str, list[str]]]
    record: dict[str, Any]
    sources: dict[str, bytes]
    labels: list[str]
    order: list[str]
    off: list[str] = field(default_factory=list)
    placements: dict[str, Affine] = field(default_factory=lambda: dict(PLACEMENTS))
    #: Layers that hold no lines of the pattern.
    plain_layers: list[str] = field(default_factory=lambda: ["Page marks", "Words"])
    #: Entries of the default configuration of layers; names of layers stand for their groups.
    layer_entries: dict[str, Any] = field(default_factory=dict)
    #: Name of a layer -> its usage dictionary.
    usage: dict[str, dict[str, Any]] = field(default_factory=dict)
    #: Forms that pages draw only instead of another.
    only_instead: set[str] = field(default_factory=set)
    scaling: str | None = "/None"
    media: tuple[float, float] = (WIDTH, HEIGHT)
    #: When what several styles share shows.
    policy: str = "/AnyOn"
    #: Operators at the start of every form.
    pen: str = "0.3 w"

    def write(self, folder: File, name: str = "apron.pdf") -> File:
        return _write(self, folder / name)


def draft() -> Draft:
    whole = pattern()
    pages = {name: Page(origin) for name, origin in ORIGINS.items()}
    for joint, (names, places) in JOINTS.items():
        for point, (x, y) in enumerate(places, start=1):
            for name in names:
                ox, oy = ORIGINS[name]
                pages[name].crosses[joint, point] = (x - ox, y - oy)
    start = Page((0.0, 0.0), measures=[(100.0, 100.0) * 2, (101.6, 101.6) * 2])
    forms = {"Bib": ("Bib", []), "Narrow": ("Bib · narrow", []), "Pocket": ("Pocket", [])}
    for form, piece, style in (
        ("Bib", whole.pieces[0], ""),
        ("Narrow", whole.pieces[0], "narrow"),
        ("Pocket", whole.pieces[1], ""),
    ):
        forms[form][1].extend(stroke(path) for path in drawn_paths(piece, style))
    return Draft(
        pattern=whole,
        pages={"start": start, **pages},
        forms=forms,
        record={
            "format": 3,
            "tool": "blocksheet 0.1.0",
            "title": whole.title,
            "digest": whole.digest,
            "paper": "own",
            "page": [WIDTH, HEIGHT],
            "margin": 10,
            "overlap": 10,
            "window": list(WINDOW),
            "pitch": list(PITCH),
            "rows": 2,
            "columns": 2,
            "pages": [
                {"name": name, "row": row, "column": column, "origin": list(ORIGINS[name])}
                for name, (row, column) in CELLS.items()
            ],
            "placements": [
                {"piece": piece, "matrix": list(matrix)} for piece, matrix in PLACEMENTS.items()
            ],
            "layers": [
                {"layer": "Bib", "piece": "Bib"},
                {"layer": "narrow", "style": "narrow"},
                {"layer": "Pocket", "piece": "Pocket"},
                {"layer": "Page marks", "use": "marks"},
                {"layer": "Words", "use": "words"},
            ],
            "styles": [],
            "joint": "overlap",
            "pieces": [],
        },
        sources={source.name: source.content for source in whole.sources},
        labels=["start", *CELLS],
        order=["start", *CELLS],
    )


#: The second sheet begins this much lower than in a plain grid: its windows lie apart.
APART = 24.0


def two_sheets() -> Draft:
    """The bib on a sheet of 2 x 2 pages as before, the pocket alone on a third row's first page."""
    paper = draft()
    up = PITCH[1] + APART
    for name in CELLS:
        x, y = ORIGINS[name]
        paper.pages[name].origin = (x, y + up)
        paper.pages[name].left_out.add("Pocket")
    paper.pages["C1"] = Page((-10.0, -10.0), left_out={"Bib", "Bib · narrow"})
    paper.placements = {
        "Bib": PLACEMENTS["Bib"].then(Affine.move(0, up)),
        "Pocket": Affine.turn(30).then(Affine.move(60, 30)),
    }
    paper.labels = paper.order = ["start", *CELLS, "C1"]
    paper.record["rows"] = 3
    paper.record["pages"].append({"name": "C1", "row": 2, "column": 0})
    return recorded(paper)


def recorded(paper: Draft) -> Draft:
    """The same with its record saying where pages and pieces lie."""
    for page in paper.record["pages"]:
        page["origin"] = list(paper.pages[page["name"]].origin)
    paper.record["placements"] = [
        {"piece": piece, "matrix": list(matrix)} for piece, matrix in paper.placements.items()
    ]
    return paper


def drawn_paths(piece: Piece, style: str) -> Iterator[Path]:
    for outline in piece.outlines:
        if outline.style == style:
            for edge in outline.edges:
                yield edge.path
    for thing in (*piece.lines, *piece.marks):
        if thing.style == style:
            yield thing.path
    if piece.grain and not style:
        yield piece.grain


def stroke(path: Path) -> str:
    words = [f"{_numbers(path.start)} m"]
    for segment in path.segments:
        if isinstance(segment, Cubic):
            words.append(f"{' '.join(_numbers(point) for point in segment[1:])} c")
        else:
            words.append(f"{_numbers(segment.end)} l")
    return " ".join([*words, "S"])


def _numbers(values: tuple[float, ...]) -> str:
    return " ".join(f"{value:.6f}" for value in values)


def shifted(x: float, y: float) -> str:
    """Operators that move all that follows, in millimetres of a page."""
    return f"1 0 0 1 {x * PT:.6f} {y * PT:.6f} cm "


def _cm(matrix: Affine) -> str:
    return " ".join(f"{value:.9f}" for value in matrix) + " cm"


def _page_content(paper: Draft, name: str) -> str:
    page = paper.pages[name]
    words = [f"q {page.before}"]
    left, bottom, right, top = (side * PT for side in page.window)
    clip = f"{left:.6f} {bottom:.6f} {right - left:.6f} {top - bottom:.6f} re W n"
    for form, (layer, _) in paper.forms.items():
        if name == "start" or layer in page.left_out or form in paper.only_instead:
            continue
        x, y = page.origin
        piece = layer.split(" · ")[0]
        place = paper.placements[piece].then(Affine.move(-x, -y))
        place = place.then(page.moved.get(layer, Affine())).then(Affine.scale(PT, PT))
        drawn = page.instead.get(layer, form)
        use = f"q {clip} {page.mood.get(layer, '')} {_cm(place)} /{drawn} Do Q"
        words.append(f"/OC /In{piece} BDC {use} EMC" if layer != piece else use)
    for (joint, point), (x, y) in page.crosses.items():
        before, after = page.round_cross.get((joint, point), ("", ""))
        words.append(
            f"{before} /Artifact <</Type /Layout /Joint {joint} /Point {point}>> BDC "
            f"{(x - 3) * PT:.6f} {y * PT:.6f} m {(x + 3) * PT:.6f} {y * PT:.6f} l S "
            f"{x * PT:.6f} {(y - 3) * PT:.6f} m {x * PT:.6f} {(y + 3) * PT:.6f} l S EMC {after}"
        )
    for width, height, drawn_width, drawn_height in page.measures:
        x, y = 20 * PT, 5 * PT
        right, top = x + drawn_width * PT, y + drawn_height * PT
        words.append(
            f"/Artifact <</Type /Layout /Measure [{width} {height}]>> BDC "
            f"{x:.6f} {y:.6f} m {right:.6f} {y:.6f} l {right:.6f} {top:.6f} l S EMC"
        )
    words.append("/Artifact BMC BT /F1 9 Tf 30 30 Td (page \\(one\\) \\051) Tj ET EMC")
    words.append(f"Q {page.beside}")
    return "\n".join(words)


def _write(paper: Draft, path: File) -> File:
    writer = PdfWriter()
    layers: dict[str, Any] = {}
    parts = [part for layer, _ in paper.forms.values() for part in layer.split(" · ")]
    named = [name for part in parts for name in part.split(" + ")]
    for name in dict.fromkeys([*named, *paper.plain_layers]):
        layers[name] = writer._add_object(
            DictionaryObject(
                {NameObject("/Type"): NameObject("/OCG"), NameObject("/Name"): _text(name)}
                | {
                    NameObject("/Usage"): _dictionary(usage)
                    for layer, usage in paper.usage.items()
                    if layer == name
                }
            )
        )
    forms = DictionaryObject()
    for form, (layer, strokes) in paper.forms.items():
        stream = DecodedStreamObject()
        body = "\n".join(
            [paper.pen, *strokes, "/Artifact BMC 0 G 1 1 m 4 4 l S 0 g 0 0 3 3 re f EMC"]
        )
        stream.set_data(body.encode("latin-1"))
        stream.update(
            {
                NameObject("/Type"): NameObject("/XObject"),
                NameObject("/Subtype"): NameObject("/Form"),
                NameObject("/BBox"): _array(-20, -20, 220, 220),
                NameObject("/OC"): _membership(layer.split(" · ")[-1], layers, paper.policy),
            }
        )
        forms[NameObject(f"/{form}")] = writer._add_object(stream)
    moods = {
        "/Clear": {"/CA": FloatObject(0)},
        "/Ghost": {"/ca": FloatObject(0)},
        "/Screen": {"/BM": NameObject("/Screen")},
        "/Multiply": {"/BM": NameObject("/Multiply")},
        "/Broad": {"/LW": FloatObject(9)},
        "/Sparse": {"/D": ArrayObject([_array(3, 6), NumberObject(0)])},
    }
    resources = DictionaryObject(
        {
            NameObject("/XObject"): forms,
            NameObject("/ExtGState"): _dictionary(moods),
            NameObject("/Properties"): DictionaryObject(
                {NameObject(f"/In{name.replace(' ', '')}"): group for name, group in layers.items()}
            ),
        }
    )
    for name in paper.order:
        width, height = paper.media
        page = writer.add_blank_page(width * PT, height * PT)
        content = DecodedStreamObject()
        content.set_data(_page_content(paper, name).encode("latin-1"))
        page[NameObject("/Contents")] = writer._add_object(content)
        page[NameObject("/Resources")] = resources
        for key, value in paper.pages[name].entries.items():
            page[NameObject(key)] = value
    root = writer.root_object
    root[NameObject("/PageLabels")] = DictionaryObject(
        {NameObject("/Nums"): ArrayObject(list(_labels(paper.labels)))}
    )
    groups = ArrayObject(layers.values())
    root[NameObject("/OCProperties")] = DictionaryObject(
        {
            NameObject("/OCGs"): groups,
            NameObject("/D"): DictionaryObject(
                {NameObject("/OFF"): ArrayObject(layers[layer] for layer in paper.off)}
                | {
                    NameObject(key): _with_groups(value, layers)
                    for key, value in paper.layer_entries.items()
                }
            ),
        }
    )
    if paper.scaling:
        root[NameObject("/ViewerPreferences")] = DictionaryObject(
            {NameObject("/PrintScaling"): NameObject(paper.scaling)}
        )
    files = {"blocksheet.json": (json.dumps(paper.record).encode(), "/Data")}
    files |= {name: (content, "/Source") for name, content in paper.sources.items()}
    for name, (content_bytes, relation) in files.items():
        held = writer.add_attachment(name, content_bytes)
        held.associated_file_relationship = NameObject(relation)
    writer.write(path)
    return path


def _with_groups(value: Any, layers: dict[str, Any]) -> Any:
    """Lists and tables as PDF objects; a text is a layer when one is called so, else a name."""
    if isinstance(value, list):
        return ArrayObject(_with_groups(part, layers) for part in value)
    if isinstance(value, dict):
        return DictionaryObject(
            {NameObject(key): _with_groups(part, layers) for key, part in value.items()}
        )
    return layers[value] if value in layers else NameObject(value)


def _membership(names: str, layers: dict[str, Any], policy: str) -> Any:
    groups = [layers[name] for name in names.split(" + ")]
    if len(groups) == 1:
        return groups[0]
    return DictionaryObject(
        {
            NameObject("/Type"): NameObject("/OCMD"),
            NameObject("/OCGs"): ArrayObject(groups),
            NameObject("/P"): NameObject(policy),
        }
    )


def _labels(labels: list[str]) -> Iterator[Any]:
    for index, label in enumerate(labels):
        yield NumberObject(index)
        yield DictionaryObject({NameObject("/P"): _text(label)})


def _array(*values: float) -> ArrayObject:
    return ArrayObject(FloatObject(value) for value in values)


def _dictionary(entries: dict[str, Any]) -> DictionaryObject:
    return DictionaryObject(
        {
            NameObject(key): _dictionary(value) if type(value) is dict else value
            for key, value in entries.items()
        }
    )


def _text(words: str) -> TextStringObject:
    return TextStringObject(words)
