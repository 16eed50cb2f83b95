"""The picture of a lay plan is to scale, says what lies how without colour, and can be read."""

from __future__ import annotations

import itertools
from dataclasses import replace
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

import pytest
import shapely
from PIL import Image

from tests.demos import drafted_demo
from tests.printed import fills_on, lines_on, words_on
from tests.sheets.layplans import bounds, demo_plan, laid, row
from tests.sheets.test_nothing_overlaps import colliding_words, struck_words
from tiler.layout.cloth.demand import needs_of
from tiler.layout.cloth.model import Cloth, LayPlan, Part, Spread
from tiler.output.picture import write_picture
from tiler.pattern.bounds import Bounds
from tiler.sheets.drawing import Page
from tiler.sheets.layplan import lay_plan_page
from tiler.sheets.layplancloth import TINT

#: Pattern, cloth and how it lies: each demo, folded and single, narrow and wide.
PLANS = {
    "smock, folded": ("smock", Cloth("main", 1500)),
    "smock, single": ("smock", Cloth("main", 1500, Spread.SINGLE)),
    "smock, narrow": ("smock", Cloth("main", 1100, shrinkage=(0.05, 0.02))),
    "interfacing": ("smock", Cloth("interfacing", 900)),
    "apron": ("apron", Cloth("main", 1400, shrinkage=(0.04, 0.02))),
    "apron, checked": ("apron", Cloth("main", 60 * 25.4, Spread.SINGLE, repeat=(40, 30))),
    "trousers, nap": ("trousers", Cloth("main", 1500, nap=True)),
    "trousers, single": ("trousers", Cloth("main", 36 * 25.4, Spread.SINGLE)),
    "hat": ("hat", Cloth("main", 1100)),
    "hat, striped": ("hat", Cloth("lining", 44 * 25.4, Spread.SINGLE, repeat=(0, 12))),
}
each_plan = pytest.mark.parametrize("name", PLANS)


@cache
def plan_of(name: str) -> LayPlan:
    demo, cloth = PLANS[name]
    return demo_plan(demo, cloth)


def drawn(demo: str, plan: LayPlan) -> Page:
    pattern = drafted_demo(demo)
    return lay_plan_page(plan, needs_of(pattern, plan.cloth.name), pattern)


@cache
def page_of(name: str) -> Page:
    return drawn(PLANS[name][0], plan_of(name))


def texts(page: Page) -> list[str]:
    return [words.text for words in words_on(page)]


def all_words(page: Page) -> str:
    return " ".join(texts(page))


def scale_of(page: Page) -> float:
    (line,) = (text for text in texts(page) if "drawn at 1 : " in text)
    return float(line.partition("drawn at 1 : ")[2])


def cloth_on(page: Page) -> list[Bounds]:
    """The grey stretches of cloth, the samples of the key left out."""
    found = [Bounds(*fill.ink.bounds) for fill in fills_on(page) if fill.grey == TINT]
    return [box for box in found if box.height > 5]


@each_plan
def test_every_word_can_be_read(name: str) -> None:
    """No word lies on another one or on a line, none leaves the paper, all are 7 pt or larger."""
    page = page_of(name)
    assert colliding_words(page) == []
    assert struck_words(page, lambda _: True) == []
    paper = shapely.box(0, 0, page.width, page.height).buffer(-6)
    assert all(paper.covers(words.ink) for words in words_on(page))
    assert min(words.size_pt for words in words_on(page)) >= 7


@each_plan
def test_it_prints_on_a4_and_on_letter_at_full_size(name: str) -> None:
    """A4 is 210 × 297 mm (ISO 216), Letter 8 1/2 × 11 in, so that both hold 210 × 279.4 mm."""
    page = page_of(name)
    short, long = sorted((page.width, page.height))
    assert short <= 210
    assert long <= 11 * 25.4 + 1e-9


@each_plan
def test_pieces_and_cloth_are_to_scale(name: str) -> None:
    """All of the cloth is there, and every outline has its size."""
    page, plan = page_of(name), plan_of(name)
    scale = scale_of(page)
    cloth = cloth_on(page)
    assert sum(box.width for box in cloth) * scale == pytest.approx(plan.length, abs=0.1)
    tall = {part.spread: 1 if part.spread is Spread.SINGLE else 0.5 for part in plan.parts}
    wanted = {round(plan.cloth.across * share, 3) for share in tall.values()}
    assert {round(box.height * scale, 3) for box in cloth} == wanted
    sizes = [line.path.bounds for line in lines_on(page) if line.path.closed]
    for part in plan.parts:
        for each in part.laid:
            box = bounds(each.outline)
            assert any(
                abs(size.width * scale - box.width) < 0.1
                and abs(size.height * scale - box.height) < 0.1
                for size in sizes
            ), each.piece


@each_plan
def test_rules_along_the_edges_measure(name: str) -> None:
    """Between two numbers there is as much cloth as they say, in centimetres and in inches."""
    page = page_of(name)
    scale = scale_of(page)
    seen = set()
    for box in cloth_on(page):
        for unit, long, side in (("cm", 10.0, box.bottom), ("in", 25.4, box.top)):
            places = []
            for words in words_on(page):
                number, _, rest = words.text.partition(" ")
                x, y = words.ink.centroid.coords[0]
                along = box.left - 1 < x < box.right + 4
                if rest == unit and number.isdecimal() and along and abs(y - side) < 5:
                    places.append((x, float(number)))
                    seen.add(unit)
            for (x, number), (further, next_number) in itertools.pairwise(sorted(places)):
                apart = (further - x) * scale / long
                # Digits are not as wide as one another, which shifts a middle by a hair.
                assert apart == pytest.approx(next_number - number, abs=scale * 1.2 / long)
    assert seen == {"cm", "in"}


@each_plan
def test_every_piece_has_its_number_on_the_cloth_and_its_name_in_the_list(name: str) -> None:
    page, plan = page_of(name), plan_of(name)
    demo, cloth = PLANS[name]
    numbers = {piece.name: n for n, piece in enumerate(drafted_demo(demo).pieces, start=1)}
    needs = needs_of(drafted_demo(demo), cloth.name)
    for need in needs:
        assert any(text.startswith(f"{need.piece}: ") for text in texts(page))
        number = f"{numbers[need.piece]}"
        cuts = sum(laid.piece == need.piece for part in plan.parts for laid in part.laid)
        told = [t for t in texts(page) if t == number or t.startswith(f"{number} {need.piece[0]}")]
        # Once in the list, and once for each cut.
        assert len(told) >= 1 + cuts


def test_how_much_to_buy_is_told_in_metres_and_yards() -> None:
    """Rounded up to 10 cm and to 1/8 yd; worked by hand with 1 yd = 0.9144 m.

    1.73 m is 1.892 yd. Washed cloth that gives 5 % was 1.73/0.95 = 1.821 m, one that gives 10 % was
    1.73/0.9 = 1.922 m.
    """
    for share, metres, yards in ((0.0, "1.8 m", "2 yd"), (0.05, "1.9 m", "2 yd")):
        cloth = Cloth("main", 1500, Spread.SINGLE, shrinkage=(share, 0.0))
        plan = replace(demo_plan("apron", cloth), length=1730.0)
        assert f"Buy {metres} ({yards}) of cloth that is 150 cm (59 in) wide." in texts(
            drawn("apron", plan)
        )
    cloth = Cloth("main", 1500, Spread.SINGLE, shrinkage=(0.1, 0.0))
    plan = replace(demo_plan("apron", cloth), length=1730.0)
    assert any("Buy 2.0 m (2 1/8 yd)" in text for text in texts(drawn("apron", plan)))


def test_it_says_what_it_is_a_plan_of() -> None:
    page = page_of("smock, narrow")
    said = all_words(page)
    for words in (
        "Lay plan: main",
        "Gardener's smock",
        "Marrow Lane Allotment Society",
        "pieces cover 50 %",
        "length used",
        "5 % along and 2 % across",
        "rotary cutters",
    ):
        assert words in said


def test_paper_that_lies_face_down_is_hatched_and_told() -> None:
    """The mirrored legs, and no others: told without colour, by lines and by words."""
    pattern = drafted_demo("trousers")
    (need,) = (n for n in needs_of(pattern, "main") if n.piece == "Front")
    cloth = Cloth("main", 1500, Spread.SINGLE)
    up = laid(need, 1, 5.0, 20.0)
    down = laid(need, 2, 5.0, 700.0, down=True)
    end = max(bounds(up.outline).right, bounds(down.outline).right)
    plan = LayPlan(cloth, (Part(Spread.SINGLE, 0.0, end, (up, down)),), end, 0.5)
    page = drawn("trousers", plan)
    scale = scale_of(page)
    (box,) = cloth_on(page)
    slanted = [
        line.path.bounds.centre
        for line in lines_on(page)
        if line.path.bounds.width > 1
        and line.path.bounds.width == pytest.approx(line.path.bounds.height, abs=1e-6)
        and not line.path.closed
        and box.holds(line.path.bounds)
    ]
    assert len(slanted) > 20
    assert all((centre.y - box.bottom) * scale > 700 for centre in slanted)
    assert texts(page).count("face down") == 1
    assert "paper face down: turn it over" in texts(page)
    assert "paper face down: turn it over" not in texts(page_of("trousers, nap"))


def test_pieces_on_the_fold_are_told_and_their_edge_is_a_bar_on_it() -> None:
    page = page_of("smock, folded")
    assert texts(page).count("on the fold") >= 2
    assert "fold" in texts(page)
    lowest = {round(box.bottom, 3) for box in cloth_on(page)}
    bars = [line for line in lines_on(page) if line.pen.width > 1]
    # Those in the key are about as long as a sample.
    on_cloth = [bar for bar in bars if bar.path.bounds.width > 12]
    assert len(on_cloth) >= 2
    assert all(round(bar.path.start.y, 3) in lowest for bar in on_cloth)


def test_folded_and_opened_stretches_are_told_apart() -> None:
    """How many layers lie there, and where the cloth is cut across to open it out."""
    page, plan = page_of("smock, folded"), plan_of("smock, folded")
    said = all_words(page)
    assert "2 layers" in said
    assert "1 layer" in said
    assert f"At {plan.parts[1].start / 10:.1f} cm" in said
    assert "open the rest out to one layer" in said
    assert "open the rest out" not in all_words(page_of("interfacing"))
    assert "2 layers" not in all_words(page_of("smock, single"))


def test_nap_gives_every_arrow_one_head_and_the_cloth_an_arrow() -> None:
    """NIMI dressmaking text (2024), p. 17: both ends for either way, one end for nap."""

    def heads(page: Page) -> int:
        return sum(
            fill.grey == 0.0 and len(fill.ink.exterior.coords) == 4 for fill in fills_on(page)
        )

    plan = plan_of("trousers, nap")
    without = replace(plan, cloth=replace(plan.cloth, nap=False))
    napped, plain = page_of("trousers, nap"), drawn("trousers", without)
    shown = sum(text == "nap" for text in texts(napped))
    assert shown >= 1
    assert "nap" not in texts(plain)
    assert 2 * (heads(napped) - shown) == heads(plain)
    assert "grain and nap: all arrows point the same way" in texts(napped)


def test_the_check_is_drawn_at_its_repeat() -> None:
    page = page_of("apron, checked")
    scale = scale_of(page)
    dashed = [line for line in lines_on(page) if line.pen.dash == (0.8, 0.8)]
    for box in cloth_on(page):
        inside = [line.path.bounds for line in dashed if box.grown(0.01).holds(line.path.bounds)]
        across = sorted(b.left for b in inside if b.width == 0)
        steps = {round((b - a) * scale, 3) for a, b in itertools.pairwise(across)}
        assert steps == {40.0}
        along = sorted(b.bottom for b in inside if b.height == 0)
        steps = {round((b - a) * scale, 3) for a, b in itertools.pairwise(along)}
        assert steps == {30.0}
        # On single cloth a line lies where the first selvedge is.
        assert (along[0] - box.bottom) * scale == pytest.approx(30.0)
    assert "check: one line for each repeat, 40 × 30 mm" in texts(page)


def test_a_fine_stripe_is_thinned_out_and_told() -> None:
    said = all_words(page_of("hat, striped"))
    assert "check: one line for every" in said
    assert "repeats of 12 mm" in said


def test_a_tilt_is_told_instead_of_a_true_grain() -> None:
    plan = plan_of("hat")
    tilted = drawn("hat", replace(plan, cloth=replace(plan.cloth, tilt=2.0)))
    true = "grain: both ends equally far from the selvedge"
    assert true in texts(page_of("hat"))
    assert true not in texts(tilted)
    assert "grain: up to 2° off the selvedge, as you allow" in texts(tilted)


def test_the_list_says_how_each_piece_is_cut_here() -> None:
    """On the fold where cloth is folded, whole where it is not."""
    assert "Front: 1 on the fold" in texts(page_of("smock, folded"))
    assert "Front: 1, laid whole" in texts(page_of("smock, single"))
    assert "Sleeve: 1 and 1 mirrored" in texts(page_of("smock, single"))


def test_the_styles_that_are_laid_are_told() -> None:
    pattern = drafted_demo("smock")
    plan = plan_of("smock, folded")
    chosen = lay_plan_page(plan, needs_of(pattern, "main"), pattern, styles=("short",))
    assert "Style: short." in texts(chosen)
    words = "Each piece takes the room of all its styles: long, short, jacket."
    assert words in texts(page_of("smock, folded"))
    # No piece of the interfacing has styles.
    assert "styles" not in all_words(page_of("interfacing"))


def test_a_plan_that_was_stopped_says_so() -> None:
    plan = replace(plan_of("hat"), stopped=True)
    assert any("Stopped early" in text for text in texts(drawn("hat", plan)))
    assert not any("Stopped early" in text for text in texts(page_of("hat")))


def test_twenty_metres_go_on_one_page() -> None:
    """However long it is: ten smocks, each on cloth of its own width."""
    needs = needs_of(drafted_demo("smock"), "main")
    plan = row([need for _ in range(6) for need in needs], Cloth("main", 900))
    assert plan.length > 20_000
    page = drawn("smock", plan)
    assert sum(box.width for box in cloth_on(page)) * scale_of(page) == pytest.approx(
        plan.length, abs=0.1
    )
    assert colliding_words(page) == []


def test_a_list_of_hundreds_of_pieces_makes_the_page_higher() -> None:
    plan = plan_of("hat")
    pattern = drafted_demo("hat")
    needs = needs_of(pattern, "main")
    page = lay_plan_page(plan, needs * 150, pattern)
    assert sum(text.startswith("Brim: ") for text in texts(page)) == 150
    assert colliding_words(page) == []
    paper = shapely.box(0, 0, page.width, page.height)
    assert all(paper.covers(words.ink) for words in words_on(page))


def test_it_is_written_in_every_format(tmp_path: Path) -> None:
    page = page_of("hat")
    for ending in (".pdf", ".png", ".svg"):
        write_picture(page, "Lay plan", tmp_path / f"plan{ending}")
    assert (tmp_path / "plan.pdf").read_bytes().startswith(b"%PDF-")
    with Image.open(tmp_path / "plan.png") as image:
        assert image.width / image.height == pytest.approx(page.width / page.height, rel=0.01)
    root = ElementTree.parse(tmp_path / "plan.svg").getroot()
    assert root.attrib["width"] == f"{page.width:g}mm"
