"""Every page speaks every language of the studio; names and blanks are the same in all."""

from __future__ import annotations

import re
import string
import tomllib
from pathlib import Path

import pytest

from tiler.sheets.words import shipped
from tiler.web.app import PAGES
from tiler.web.templates import HTML
from tiler.web.words import LANGUAGES, form_of

FILES = sorted(path.name for path in (shipped("templates") / "en" / "studio").glob("*.toml"))
_FORMS = {"en": ("one", "many"), "de": ("one", "many"), "uk": ("one", "few", "many")}
_COUNTED = re.compile(r"(.+)_(one|few|many)")


def texts(language: str, file: str) -> dict[str, str]:
    path = shipped("templates") / language / "studio" / file
    return dict(tomllib.loads(path.read_text("utf-8")))


def counted_in(found: dict[str, str]) -> dict[str, tuple[str, str]]:
    """Of the keys that say a number of things: name without its form, and the form."""
    forms = {key: match for key in found if (match := _COUNTED.fullmatch(key))}
    return {key: (m[1], m[2]) for key, m in forms.items() if f"{m[1]}_many" in found}


def blanks(text: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name is not None}


def plain(language: str, file: str) -> dict[str, set[str]]:
    """Names and blanks, the forms of what is counted taken as one."""
    found: dict[str, set[str]] = {}
    counted = counted_in(texts(language, file))
    for key, text in texts(language, file).items():
        name = f"{counted[key][0]}_…" if key in counted else key
        found[name] = found.get(name, set()) | blanks(text)
    return found


def test_every_page_has_its_words() -> None:
    assert sorted(f"{page}.toml" for page in PAGES) == FILES


@pytest.mark.parametrize("file", FILES)
@pytest.mark.parametrize("language", LANGUAGES)
def test_names_and_blanks_are_those_of_english(language: str, file: str) -> None:
    assert plain(language, file) == plain("en", file)
    for key, text in texts(language, file).items():
        assert text.strip(), key


@pytest.mark.parametrize("file", FILES)
@pytest.mark.parametrize("language", LANGUAGES)
def test_what_is_counted_has_all_forms_of_its_language(language: str, file: str) -> None:
    found: dict[str, set[str]] = {}
    for name, form in counted_in(texts(language, file)).values():
        found.setdefault(name, set()).add(form)
    assert all(forms == set(_FORMS[language]) for forms in found.values()), found


@pytest.mark.parametrize("file", FILES)
def test_other_languages_are_not_english_again(file: str) -> None:
    """A few words are the same in two languages; most are not."""
    english = texts("en", file)
    for language in ("de", "uk"):
        same = [key for key, text in texts(language, file).items() if english.get(key) == text]
        assert len(same) <= max(3, len(english) // 5), same


def test_ukrainian_counts_as_its_grammar_does() -> None:
    """The examples of the CLDR plural rules for uk (integers)."""
    rules = {
        "one": (1, 21, 31, 101, 1001),
        "few": (2, 3, 4, 22, 24, 102, 1002),
        "many": (0, 5, 11, 12, 14, 19, 100, 111, 112, 1000),
    }
    for form, numbers in rules.items():
        assert {form_of("uk", n) for n in numbers} == {form}


def test_no_template_holds_scripts_or_styles_of_its_own() -> None:
    """The page's policy would refuse them."""
    for file in sorted(Path(HTML).rglob("*.html")):
        text = file.read_text("utf-8")
        assert not re.search(r"\sstyle\s*=|<style|\son[a-z]+\s*=|javascript:", text), file.name
        for script in re.findall(r"<script[^>]*>", text):
            assert "src=" in script, file.name
