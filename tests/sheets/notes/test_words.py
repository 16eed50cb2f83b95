"""The notes say the same in every language, and the words of each stand in its templates alone."""

from __future__ import annotations

import string
import tomllib
from typing import Any

import pytest
from jinja2 import Environment, meta, nodes

from tests.demos import DEMOS, drafted_demo
from tiler.pattern.errors import PatternError
from tiler.sheets.notes.facts import NoteFacts, Units
from tiler.sheets.notes.lengths import Lengths
from tiler.sheets.notes.patternfacts import standard_measure
from tiler.sheets.notes.words import FOLDER, languages, template_of, words_of
from tiler.sheets.notes.writing import SECTIONS, write_notes
from tiler.sheets.words import shipped

LANGUAGES = languages()


def table_of(language: str) -> dict[str, Any]:
    file = shipped("templates") / language / FOLDER / "words.toml"
    return tomllib.loads(file.read_text("utf-8"))


def blanks(value: object) -> object:
    """The blanks of every text, under the keys of the tables; a measure has any number of names."""
    if isinstance(value, dict):
        return {key: blanks(each) for key, each in value.items()}
    if isinstance(value, list):
        return {name for each in value for name in blanks(each)}  # type: ignore[attr-defined]
    return {name for _, name, _, _ in string.Formatter().parse(str(value)) if name is not None}


def test_there_are_three_languages_and_one_is_not_in_latin_letters() -> None:
    assert {"en", "de", "uk"} <= set(LANGUAGES)


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_language_has_the_same_words_with_the_same_blanks(language: str) -> None:
    assert blanks(table_of(language)) == blanks(table_of("en"))


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("section", SECTIONS)
def test_every_language_tells_the_same_facts(language: str, section: str) -> None:
    """A template that leaves out a fact leaves out a sentence."""
    parse = Environment().parse
    here, english = (parse(template_of(each, section)) for each in (language, "en"))
    assert meta.find_undeclared_variables(here) - {"sheets_translated"} == (
        meta.find_undeclared_variables(english) - {"sheets_translated"}
    )
    told = [{node.attr for node in tree.find_all(nodes.Getattr)} for tree in (here, english)]
    assert told[0] == told[1]


@pytest.mark.parametrize("language", LANGUAGES)
def test_there_is_no_other_template(language: str) -> None:
    files = (shipped("templates") / language / FOLDER).iterdir()
    assert {file.name for file in files} == {f"{s}.md.j2" for s in SECTIONS} | {"words.toml"}


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_blank_is_filled_for_every_demo(language: str) -> None:
    for demo in DEMOS:
        text = write_notes(drafted_demo(demo), NoteFacts(), language).markdown
        assert "{" not in text
        assert "None" not in text


def test_what_is_not_the_makers_is_in_the_readers_language() -> None:
    """Between marks stand the maker's words; all others of the Ukrainian notes are Cyrillic."""
    text = write_notes(drafted_demo("trousers"), NoteFacts(), "uk").markdown
    own = []
    for part in text.split("\ue000"):
        own.append(part.rpartition("\ue002")[2])
    words = "".join(own).replace("ISO", "").replace(drafted_demo("trousers").digest, "")
    words = "".join(line for line in words.splitlines() if "notes-pictures/" not in line)
    latin = {w for w in words.split() if any("a" <= c.lower() <= "z" for c in w)}
    assert not latin


def test_a_language_that_is_not_there_is_refused() -> None:
    with pytest.raises(PatternError, match="'xx'"):
        words_of("xx")


def test_lengths_are_told_in_the_readers_units() -> None:
    """25.4 mm to the inch (international yard and pound agreement, 1959)."""
    both = Lengths(words_of("en"), Units.BOTH)
    assert plainly(both.length(15.0)) == "15 mm (5/8 in)"
    assert plainly(both.length(241.3)) == "24.1 cm (9 1/2 in)"
    assert plainly(both.length(99.96)) == "10 cm (3 7/8 in)"
    assert plainly(Lengths(words_of("de"), Units.MM).length(241.3)) == "24,1 cm"
    assert plainly(Lengths(words_of("uk"), Units.INCH).length(25.4)) == "1 дюйм."
    assert plainly(both.paper(215.9, 279.4)) == "216 × 279 mm (8.5 × 11 in)"


def test_cloth_is_told_as_it_is_sold() -> None:
    """Up to the next 10 cm and 1/8 yard (common practice, no source); a yard is 914.4 mm."""
    both = Lengths(words_of("en"), Units.BOTH)
    assert plainly(both.to_buy(2210.0)) == "2.3 m (2 1/2 yd)"
    assert plainly(both.to_buy(914.4)) == "1 m (1 yd)"


def test_a_deviation_is_never_told_smaller_than_it_is() -> None:
    told = Lengths(words_of("en"), Units.MM).exact
    assert [plainly(told(mm)) for mm in (0.0, 0.0001, 0.0101)] == [
        "0.001 mm", "0.001 mm", "0.011 mm",
    ]  # fmt: skip


def test_measurements_of_the_standard_are_known_by_the_makers_words() -> None:
    """Terms of ISO 8559-1:2017, from memory; a German maker's are known too."""
    assert standard_measure("Chest girth", "en-GB") == "chest_girth"
    assert standard_measure("upper arm girth", "") == "upper_arm_girth"
    assert standard_measure("Taillenumfang", "de") == "waist_girth"
    assert standard_measure("Taillenumfang", "fr") == ""
    assert standard_measure("width of the pocket", "en") == ""


def plainly(text: str) -> str:
    return text.replace("\u00a0", " ")
