"""After a change, what is kept of a pattern makes the same as reading it anew."""

from __future__ import annotations

import random
import re
import shutil
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from tests.demos import DEMO_PIECES
from tiler.drafting import draft
from tiler.drafting.checks import inspect
from tiler.drafting.cutlines import with_cut
from tiler.intake.folder import gather
from tiler.job import read
from tiler.job.memo import ROUNDS
from tiler.job.redrafting import Redrafter
from tiler.pattern.errors import BlocksheetError
from tiler.pattern.model import Pattern, Piece

#: How many changes each demo goes through: larger ones take longer.
CHANGES = {"hat": 8, "apron": 5, "trousers": 2, "smock": 2}


def copied(demo: str, folder: Path) -> Path:
    """A demo in a folder of its own."""
    return Path(shutil.copytree(DEMO_PIECES / demo, folder / demo))


def written(folder: Path, was: str, now: str) -> None:
    """Replace the first place of some words in the pattern file."""
    file = folder / "pattern.toml"
    text = file.read_text(encoding="utf-8")
    assert was in text
    file.write_text(text.replace(was, now, 1), encoding="utf-8")


def outcome(reading: object, folder: Path) -> Pattern | tuple[str, ...]:
    """The pattern, or all that the error says."""
    try:
        return reading(folder)  # type: ignore[operator, no-any-return]
    except BlocksheetError as told:
        return type(told).__name__, told.problem, told.where, told.remedy


def another_length(found: re.Match[str], draw: random.Random) -> str:
    """A length a little longer or shorter."""
    return f'"{max(0.0, round(float(found[1]) * draw.uniform(0.7, 1.3), 2))} mm"'


def changed(folder: Path, draw: random.Random) -> None:
    """One change as a maker might do it, good or bad, to the pattern file or to a drawing."""
    file = folder / "pattern.toml"
    lines = file.read_text(encoding="utf-8").split("\n")
    kind = draw.choice(["length", "length", "length", "all", "line", "away", "drawing", "broken"])
    pieces = [number for number, line in enumerate(lines) if line.startswith("drawing")]
    if kind == "length":
        lengths = [n for n, line in enumerate(lines) if re.search(r'"[0-9.]+ mm"', line)]
        number = draw.choice(lengths)
        lines[number] = re.sub(
            r'"([0-9.]+) mm"', lambda found: another_length(found, draw), lines[number], count=1
        )
    elif kind == "all":
        lines = [re.sub(r"^allowance = .*", 'allowance = "11 mm"', line) for line in lines]
    elif kind == "line":
        words = ['allowance = "13 mm"', 'notches = [{ edge = "A", at = "40 %" }]', "# mine"]
        lines.insert(draw.choice(pieces) + 1, draw.choice(words))
    elif kind == "away":
        words_of_pieces = ("finish", "allowances", "notches = [{", "names", "ease", "grain")
        own = [n for n, line in enumerate(lines) if line.startswith(words_of_pieces)]
        del lines[draw.choice(own)]
    elif kind == "drawing":
        drawing = draw.choice(sorted(folder.glob("*.svg")))
        text = drawing.read_text(encoding="utf-8")
        line = f'<path class="inside" d="M 60 60 l {draw.randint(5, 30)} 20"/>'
        drawing.write_text(text.replace("</svg>", f"{line}</svg>"), encoding="utf-8")
    else:
        slips = ['names = { Z = "nowhere" }', 'part = "elbow"', "allowance = 1 mm", "[[seam"]
        lines.insert(draw.choice(pieces) + 1, draw.choice(slips))
    file.write_text("\n".join(lines), encoding="utf-8")


@pytest.mark.parametrize("demo", CHANGES)
def test_after_any_change_it_is_what_reading_anew_makes(demo: str, tmp_path: Path) -> None:
    """Good changes and bad ones, some taken back: patterns, findings and errors are the same."""
    draw = random.Random(f"changes of the {demo}")
    folder, kept = copied(demo, tmp_path), Redrafter()
    good = tmp_path / "good"
    for number in range(CHANGES[demo]):
        expected = outcome(read, folder)
        made = outcome(kept.read, folder)
        assert made == expected
        assert repr(made) == repr(expected)
        if isinstance(made, Pattern):
            if number % 2 and isinstance(expected, Pattern):
                assert kept.inspect(made) == inspect(expected)
            shutil.copytree(folder, good, dirs_exist_ok=True)
        else:
            shutil.copytree(good, folder, dirs_exist_ok=True)
        changed(folder, draw)


def test_a_new_line_moves_the_places_of_what_stands_below_it(tmp_path: Path) -> None:
    folder, kept = copied("apron", tmp_path), Redrafter()
    kept.inspect(kept.read(folder))
    written(folder, "[[piece]]", "# One more line.\n[[piece]]")
    made = kept.read(folder)
    expected = read(folder)
    assert [piece.wishes for piece in made.pieces] == [piece.wishes for piece in expected.pieces]
    assert made.seams == expected.seams
    assert kept.inspect(made) == inspect(expected)


def test_only_the_piece_that_was_changed_is_cut_anew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    cut: list[str] = []

    def noted(piece: Piece) -> Piece:
        cut.append(piece.name)
        return with_cut(piece)

    monkeypatch.setattr(draft, "with_cut", noted)
    folder, kept = copied("hat", tmp_path), Redrafter()
    first, *others = kept.read(folder).pieces
    assert cut == [first.name, *(piece.name for piece in others)]
    cut.clear()
    drawing = f'drawing = "{first.drawing}"'
    written(folder, drawing, f'{drawing}\nallowance = "9 mm"')
    kept.read(folder)
    assert cut == [first.name]


def test_pieces_that_are_as_they_were_are_the_very_ones(tmp_path: Path) -> None:
    folder, kept = copied("apron", tmp_path), Redrafter()
    before = kept.read(folder)
    assert kept.read(folder) is before
    last = before.pieces[-1]
    written(
        folder, f'drawing = "{last.drawing}"', f'drawing = "{last.drawing}"\nallowance = "7 mm"'
    )
    after = kept.read(folder)
    assert after.pieces[0] is before.pieces[0]
    assert after.pieces[-1] != last


def test_what_is_kept_does_not_grow(tmp_path: Path) -> None:
    folder, kept = copied("hat", tmp_path), Redrafter()
    drawing = f'drawing = "{read(folder).pieces[0].drawing}"'
    text = (folder / "pattern.toml").read_text(encoding="utf-8")
    sizes = []
    for width in range(8, 8 + 2 * ROUNDS):
        changed_text = text.replace(drawing, f'{drawing}\nallowance = "{width} mm"')
        (folder / "pattern.toml").write_text(changed_text, encoding="utf-8")
        kept.read(folder)
        sizes.append(len(kept._memo))
    assert max(sizes) == max(sizes[: ROUNDS + 2])


def test_files_of_a_change_to_be_are_drafted_without_being_written(tmp_path: Path) -> None:
    folder, kept = copied("hat", tmp_path), Redrafter()
    sources = gather(folder)
    assert kept.draft(sources) == read(folder)
    assert kept.read(folder) is kept.draft(sources)


def test_a_drawing_alone_and_a_demo_are_read_too(tmp_path: Path) -> None:
    kept = Redrafter()
    drawing = next((DEMO_PIECES / "hat").glob("*.svg"))
    for source in (drawing, Path("demo:hat")):
        pattern = kept.read(source)
        assert pattern == read(source)
        assert kept.inspect(pattern) == inspect(pattern)


def test_a_pattern_from_elsewhere_is_inspected_all_the_same() -> None:
    pattern = read(Path("demo:hat"))
    assert Redrafter().inspect(pattern) == inspect(pattern)


def test_threads_may_share_it(tmp_path: Path) -> None:
    folder, kept = copied("hat", tmp_path), Redrafter()
    expected = read(folder)

    def work(_: int) -> bool:
        pattern = kept.read(folder)
        return pattern == expected and kept.inspect(pattern) == inspect(expected)

    with ThreadPoolExecutor(4) as pool:
        assert all(pool.map(work, range(4)))
