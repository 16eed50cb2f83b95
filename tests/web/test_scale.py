"""The scale page says of a print what the job says, and keeps a printer only when it may."""

from __future__ import annotations

import html
import io
import re
from pathlib import Path

import pytest
from pypdf import PdfReader
from starlette.testclient import TestClient

from tiler.job.reading import read
from tiler.job.scaling import bars_of, find_printer, judge_print, printers
from tiler.layout.papers import PAPERS as KNOWN
from tiler.layout.scale import Rule, Setting, causes_for
from tiler.layout.scale.judging import Verdict
from tiler.layout.scale.reading import FINEST
from tiler.pattern.units import MM_PER_INCH, parse_length
from tiler.sheets.scalesheet import bar_lengths_on_sheet
from tiler.web.scale.measured import PAPERS, RULERS, Printed
from tiler.web.scale.picture import picture_of
from tiler.web.scale.told import detail_in_words
from tiler.web.words import LANGUAGES, say

TITLES = {
    Verdict.TRUE: "It prints true",
    Verdict.PRINTER_ERROR: "A small error of the printer itself",
    Verdict.ASK: "The printer itself, or a setting?",
    Verdict.WRONG_SETTING: "A print setting is wrong; the printer is not",
    Verdict.TOO_FAR: "Too far off",
    Verdict.TOO_COARSE: "This ruler is too coarse to tell",
}
#: What both bars of the A4 page (190 and 270 mm) may measure, and the ruler.
READINGS = [
    ("190", "270", "1 mm"),
    ("189.4", "269.2", "0.5 mm"),
    ("189.1", "268.6", "0.5 mm"),
    ("183", "260", "1 mm"),
    ("185.3", "263.3", "1 mm"),
    ("190", "268.9", "0.5 mm"),
    ("188.9", "268.4", "2 mm"),
    ("176", "240", "1 mm"),
]


def measured(studio: TestClient, *, at: str = "judge", **fields: str) -> str:
    sent = {"paper": "a4", "page": "calibration", "ruler": "0.5 mm", **fields}
    answer = studio.post(f"/scale/{at}", data=sent)
    assert answer.status_code == 200, answer.text
    return html.unescape(answer.text)


def title(part: str) -> str:
    found = re.search(r'class="verdict-title">([^<]+)<', part)
    assert found, part
    return found[1]


@pytest.mark.parametrize(("across", "up", "ruler"), READINGS)
def test_the_verdict_is_that_of_the_job(
    across: str, up: str, ruler: str, library: Path, studio: TestClient
) -> None:
    rule = Rule(parse_length(ruler))
    found = judge_print("a4", bars_of("a4"), (float(across), float(up)), rule)
    shown = measured(studio, across=across, up=up, ruler=ruler)
    assert title(shown) == TITLES[found.verdict]
    for axis in (found.across, found.up):
        assert f"{axis.scale * 100:.2f}\u00a0%, ± {axis.pm * 100:.2f}\u00a0%" in shown
    assert ("keepable" in shown) == found.verdict.may_be_kept


def test_what_it_does_to_the_garment_is_that_of_the_job(smock: Path, studio: TestClient) -> None:
    found = judge_print("a4", bars_of("a4"), (189.4, 269.2), Rule(0.5), read(smock))
    shown = measured(studio, across="189.4", up="269.2", **{"for": "smock"})
    girth = found.effects[0]
    assert girth.span.what in shown
    assert f"{abs(girth.worst):.1f} mm small" in shown


def test_inches_are_read_as_inches(library: Path, studio: TestClient) -> None:
    """7 31/64 in and 10 5/8 in, which are 190.1 and 269.9 mm by 25.4 mm to the inch."""
    studio.cookies.set("studio_settings", "en.in.auto")
    shown = measured(studio, across="7 31/64", up="10 5/8", ruler="1/32 in")
    across, up = (7 + 31 / 64) * MM_PER_INCH / 190, (10 + 5 / 8) * MM_PER_INCH / 270
    assert f"{across * 100:.2f}\u00a0%" in shown
    assert f"{up * 100:.2f}\u00a0%" in shown


@pytest.mark.parametrize(("across", "up"), [("", ""), ("190", ""), ("", "270")])
def test_it_waits_for_both_numbers(across: str, up: str, library: Path, studio: TestClient) -> None:
    shown = measured(studio, across=across, up=up)
    assert "verdict-title" not in shown
    assert "as soon as both numbers are typed" in shown


@pytest.mark.parametrize(("across", "up"), [("x", "270"), ("1", "270"), ("0", "0")])
def test_what_cannot_be_is_told_where_the_answer_stands(
    across: str, up: str, library: Path, studio: TestClient
) -> None:
    shown = measured(studio, across=across, up=up)
    assert "verdict-title" not in shown
    assert 'class="warning"' in shown


def test_lengths_of_another_page_are_noticed(library: Path, studio: TestClient) -> None:
    across, up = bars_of("a4", "pattern")
    assert "look like those of a page of a pattern" in measured(
        studio, across=f"{across:g}", up=f"{up:g}"
    )
    shown = measured(studio, across=f"{across:g}", up=f"{up:g}", page="pattern")
    assert title(shown) == TITLES[Verdict.TRUE]


def test_a_printer_is_kept_under_its_name_and_forgotten(library: Path, studio: TestClient) -> None:
    shown = measured(studio, at="keep", across="189.3", up="269.1", name="Kitchen")
    assert "Kitchen is kept" in shown
    kept = find_printer("kitchen")
    assert kept.across == pytest.approx(189.3 / 190)
    assert kept.paper == "a4"
    assert studio.post("/scale/forget", data={"name": "Kitchen"}).status_code == 200
    assert printers() == ()


def test_a_large_error_is_kept_only_when_it_was_measured_twice(
    library: Path, studio: TestClient
) -> None:
    sent = {"across": "189.1", "up": "268.6", "name": "Kitchen"}
    assert title(measured(studio, **sent)) == TITLES[Verdict.ASK]
    assert "measure a second time" in measured(studio, at="keep", **sent)
    assert printers() == ()
    assert "Kitchen is kept" in measured(studio, at="keep", sure="1", **sent)
    assert find_printer("Kitchen").up == pytest.approx(268.6 / 270)


def test_other_figures_are_kept_only_when_that_is_said(library: Path, studio: TestClient) -> None:
    first = {"across": "189.3", "up": "269", "name": "Kitchen", "sure": "1"}
    measured(studio, at="keep", **first)
    before = find_printer("Kitchen")
    other = {**first, "across": "190.9", "up": "271.2"}
    assert "kept with other figures" in measured(studio, at="keep", **other)
    assert find_printer("Kitchen") == before
    assert "is kept" in measured(studio, at="keep", again="1", **other)
    assert find_printer("Kitchen") != before


@pytest.mark.parametrize("name", ["", "../x", "a" * 60])
def test_a_name_that_cannot_be_is_refused_at_its_field(
    name: str, library: Path, studio: TestClient
) -> None:
    sent = {"across": "190", "up": "270", "name": name, "paper": "a4"}
    answer = studio.post("/scale/keep", data=sent)
    assert answer.status_code == 422
    assert 'data-at="name"' in answer.text


def test_a_wrong_setting_is_never_kept(library: Path, studio: TestClient) -> None:
    sent = {"across": "183", "up": "260", "name": "Kitchen", "sure": "1", "again": "1"}
    assert studio.post("/scale/keep", data={"paper": "a4", **sent}).status_code == 422
    assert printers() == ()


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_cause_has_its_words(language: str) -> None:
    class Asked:
        def t(self, key: str, **facts: object) -> str:
            return say(language, "scale", key, **facts)

        def length(self, mm: float, places: int = 1) -> str:
            return f"{mm:.{places}f} mm"

    for paper in PAPERS:
        for cause in causes_for(KNOWN[paper]):
            if cause.detail:
                assert detail_in_words(Asked(), cause.detail)  # type: ignore[arg-type]
    for setting in Setting:
        name = setting.value.replace(" ", "_")
        assert say(language, "scale", f"cause_{name}", detail="")
        assert say(language, "scale", f"remedy_{name}")


@pytest.mark.parametrize("page", ["calibration", "pattern"])
@pytest.mark.parametrize("paper", ["a4", "letter", "a5"])
def test_the_drawing_has_the_bars_of_the_page(paper: str, page: str) -> None:
    printed = Printed(paper, page)
    picture = picture_of(printed)
    assert (picture.across.length, picture.up.length) == pytest.approx(printed.bars)
    for bar in (picture.across, picture.up):
        for end in (bar.start, bar.end):
            assert 0 <= end.x <= picture.width
            assert 0 <= end.y <= picture.height


def test_the_page_to_print_is_a_pdf_of_that_paper(library: Path, studio: TestClient) -> None:
    """ISO 216: A4 is 210 by 297 mm; a point of PDF is 1/72 in (ISO 32000-1, 8.3.2.3)."""
    answer = studio.get("/scale/sheet/a4")
    (page,) = PdfReader(io.BytesIO(answer.content)).pages
    sides = [float(side) / 72 * MM_PER_INCH for side in page.mediabox[2:]]
    assert sides == pytest.approx([210, 297], abs=0.01)
    assert "attachment; filename*=utf-8" in answer.headers["content-disposition"]
    assert studio.get("/scale/drawn/a4").headers["content-type"].startswith("image/svg")


@pytest.mark.parametrize("address", ["sheet/a99", "sheet/a8", "drawn/a99", "sheet/a4?printer=x"])
def test_what_is_not_there_is_refused(address: str, library: Path, studio: TestClient) -> None:
    assert studio.get(f"/scale/{address}").status_code == 422


def test_all_that_is_offered_can_be() -> None:
    assert all(bar_lengths_on_sheet(paper) for paper in PAPERS)
    assert all(parse_length(ruler) >= FINEST for ruler in RULERS)


def test_there_is_one_next_step(library: Path, studio: TestClient) -> None:
    page = studio.get("/scale").text
    assert len(re.findall(r'class="next"', page)) == 1
    for across, up, ruler in READINGS:
        assert (
            len(re.findall(r'class="next"', measured(studio, across=across, up=up, ruler=ruler)))
            == 1
        )
