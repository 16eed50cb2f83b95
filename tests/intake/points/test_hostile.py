"""Whatever the table holds, it is read or refused in words."""

from hypothesis import example, given
from hypothesis import strategies as st

from tiler.intake.points import read_points
from tiler.pattern.errors import DrawingError

_HEADS = "x|y|kind|x (cm)|y (in)|unit|corner|curve|notch|grain|drill"
_SCRAPS = '1|2,5|-3 1/2|1/0|99999999999999999999999|cm||"|"a|nan|inf|1e400|٣'
cells = st.sampled_from(f"{_HEADS}|{_SCRAPS}".split("|"))
tables = st.lists(st.lists(cells, max_size=6), max_size=8)


def try_to_read(content: bytes) -> None:
    told = "front.csv"
    try:
        read_points(content, "front.csv")
    except DrawingError as error:
        told = str(error)
    assert told.startswith("front.csv")


@given(tables, st.sampled_from([",", ";", "\t"]))
def test_tables_of_scraps(rows: list[list[str]], parted: str) -> None:
    try_to_read("\n".join(parted.join(row) for row in rows).encode())


@given(st.lists(st.lists(cells, min_size=3, max_size=3), max_size=8))
def test_rows_of_scraps_under_a_good_head(rows: list[list[str]]) -> None:
    try_to_read("\n".join(["x (cm);y (cm);kind", *(";".join(row) for row in rows)]).encode())


@given(st.binary(max_size=200))
@example(b"\xff\xfe\x00")
@example(b"x (cm),y (cm),kind\r1,2,corner\r3,4")
@example(b'x,y,kind\n"1,2')
def test_any_bytes(content: bytes) -> None:
    try_to_read(content)


point = st.tuples(st.integers(-3, 3), st.integers(-3, 3), st.sampled_from(["corner", "curve"]))


@given(st.lists(point, max_size=9))
def test_outlines_that_cross_or_fold_back_do_no_harm(points: list[tuple[int, int, str]]) -> None:
    rows = [f"{x},{y},{kind}" for x, y, kind in points]
    try_to_read("\n".join(["x (cm),y (cm),kind", *rows]).encode())
