"""Which layers of a drawing hold a piece each."""

from __future__ import annotations

import pytest

from tiler.intake.apart import layers_apart
from tiler.intake.svg import read_svg
from tiler.pattern.errors import DrawingError

HEAD = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="500mm" height="200mm" viewBox="0 0 500 200" '
    'xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" fill="none" stroke="black">'
)


def square(x: int, role: str = "") -> str:
    return f'<path class="{role}" d="M {x},10 V 110 H {x + 80} V 10 Z"/>'


def layer(name: str, *inner: str, shown: str = "") -> str:
    label = f' inkscape:label="{shown}"' if shown else ""
    return f'<g id="{name}"{label}>{"".join(inner)}</g>'


def apart(*inner: str) -> tuple[str, ...]:
    return layers_apart(read_svg(f"{HEAD}{''.join(inner)}</svg>".encode(), "cuffs.svg"))


def test_a_drawing_that_reads_as_one_piece_is_one() -> None:
    assert apart(layer("outline", square(10, "cut")), layer("seam", square(20, "stitch"))) == ("",)


def test_layers_come_in_drawing_order_by_the_name_that_their_maker_sees() -> None:
    found = apart(layer("g2", square(10), shown="right cuff"), layer("left", square(110)))
    assert found == ("right cuff", "left")


def test_a_layer_round_all_is_looked_into_and_one_of_several_pieces_too() -> None:
    inner = layer("small", layer("a", square(10)), layer("b", square(110)))
    assert apart(layer("all", inner, layer("c", square(210)))) == ("a", "b", "c")


def test_layers_without_an_outline_are_left() -> None:
    found = apart(
        layer("a", square(10)),
        layer("b", square(110)),
        layer("frame", '<path d="M 0,0 H 400"/>'),
    )
    assert found == ("a", "b")


@pytest.mark.parametrize(
    "inner",
    [
        (square(10), square(110)),
        (layer("a", square(10)), square(110)),
        (layer("two  spaces", square(10)), layer("two  spaces more", square(110))),
    ],
    ids=["no layers", "one layer", "names that the pattern file cannot hold"],
)
def test_several_outlines_that_no_layers_part_are_refused(inner: tuple[str, ...]) -> None:
    with pytest.raises(DrawingError, match="one outline is wanted"):
        apart(*inner)
