"""The forms beside the picture: what they show, what they change, and what they refuse."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.demos import drafted_demo
from tiler.job.editing import edit, version_of
from tiler.output.editing.changes import EdgeAllowance, PatternSays
from tiler.pattern.errors import FileError
from tiler.web.tableforms import changing
from tiler.web.tableforms.found import wish_of
from tiler.web.words import LANGUAGES

PANEL = "/p/hat/table/Brim/panel"
THEN = "<!-- then -->"


def file_of(folder: Path) -> str:
    return (folder / "pattern.toml").read_text("utf-8")


def fields(html: str, form: str) -> dict[str, Any]:
    """What a browser would send of a form: its fields as they stand, without buttons."""
    part = re.search(rf'<form class="edit" id="{form}".*?</form>', html, re.DOTALL)
    assert part, form
    found: dict[str, list[str]] = {}
    for tag in re.findall(r"<input [^>]*>", part[0]):
        about = dict(re.findall(r'([\w-]+)="([^"]*)"', tag))
        chosen = " checked" in tag or about.get("type") not in ("radio", "checkbox")
        if chosen and "name" in about:
            found.setdefault(about["name"], []).append(about.get("value", ""))
    selects = r'<select [^>]*name="([^"]+)".*?>(.*?)</select>'
    for name, options in re.findall(selects, part[0], re.DOTALL):
        chosen_one = re.search(r'<option value="([^"]*)" selected', options)
        first = re.search(r'<option value="([^"]*)"', options)
        value = chosen_one or first
        found.setdefault(name, []).append(value[1] if value else "")
    areas = r'<textarea [^>]*name="([^"]+)"[^>]*>(.*?)</textarea>'
    for name, words in re.findall(areas, part[0], re.DOTALL):
        found.setdefault(name, []).append(words)
    plain = {name: [unescape(value) for value in values] for name, values in found.items()}
    return {name: values[0] if len(values) == 1 else values for name, values in plain.items()}


def shown(studio: TestClient, query: str, form: str, panel: str = PANEL) -> dict[str, Any]:
    page = studio.get(f"{panel}?{query}")
    assert page.status_code == 200
    return fields(page.text, form)


def test_an_edge_shows_what_the_file_says_of_it(studio: TestClient, smock: Path) -> None:
    """The sleeve's head: its name, and the seam that it is in with 15 mm of ease."""
    page = studio.get("/p/smock/table/Sleeve/panel?edge=B").text
    edge = fields(page, "edge")
    assert (edge["lies"], edge["allowance"], edge["name"]) == ("sewn", "", "head")
    assert 'placeholder="15 mm"' in page
    seam = fields(page, "seam-2")
    assert (seam["name"], seam["least"], seam["most"]) == ("sleeve head", "15", "15")
    told = " ".join(re.sub(r"<[^>]*>", " ", page).split())
    assert re.search(r"Sleeve\W?B 538\.4 mm Back\W?D \+ Front\W?D 523\.4 mm", told)
    assert fields(page, "notch-0")["at"] == "85"


def test_a_changed_field_changes_its_own_place_and_nothing_else(
    studio: TestClient, hat: Path
) -> None:
    """The same bytes as the job alone writes; the answer brings the picture and the lengths."""
    before = file_of(hat)
    form = shown(studio, "edge=D", "edge") | {"allowance": "12,5"}
    done = studio.post("/p/hat/edit", data=form)
    assert done.status_code == 200
    for part in ("panel", "history", "picture", "lengths"):
        assert f' id="{part}"' in done.text
    after = file_of(hat)
    line = 'allowances = { D = "12.5 mm" }\n'
    assert after.replace(line, "") == before
    assert "12.5 mm" in done.text
    assert "Undo" in done.text
    assert "Brim, edge D: 12.5 mm" in unescape(done.text)


def test_the_picture_is_sent_before_the_panel_is_made(
    studio: TestClient, hat: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A hand waits for the picture; what goes wrong behind it is told beside it."""
    form = shown(studio, "edge=D", "edge")
    first, then = studio.post("/p/hat/edit", data=form | {"allowance": "12"}).text.split(THEN)
    assert all(f' id="{part}"' in first for part in ("picture", "lengths"))
    assert all(f' id="{part}"' in then for part in ("panel", "history"))

    def gone(*_: object, **__: object) -> str:
        raise FileError("the file is gone", where="pattern.toml")

    form = shown(studio, "edge=D", "edge")
    monkeypatch.setattr(changing, "rendered", gone)
    first, then = studio.post("/p/hat/edit", data=form | {"allowance": "13"}).text.split(THEN)
    assert ' id="picture"' in first
    assert ' id="trouble"' in then
    assert "file is gone" in then


def test_inches_stay_inches(studio: TestClient, hat: Path) -> None:
    """A bare number is in the unit shown; a unit that was typed is kept as it was typed."""
    studio.cookies.set("studio_settings", "en.in.auto")
    studio.post("/p/hat/edit", data=shown(studio, "edge=D", "edge") | {"allowance": "5/8"})
    assert 'allowances = { D = "5/8 in" }' in file_of(hat)
    studio.post("/p/hat/edit", data=shown(studio, "edge=D", "edge") | {"allowance": "1.5 cm"})
    assert 'allowances = { D = "1.5 cm" }' in file_of(hat)


def test_several_fields_are_one_step_to_undo_and_redo(studio: TestClient, hat: Path) -> None:
    before = file_of(hat)
    form = shown(studio, "edge=C", "edge") | {"lies": "hem", "allowance": "20", "name": "end"}
    done = studio.post("/p/hat/edit", data=form)
    assert 'hem = { edge = "C", allowance = "20 mm" }' in file_of(hat)
    assert 'C = "end"' in file_of(hat)
    after = file_of(hat)
    sent = {"piece": "Brim", "panel": "show=edge&edge=C", "based_on": version_of(hat)}
    assert "2 changes" in done.text
    assert studio.post("/p/hat/undo", data=sent).status_code == 200
    assert file_of(hat) == before
    sent["based_on"] = version_of(hat)
    assert studio.post("/p/hat/redo", data=sent).status_code == 200
    assert file_of(hat) == after


def test_what_was_not_touched_is_not_sent_back(studio: TestClient, hat: Path) -> None:
    """A form that is sent as it is changes nothing and makes no history."""
    before = file_of(hat)
    for query, form in (("edge=B", "edge"), ("show=piece", "piece"), ("show=pattern", "whole"),
                        ("show=pattern", "cloth-0"), ("show=pattern", "handover")):  # fmt: skip
        assert studio.post("/p/hat/edit", data=shown(studio, query, form)).status_code == 200
    for query, form in (("edge=D", "notch-0"), ("show=pattern", "seam-1")):
        sent = shown(studio, query, form)
        assert studio.post("/p/hat/edit", data=sent).status_code == 200, form
    assert file_of(hat) == before
    assert not list((hat / ".before").glob("*.toml"))


def test_a_refusal_stands_beside_its_field_and_writes_nothing(
    studio: TestClient, hat: Path
) -> None:
    before = file_of(hat)
    form = shown(studio, "edge=D", "edge") | {"allowance": "twelve"}
    refused = studio.post("/p/hat/edit", data=form)
    assert refused.status_code == 422
    assert 'data-at="edge-allowance"' in refused.text
    assert file_of(hat) == before
    notch = shown(studio, "edge=D", "notch-new") | {"at": "9000"}
    refused = studio.post("/p/hat/edit", data=notch)
    assert refused.status_code == 422
    assert 'data-at="notch-new-at"' in refused.text
    assert file_of(hat) == before


def test_a_conflict_shows_both_values_and_either_can_be_had(studio: TestClient, hat: Path) -> None:
    """Somebody else was faster; nothing is written until the user has chosen."""
    form = shown(studio, "edge=D", "edge")
    edit(hat, EdgeAllowance("Brim", "D", "8 mm"), version_of(hat))
    met = studio.post("/p/hat/edit", data=form | {"allowance": "9"})
    assert met.status_code == 409
    assert "<dd>8 mm</dd>" in met.text
    assert "<dd>9 mm</dd>" in met.text
    assert 'D = "8 mm"' in file_of(hat)
    theirs = re.search(r'id="take-theirs" data-parts href="([^"]+)"', met.text)
    assert theirs
    again = studio.get(unescape(theirs[1]))
    assert fields(again.text, "edge")["allowance"] == "8"
    assert 'id="picture"' in again.text
    mine = re.search(r'form="edge" name="(on_top_of)" value="(\w+)"', met.text)
    assert mine
    sent = form | {"allowance": "9", mine[1]: mine[2]}
    assert studio.post("/p/hat/edit", data=sent).status_code == 200
    assert 'D = "9 mm"' in file_of(hat)


def test_a_change_beside_another_one_is_put_in_and_said(studio: TestClient, hat: Path) -> None:
    form = shown(studio, "edge=D", "edge")
    edit(hat, PatternSays("title", "Hat"), version_of(hat))
    done = studio.post("/p/hat/edit", data=form | {"allowance": "9"})
    assert done.status_code == 200
    assert "changed elsewhere in between" in done.text
    assert 'title = "Hat"' in file_of(hat)
    assert 'D = "9 mm"' in file_of(hat)


def test_undo_of_what_the_page_has_not_seen_is_refused(studio: TestClient, hat: Path) -> None:
    sent = {"piece": "Brim", "panel": "edge=D", "based_on": version_of(hat)}
    edit(hat, PatternSays("title", "Hat"), version_of(hat))
    stale = studio.post("/p/hat/undo", data=sent)
    assert stale.status_code == 409
    assert "all=1" in stale.text
    assert 'title = "Hat"' in file_of(hat)


def test_a_dart_read_off_checks_is_reckoned_and_put_in(studio: TestClient, smock: Path) -> None:
    """Ten checks, 12.5 mm flat and 9.5 mm sewn: 10 x (12.5 - 9.5) = 30 mm, worked by hand."""
    address = "/p/smock/table/Back/reckoned?id=dart-new&flat=12.5&sewn=9,5&repeats=10"
    told = studio.get(address).text
    assert 'id="dart-new-reckoned"' in told
    assert "It takes in 30 mm." in told
    assert "30 mm" not in studio.get(address.replace("10", "")).text
    assert "measures 13 mm" in studio.get(address.replace("9,5", "13")).text
    form = shown(studio, "edge=F", "dart-new", "/p/smock/table/Back/panel")
    form |= {"at": "120", "length": "140", "pressed": "A", "width": "checked"}
    form |= {"flat": "12.5", "sewn": "9.5", "repeats": "10"}
    done = studio.post("/p/smock/edit", data=form)
    assert done.status_code in (200, 422)
    if done.status_code == 200:
        line = 'cloth = { flat = "12.5 mm", sewn = "9.5 mm", repeats = 10 }'
        assert line in file_of(smock)


def test_notches_are_added_changed_and_taken_away(studio: TestClient, hat: Path) -> None:
    before = file_of(hat)
    studio.post("/p/hat/edit", data=shown(studio, "edge=C", "notch-new") | {"at": "50 %"})
    assert '{ edge = "C", at = "50 %" }' in file_of(hat)
    form = shown(studio, "edge=C", "notch-1") | {"at": "20", "start": "end", "count": "2"}
    studio.post("/p/hat/edit", data=form)
    assert '{ edge = "C", at = "20 mm", from = "end", count = 2 }' in file_of(hat)
    form = shown(studio, "edge=C", "notch-1") | {"do": "remove"}
    studio.post("/p/hat/edit", data=form)
    assert file_of(hat) == before


def test_a_piece_is_renamed_everywhere_and_the_page_goes_along(
    studio: TestClient, hat: Path
) -> None:
    form = shown(studio, "show=piece", "piece") | {"piece_name": "Rim"}
    done = studio.post("/p/hat/edit", data=form)
    assert done.headers["x-studio-go"] == "/p/hat/table/Rim"
    assert "Brim." not in file_of(hat)
    assert 'join = ["Rim.C", "Rim.C"]' in file_of(hat)


def test_how_a_piece_is_cut_line_by_line(studio: TestClient, hat: Path) -> None:
    form = shown(studio, "show=piece", "cuts") | {"count.1": "", "count.2": "3", "lay.2": "copies"}
    assert studio.post("/p/hat/edit", data=form).status_code == 200
    assert 'cut = [\n    { count = 4, cloth = "main", lay = "fold" },' in file_of(hat)
    assert '{ count = 3, lay = "copies" }' in file_of(hat)
    assert '{ count = 2, cloth = "interfacing", lay = "fold" }' not in file_of(hat)


def test_the_whole_pattern_cloths_styles_seams_and_measurements(
    studio: TestClient, hat: Path
) -> None:
    """Each form makes its own line, in the words of the pattern file."""
    for form, new, line in (
        ("whole", {"maker": "Plot 7", "traced_stretch": "5"}, 'traced_stretch = "5 %"'),
        ("cloth-0", {"repeat_along": "40", "nap": "yes"}, "nap = true"),
        ("cloth-new", {"cloth": "trim", "words": "Bias tape"}, 'trim = "Bias tape"'),
        ("style-0", {"words": "90 mm"}, 'wide = "90 mm"'),
        ("finished-3", {"measure": "band", "length": "40"}, 'band = "40 mm"'),
        ("handover", {"notions": "Thread\n\nTape", "cords": "no"}, "cords = false"),
        ("seam-1", {"name": "crown", "least": "1", "most": "2"}, 'ease = ["1 mm", "2 mm"]'),
    ):
        sent = shown(studio, "show=pattern", form) | new
        assert studio.post("/p/hat/edit", data=sent).status_code == 200, form
        assert line in file_of(hat), form
    assert 'notions = ["Sewing thread"]' not in file_of(hat)
    assert '"Tape"' in file_of(hat)
    assert "times = [6, 4]" in file_of(hat)


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_panel_speaks_every_language(studio: TestClient, hat: Path, language: str) -> None:
    studio.cookies.set("studio_settings", f"{language}.mm.auto")
    for query in ("edge=B", "show=piece", "show=pattern", "dart=1", "notch=1", "mark=1", "edge=Q"):
        page = studio.get(f"{PANEL}?{query}")
        assert page.status_code == 200, query
        assert 'id="panel"' in page.text
        assert 'id="history"' in page.text


def test_a_drawn_notch_leads_to_its_own_words_in_the_file() -> None:
    """Clockwise on the sleeve: the file asks for the head's notches as 0, 1, 2; C's is 3, A's 4."""
    sleeve = next(piece for piece in drafted_demo("smock").pieces if piece.name == "Sleeve")
    found = [wish_of(sleeve, "notch", number) for number in range(1, 12)]
    numbers = {(wish.edge, wish.number) for wish in found if wish}
    assert numbers == {("A", 4), ("B", 0), ("B", 1), ("B", 2), ("C", 3)}
    back = next(piece for piece in drafted_demo("smock").pieces if piece.name == "Back")
    dart = wish_of(back, "dart", 1)
    assert dart
    assert (dart.key, dart.edge, dart.number) == ("darts", "A", 0)
    seed = next(piece for piece in drafted_demo("smock").pieces if piece.name == "Seed pocket")
    hole = wish_of(seed, "mark", 1)
    assert hole
    assert (hole.key, hole.edge, hole.number) == ("marks", "B", 0)
    assert wish_of(sleeve, "notch", 99) is None


def test_a_file_that_was_spoilt_by_hand_is_shown_as_such(studio: TestClient, hat: Path) -> None:
    """And an edit that does not mend it is refused."""
    form = shown(studio, "edge=D", "edge")
    (hat / "pattern.toml").write_text(file_of(hat).replace('"10 mm"', '"10"', 1), "utf-8")
    page = studio.get(f"{PANEL}?edge=D")
    assert page.status_code == 200
    assert "has no unit" in unescape(page.text)
    assert studio.post("/p/hat/edit", data=form | {"allowance": "9"}).status_code == 422
    mend = {**form, "form": "whole", "was.allowance": "10", "allowance": "11"}
    assert studio.post("/p/hat/edit", data=mend | {"based_on": version_of(hat)}).is_success


def test_what_is_no_form_of_ours_is_refused(studio: TestClient, hat: Path) -> None:
    for form in ("", "nonsense", "notch", "group"):
        sent = {"form": form, "piece": "Brim", "panel": "edge=D", "based_on": version_of(hat)}
        assert studio.post("/p/hat/edit", data=sent).status_code == 422, form
