"""``python -m tests.pictures`` remakes the pictures in README from the demos as they are now.

``python -m tests.pictures studio`` remakes those of the studio alone, which need Chromium.
"""

from __future__ import annotations

import io
import os
import shutil
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from PIL import Image, ImageChops
from playwright.sync_api import Page as Tab
from playwright.sync_api import expect
from pypdfium2 import PdfDocument

from tests.demos import DEMO_PIECES, drafted_demo, pattern_of_demo
from tests.photographs.arranging import random_camera, random_scene
from tests.photographs.cardface import printed_bars
from tests.photographs.photograph import photograph
from tests.printed import lines_on, words_on
from tests.web.browser import chromium, visit
from tests.web.door import Studio
from tiler.job.capturing import CaptureWishes, capture_folder
from tiler.job.cloth import ClothWishes, lay_plans, write_lay_plans
from tiler.job.projecting import Showing, project
from tiler.layout.mats.mat import Mat
from tiler.layout.packing.options import Packing
from tiler.layout.papers import find_paper
from tiler.layout.place import place
from tiler.layout.tiles import PageSetup
from tiler.output.pdf import pdf_bytes
from tiler.output.picture import write_picture
from tiler.pattern.affine import Point
from tiler.sheets.drawing import Page, Pen
from tiler.sheets.mappicture import draw_map_picture
from tiler.sheets.publication import lay_out
from tiler.sheets.words import say

FOLDER = Path(__file__).parents[1] / "demo_pieces" / "pictures"
DEMO, PAPER = "smock", "a4"
#: Seed of the table that is photographed.
TABLE = 1001
#: Dots to the inch of whole pages, and the widest that the map gets, in dots.
PAGES, MAP = 72.0, 900
#: Height of the studio's window, in pixels: what a small laptop shows of a page.
WINDOW = 860
#: Colours of a picture of the studio, and milliseconds until its pages stand still.
COLOURS, PATIENCE = 64, 120_000


def remake() -> None:
    """Write the pictures that README shows."""
    pattern = pattern_of_demo(DEMO)
    plan = place(pattern, [PageSetup(find_paper(PAPER))], Packing())
    publication = lay_out(pattern, plan)
    document = PdfDocument(pdf_bytes(publication))
    numbers = {page.name: n for n, page in enumerate(publication.pages)}

    def picture(page: Page) -> Image.Image:
        shown = document[numbers[page.name]].render(scale=PAGES / 72, grayscale=True)
        image: Image.Image = shown.to_pil()
        return image

    names = {cell.name for cell in plan.cells}
    pages = [page for page in publication.pages if page.name in names]
    with TemporaryDirectory() as folder:
        file = Path(folder) / "map.png"
        front = len(publication.pages) - len(pages)
        write_picture(draw_map_picture(pattern, plan, front), pattern.title, file)
        map_ = Image.open(io.BytesIO(file.read_bytes())).convert("L")
    map_.thumbnail((MAP, MAP))
    pictures = {
        "start-page": picture(publication.pages[0]),
        "pattern-page": picture(_telling(pages)),
        "assembly-map": map_,
    }
    pictures["mat-window"] = _window(MAP)
    pictures["lay-plan"] = _lay_plan(MAP)
    FOLDER.mkdir(exist_ok=True)
    for name, image in pictures.items():
        image.quantize(32).save(FOLDER / f"{name}.png", optimize=True)
    document.close()
    # A photo has more colours than a palette.
    _captured(MAP).save(FOLDER / "captured.jpg", quality=85)
    studio_pictures()


def studio_pictures() -> None:
    """Write the pictures of the studio, as Chromium shows it: the table, and the page plan."""
    with TemporaryDirectory() as folder:
        library = Path(folder) / "patterns"
        for demo in ("trousers", "hat"):
            shutil.copytree(DEMO_PIECES / demo, library / demo)
        os.environ["BLOCKSHEET_HOME"] = str(Path(folder) / "home")
        with (
            Studio(library) as studio,
            chromium() as browser,
            visit(browser, studio.address, height=WINDOW) as (tab, _),
        ):
            tab.set_default_timeout(PATIENCE)
            _picture_of(_table(tab, studio), "studio-table")
            _picture_of(_printer(tab, studio), "studio-printer")


def _table(tab: Tab, studio: Studio) -> Tab:
    """The back of the trousers, its inseam chosen."""
    tab.goto(f"{studio.origin}/p/trousers/table/Back")
    tab.locator("#lengths input[type=radio]").nth(4).check(force=True)
    expect(tab.locator("#panel")).to_contain_text("Edge E", timeout=PATIENCE)
    return tab


def _printer(tab: Tab, studio: Studio) -> Tab:
    """The hat on its pages."""
    tab.goto(f"{studio.origin}/p/hat/printer")
    expect(tab.locator(".plan-picture svg")).to_be_visible(timeout=PATIENCE)
    return tab


def _picture_of(tab: Tab, name: str) -> None:
    """What the window shows once nothing on the page is awaited."""
    expect(tab.locator("[data-again], [data-done], [aria-busy=true]")).to_have_count(
        0, timeout=PATIENCE
    )
    tab.evaluate("scrollTo(0, 0)")
    image = Image.open(io.BytesIO(tab.screenshot())).convert("RGB")
    image.quantize(COLOURS).save(FOLDER / f"{name}.png", optimize=True)


def _window(widest: float) -> Image.Image:
    """The first window of a piece that needs two, for a projector that leans a little."""
    corners = (Point(-30, -40), Point(690, -20), Point(700, 470), Point(-70, 450))
    mat = Mat("table", 1920, 1080, 620.0, 420.0, corners)
    with TemporaryDirectory() as folder:
        done = project(drafted_demo(DEMO), mat, Path(folder), Showing(styles=("short",)))
        file = next(file for file in sorted(done.folder.glob("*-1-of-2.png")))
        image = Image.open(io.BytesIO(file.read_bytes())).convert("L")
    image.thumbnail((widest, widest))
    return image


def _lay_plan(widest: float) -> Image.Image:
    """The main cloth at the maker's width, without the white below it."""
    with TemporaryDirectory() as folder:
        laid = lay_plans(drafted_demo(DEMO), ClothWishes(cloths=("main",), widths=(1500.0,)))
        (file,) = write_lay_plans(laid, DEMO_PIECES / DEMO, Path(folder), "png")
        image = Image.open(io.BytesIO(file.read_bytes())).convert("L")
    inked = ImageChops.invert(image).getbbox()
    assert inked is not None
    image = image.crop((0, 0, image.width, min(image.height, inked[3] + inked[1])))
    image.thumbnail((widest, image.height))
    return image


def _captured(widest: float) -> Image.Image:
    """What `capture` shows of a photo of an invented tracing, in colour."""
    scene = random_scene(TABLE)
    photo = photograph(scene, random_camera(TABLE, scene), TABLE)
    card, (across, up) = scene.cards[0], printed_bars()
    wishes = CaptureWishes(round(across * card.along, 1), round(up * card.across, 1))
    with TemporaryDirectory() as folder:
        file = Path(folder) / "IMG_0042.jpg"
        file.write_bytes(photo)
        done = capture_folder([file], Path(folder) / "block", wishes)
        image = Image.open(io.BytesIO(done.pictures[0].read_bytes())).convert("RGB")
    image.thumbnail((widest, widest))
    return image


def _telling(pages: list[Page]) -> Page:
    """The page with a fold bracket's words that has the most kinds of lines."""
    folded = [page for page in pages if any(w.text == say("fold_edge") for w in words_on(page))]

    def pens(page: Page) -> set[Pen]:
        return {line.pen for line in lines_on(page) if line.pattern and not line.ink.is_empty}

    return max(folded or pages, key=lambda page: len(pens(page)))


if __name__ == "__main__":
    studio_pictures() if sys.argv[1:] == ["studio"] else remake()
