"""From a photo to a pattern folder: what is written, and what a refusal shows."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path

import cv2
import numpy as np
import pytest
from PIL import Image

import tiler.intake.photo.capture as chain
from tests.photographs.arranging import random_camera, random_scene
from tests.photographs.cardface import printed_bars
from tests.photographs.photograph import photograph
from tests.photographs.scene import Scene
from tests.photographs.truth import deviation
from tiler.drafting.checks import check
from tiler.intake.folder import read_pattern
from tiler.intake.photo.problem import CaptureError, Spot
from tiler.job.capturing import CapturedFolder, CaptureWishes, capture_folder
from tiler.job.options import Surface
from tiler.job.publishing import publish
from tiler.job.reading import read
from tiler.job.starting import Answers
from tiler.pattern.errors import BlocksheetError, DrawingError, FileError, MeasureError
from tiler.pattern.model import Role
from tiler.proof import prove

#: A demo block (the generator draws it from `demo_pieces`) with five cards on tiles.
SEED = 6


@cache
def shot() -> tuple[Scene, bytes]:
    scene = random_scene(SEED, small=True, details=False)
    camera = random_camera(SEED, scene, width=1600, height=1200)
    return scene, photograph(scene, camera, SEED)


def bars(scene: Scene) -> CaptureWishes:
    """What a careful person reads off the printed bars, to 0.1 mm."""
    across, up = printed_bars()
    card = scene.cards[1]
    read = round(across * card.along, 1), round(up * card.across, 1)
    answers = Answers("Potting smock", traced=Role.STITCH)
    return CaptureWishes(*read, division=0.5, answers=answers)


#: What the one real run found, for what comes after it.
CAPTURED: list[object] = []


@pytest.fixture(scope="module")
def done(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, CapturedFolder]:
    folder = tmp_path_factory.mktemp("capturing")
    scene, content = shot()
    photo = folder / "IMG_0042.jpg"
    photo.write_bytes(content)

    def kept(*words: object) -> object:
        CAPTURED.append(capture(*words))
        return CAPTURED[-1]

    capture: Callable[..., object] = chain.capture
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(chain, "capture", kept)
        return folder, capture_folder([photo], folder / "smock", bars(scene))


def test_a_photographed_demo_block_becomes_a_folder_that_holds_it(
    done: tuple[Path, CapturedFolder],
) -> None:
    """The line lies where the generator drew it, after turning and shifting alone.

    1 mm is what the whole chain owes under stress; the generator shares no code with it.
    """
    folder, _ = done
    pattern = read_pattern(folder / "smock")
    assert (pattern.title, [piece.name for piece in pattern.pieces]) == (
        "Potting smock",
        ["Potting smock"],
    )
    (piece,) = pattern.pieces
    (outline,) = piece.outlines
    assert outline.role is Role.STITCH
    found = np.array(outline.path.flattened(0.01)[:-1])
    truth = [(line.points, line.closed) for line in shot()[0].lines]
    off = deviation([(found, True)], truth)
    assert off.p95 < 1.0
    assert abs(off.scale - 1) < 0.004


def test_nothing_but_the_folder_is_written_and_it_says_how_sure_it_is(
    done: tuple[Path, CapturedFolder],
) -> None:
    folder, told = done
    assert {file.name for file in folder.iterdir()} == {"IMG_0042.jpg", "smock"}
    names = {"pattern.toml", "potting_smock.svg", "capture.jpg"}
    assert {file.name for file in (folder / "smock").iterdir()} == names
    assert {file.name for file in told.started.files} == names
    assert "mm (95 % of their length)" in told.accuracy
    with Image.open(folder / "smock" / "capture.jpg") as picture:
        assert picture.format == "JPEG"
        assert max(picture.size) <= 2700
        # Nothing of the camera's notes, such as where somebody lives.
        assert dict(picture.getexif()) == {}


def test_the_folder_goes_on_to_sheets_that_prove(done: tuple[Path, CapturedFolder]) -> None:
    """Check finds nothing; the picture in the folder does no harm."""
    folder, _ = done
    pattern = read(folder / "smock")
    assert check(pattern) == ()
    (published,) = publish(pattern, [Surface("a4")], folder / "sheets")
    assert prove(published.file).proven


def refusing(error: Exception) -> Callable[..., object]:
    def refuse(*_: object) -> object:
        raise error

    return refuse


def plain_photo(folder: Path, name: str = "a.jpg", size: tuple[int, int] = (800, 600)) -> Path:
    Image.new("RGB", size, (230, 220, 200)).save(folder / name, quality=95)
    return folder / name


MEASURED = CaptureWishes(190.0, 240.0)


def test_a_refusal_marks_the_place_on_the_photo_and_writes_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The ring stands where the step saw the fault."""
    photo = plain_photo(tmp_path)
    spot = Spot(0, np.array([[200.0, 300.0]]), label="gap of 9 mm")
    error = CaptureError("the line has a gap", remedy="Close it.", spots=(spot,), code="gap")
    monkeypatch.setattr(chain, "sightings", refusing(error))
    with pytest.raises(
        CaptureError, match=r"gap\. Close it\. Look at .*smock-problem\.jpg"
    ) as told:
        capture_folder([photo], tmp_path / "smock", MEASURED)
    assert "the place is marked there" in str(told.value)
    assert {file.name for file in tmp_path.iterdir()} == {"a.jpg", "smock-problem.jpg"}
    with Image.open(tmp_path / "smock-problem.jpg") as picture:
        pixels = np.asarray(picture.convert("RGB")).astype(int)
    assert pixels.shape[0] > 600, "what is wrong stands below the photo"
    changed = np.abs(pixels[:600] - (230, 220, 200)).max(axis=2) > 60
    rows, columns = np.nonzero(changed)
    assert abs(rows.min() - 300) < 60
    assert abs(columns.min() - 200) < 60
    assert changed[300, 200] is np.False_, "the place itself stays to be seen"


def test_areas_that_want_a_name_get_a_picture_of_their_own(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its name says what it is for."""
    photo = plain_photo(tmp_path)
    square = np.array([[100.0, 100], [300, 100], [300, 300], [100, 300]])
    spots = (Spot(0, square, True, "A"), Spot(0, square + np.array([200.0, 0.0]), True, "B"))
    error = CaptureError("it is not certain", spots=spots, code="areas-undecided")
    monkeypatch.setattr(chain, "sightings", refusing(error))
    with pytest.raises(CaptureError, match=r"smock-faces\.jpg: the areas have their letters"):
        capture_folder([photo], tmp_path / "smock", MEASURED)
    assert (tmp_path / "smock-faces.jpg").exists()
    assert not (tmp_path / "smock").exists()


def test_spots_on_two_photos_give_two_pictures(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    photos = [plain_photo(tmp_path, "a.jpg"), plain_photo(tmp_path, "b.jpg", (640, 480))]
    spots = tuple(Spot(n, np.array([[50.0, 50.0], [90.0, 60.0]])) for n in (0, 1))
    error = CaptureError("they do not agree", spots=spots, code="card-twice")
    monkeypatch.setattr(chain, "sightings", refusing(error))
    with pytest.raises(CaptureError, match=r"problem\.jpg and .*problem-2\.jpg"):
        capture_folder(photos, tmp_path / "smock", MEASURED)
    with Image.open(tmp_path / "smock-problem-2.jpg") as picture:
        assert picture.width == 640


def test_a_tracing_that_makes_no_piece_is_shown_too(
    done: tuple[Path, CapturedFolder], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was found is drawn on the photo, and no folder is left."""
    import tiler.job.takingup as takingup

    photo = tmp_path / "a.jpg"
    scene, content = shot()
    photo.write_bytes(content)
    assert done
    monkeypatch.setattr(chain, "capture", lambda *_: CAPTURED[-1])
    monkeypatch.setattr(takingup, "take_up_drawn", refusing(DrawingError("it crosses itself")))
    with pytest.raises(DrawingError, match=r"crosses itself\. Look at .*smock-problem\.jpg"):
        capture_folder([photo], tmp_path / "smock", bars(scene))
    assert {file.name for file in tmp_path.iterdir()} == {"a.jpg", "smock-problem.jpg"}


def test_what_cannot_be_is_refused_before_any_photo_is_read(tmp_path: Path) -> None:
    """True size is never guessed, and nothing that is there is written over."""
    photo = plain_photo(tmp_path)
    with pytest.raises(MeasureError, match="never guessed"):
        capture_folder([photo], tmp_path / "smock", CaptureWishes())
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "a.txt").write_text("mine")
    with pytest.raises(FileError, match="not empty"):
        capture_folder([photo], tmp_path / "full", MEASURED)
    with pytest.raises(FileError, match="no such file"):
        capture_folder([tmp_path / "none.jpg"], tmp_path / "smock", MEASURED)
    with pytest.raises(FileError, match="given twice"):
        capture_folder([photo, tmp_path / "." / "a.jpg"], tmp_path / "smock", MEASURED)
    assert {file.name for file in tmp_path.iterdir()} == {"a.jpg", "full"}


def test_a_photo_without_cards_is_refused(tmp_path: Path) -> None:
    """By the real chain."""
    noise = np.random.default_rng(1).integers(0, 255, (600, 800, 3), dtype=np.uint8)
    (tmp_path / "a.png").write_bytes(cv2.imencode(".png", cv2.blur(noise, (5, 5)))[1].tobytes())
    with pytest.raises(CaptureError, match="card"):
        capture_folder([tmp_path / "a.png"], tmp_path / "smock", MEASURED)
    assert not (tmp_path / "smock").exists()


def test_a_fault_of_a_step_is_told_and_no_traceback(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The error behind it is kept for whoever looks for it."""
    photo = plain_photo(tmp_path)
    monkeypatch.setattr(chain, "sightings", refusing(ZeroDivisionError("by zero")))
    with pytest.raises(BlocksheetError, match=r"a\.jpg: .*please report") as told:
        capture_folder([photo], tmp_path / "smock", MEASURED)
    assert isinstance(told.value.__cause__, ZeroDivisionError)


@pytest.mark.parametrize("size", [(1, 1), (3, 500), (60, 40)])
def test_the_smallest_photos_are_refused(tmp_path: Path, size: tuple[int, int]) -> None:
    """By the real chain, in words."""
    with pytest.raises(BlocksheetError) as told:
        capture_folder([plain_photo(tmp_path, size=size)], tmp_path / "smock", MEASURED)
    assert "report" not in str(told.value)
