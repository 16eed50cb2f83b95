"""Whatever is asked of any address, and however broken the library is: words, and no fault of ours.

The addresses are those that the studio has; the odd values are of our own making.
"""

from __future__ import annotations

import importlib
import os
import random
import re
import shutil
import subprocess
from collections.abc import Mapping
from pathlib import Path
from urllib.parse import quote

import pytest
from starlette.routing import Route
from starlette.testclient import TestClient

from tests.web.door import client_of
from tests.web.tabs import PATTERN, PIECES, trug
from tiler.job.editing import version_of
from tiler.job.mats import new_mat
from tiler.web import worker
from tiler.web.app import PAGES
from tiler.web.state import State
from tiler.web.tableforms.changing import FORMS

ODD = (
    "", "0", "-1", "nan", "inf", "1e400", "1e308 mm", "5/8", "5/0", "²", "٣", "１２ mm", "1_000",
    "9" * 5000, "a" * 3000, "\x00", "a\nb", '"]\n[x]\ny = "', "\\", "{0}{n}", "%s", "é", "👒",
    "<b>", "../..", "A", "B", "Z", "main", "a4", "mat:bench", "roll:900mm", "roll:0mm", "on",
    "sewn", "hem", "fold", "50 %", "12 mm", "1,5", "x=1\r\nX-Y: z", "show=edge&edge=B", "notch=²",
)  # fmt: skip
_FIELDS = re.compile(r'(?:name="|(?:field|query|typed|text|is_new|length|count)\(")([\w.-]+)"')
WEB = Path(worker.__file__).parent
TABLE = f"/p/trug/table/{quote(PIECES[0])}"
READ = (
    "/", "/begin", "/p/trug", "/p/trug/picture", "/p/trug/table", TABLE, f"{TABLE}/parts",
    f"{TABLE}/findings", f"{TABLE}/panel?edge=A", f"{TABLE}/panel?show=piece",
    f"{TABLE}/panel?show=pattern", "/p/trug/printer", "/p/trug/cloth", "/p/trug/handover",
    "/p/trug/handover/notes", "/scale?for=trug", "/mats", "/p/trug/made/sheets/x.pdf",
)  # fmt: skip
WRITE: tuple[tuple[str, Mapping[str, str]], ...] = (
    ("/p/trug/edit", {"form": "edge", "edge": "A", "piece": PIECES[0], "allowance": "13",
                      "was.allowance": "-", "panel": "edge=A"}),
    ("/p/trug/undo", {"piece": PIECES[0]}),
    ("/p/trug/handover/export", {"form": "dxf"}),
    ("/p/trug/copy", {"name": "copy"}),
    ("/begin/demo", {"name": "hat"}),
    ("/mats/new", {"name": "m", "width": "900", "height": "600", "across_px": "1920",
                   "down_px": "1080"}),
)  # fmt: skip


@pytest.fixture(autouse=True)
def nothing_long(monkeypatch: pytest.MonkeyPatch) -> None:
    """Long work ends at once, as if somebody had ended its process."""

    def ended(*_: object) -> subprocess.Popen[bytes]:
        pipe = subprocess.PIPE
        return subprocess.Popen(["true"], stdin=pipe, stdout=pipe, start_new_session=True)

    monkeypatch.setattr(worker, "started", ended)


def route_paths() -> list[tuple[str, str]]:
    """Method and address of every page."""
    routes: list[Route] = []
    for page in PAGES:
        routes += importlib.import_module(f"tiler.web.{page}").routes
    found = [("GET" if "GET" in (each.methods or ()) else "POST", each.path) for each in routes]
    return [each for each in found if each[1] not in ("/leave", "/p/{key}/put-away")]


def test_no_address_and_no_field_is_too_odd(state: State, library: Path) -> None:
    """A good hundred requests with a seed; each form of the table among them."""
    trug(library)
    new_mat("bench", "1920x1080", "900 mm x 600 mm")
    files = [*WEB.rglob("*.py"), *WEB.rglob("*.html")]
    names = sorted({n for file in files for n in _FIELDS.findall(file.read_text("utf-8"))})
    assert len(names) > 100
    studio, odd = client_of(state), random.Random(8)
    known = {"key": ["trug"] * 5, "piece": [*PIECES], "name": ["bench", "hat"], "part": ["sheets"],
             "kind": ["png"], "paper": ["a4"]}  # fmt: skip

    def part(found: re.Match[str]) -> str:
        running = [*state.works._all, *state.incoming._all] if found[1] in ("id", "work") else []
        usual = known.get(found[1], []) + running
        return quote(odd.choice(usual) if usual and odd.random() < 0.85 else odd.choice(ODD))

    paths = route_paths()
    for method, path in paths + [("POST", "/p/{key}/edit")] * 40:
        address = re.sub(r"\{(\w+)\}", part, path)[:4000]
        sent = {odd.choice(names): odd.choice(ODD) for _ in range(odd.randrange(12))}
        if path.endswith("/edit"):
            fields = odd.sample(names, 6)
            sent |= {f"was.{name}": "-" for name in fields}
            sent |= {name: odd.choice(ODD) for name in fields}
            sent |= {"form": odd.choice([*FORMS]), "piece": odd.choice(PIECES), "edge": "A"}
            sent |= {"based_on": version_of(library / "trug"), "number": odd.choice("07x")}
        if method == "GET":
            answer = studio.get(address, params=sent, follow_redirects=False)
        else:
            answer = studio.post(address, data=sent)
        assert answer.status_code < 500, (method, address[:200], sent, answer.text[:600])
        assert "Traceback" not in answer.text
    assert (library / "trug" / "pattern.toml").read_text("utf-8").startswith("# Traced")


def walk(library: Path) -> None:
    """Look at every page and write a little; whatever the state, it is told in words."""
    state = State(library)
    studio = client_of(state)
    try:
        for path in READ:
            answer = studio.get(path, follow_redirects=False)
            assert answer.status_code < 500, (path, answer.text[:800])
        for path, sent in WRITE:
            answer = studio.post(path, data={**sent, "based_on": "0" * 16})
            assert answer.status_code < 500, (path, answer.text[:800])
    finally:
        state.works.end()


@pytest.mark.parametrize(
    "text",
    [
        "title = [",
        "",
        "title = 'x'\npiece = 3",
        "[[piece]]\nname = []",
        PATTERN.replace("Trug flap", "Pot band"),
        PATTERN.replace('"10 mm" ', "1e400 "),
        PATTERN.partition("[[piece]]")[0],
        PATTERN.replace("Pot band", "שלום \u202e👒").replace("Trug cover", "{n} %s 👒"),
        f"a = {'[' * 3000}{']' * 3000}",
    ],
)
def test_a_pattern_file_in_any_state(library: Path, text: str) -> None:
    (trug(library) / "pattern.toml").write_text(text, "utf-8")
    walk(library)


def test_files_that_are_none_and_names_that_are_no_text(library: Path) -> None:
    folder = trug(library)
    (folder / "band.svg").unlink()
    os.mkfifo(folder / "band.svg")
    sheets = folder / "sheets"
    sheets.mkdir()
    (sheets / os.fsdecode(b"\xff\xfe.pdf")).write_bytes(b"x")
    (sheets / "dir.pdf").mkdir()
    (sheets / "nowhere.pdf").symlink_to("/nowhere")
    trug(library / "..").rename(library / os.fsdecode(b"\xff\xfe"))
    (folder / ".before").mkdir()
    (folder / ".before" / "history.json").write_text('{"at": 9, "states": [{"version": 3}]}')
    walk(library)


def test_folders_that_go_while_their_page_is_open(library: Path) -> None:
    folder, state = trug(library), State(library)
    studio = client_of(state)
    assert studio.get(TABLE).status_code == 200
    for gone in (folder, library):
        shutil.rmtree(gone)
        for path in (TABLE, f"{TABLE}/parts", f"{TABLE}/panel?edge=A", "/", "/p/trug/printer"):
            assert studio.get(path).status_code < 500, path
        for path, sent in WRITE[:-1]:
            assert studio.post(path, data=sent).status_code in (404, 422) or gone is folder, path


def test_a_home_that_is_spoilt_is_told(
    library: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    trug(library)
    home = tmp_path / "spoilt"
    home.write_text("no folder")
    monkeypatch.setenv("BLOCKSHEET_HOME", str(home))
    walk(library)


def test_a_full_disk_leaves_the_pattern_as_it_was(
    studio: TestClient, library: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No file of this process may grow any more, which is how a full disk looks to it."""
    import resource

    folder = trug(library)
    path, sent = WRITE[0]
    form = {**sent, "based_on": version_of(folder)}
    assert studio.get(TABLE).status_code == 200
    least, most = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, most))
    try:
        answer = studio.post(path, data=form)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (least, most))
    assert answer.status_code == 422
    assert "cannot be written" in answer.text
    assert (folder / "pattern.toml").read_text("utf-8") == PATTERN
    assert not list(folder.rglob(".blocksheet-*"))
    assert studio.post(path, data=form).status_code == 200
