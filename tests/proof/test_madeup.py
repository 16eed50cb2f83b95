"""A record that says for which printer its pages are is read with distrust."""

from __future__ import annotations

import json
from typing import Any

import pytest

from tests.demos import pattern_of_demo
from tests.laying import laid
from tiler.layout.papers import find_paper
from tiler.layout.scale import Printer
from tiler.layout.tiles import PageSetup
from tiler.pattern.errors import NotProvenError
from tiler.proof.record import read_record
from tiler.sheets.publication import lay_out


@pytest.fixture(scope="module")
def said() -> dict[str, Any]:
    pattern = pattern_of_demo("hat")
    printer = Printer("Shed", 1.01, 0.99, 0.001, 0.001, "a4")
    plan = laid(pattern, [PageSetup(find_paper("a4"), printer=printer)])
    record: dict[str, Any] = json.loads(lay_out(pattern, plan).attachments[0].content)
    return record


def test_it_names_the_printer_and_what_is_sent_for_a_millimetre(said: dict[str, Any]) -> None:
    record = read_record(json.dumps(said).encode(), "x.pdf")
    assert record.printer == "Shed"
    assert record.sent == pytest.approx((1 / 1.01, 1 / 0.99))


def test_without_it_a_millimetre_is_a_millimetre(said: dict[str, Any]) -> None:
    plain = {key: value for key, value in said.items() if key != "made_up"}
    record = read_record(json.dumps(plain).encode(), "x.pdf")
    assert record.printer == ""
    assert record.sent == (1.0, 1.0)


@pytest.mark.parametrize(
    "made_up",
    [
        {"printer": "Shed", "sent": [1.02, 1.0]},
        {"printer": "Shed", "sent": [1.0, 1 / 1.0151]},
        {"printer": "Shed", "sent": [0.0, 1.0]},
        {"printer": "Shed", "sent": [-1.0, 1.0]},
        {"printer": "Shed", "sent": [1.0]},
        {"printer": "Shed", "sent": ["1", 1.0]},
        {"printer": "Shed"},
        {"printer": "", "sent": [1.01, 1.0]},
        {"printer": 7, "sent": [1.01, 1.0]},
        {"sent": [1.01, 1.0]},
        [1.01, 1.0],
        None,
    ],
)
def test_what_no_printer_in_order_does_is_refused(said: dict[str, Any], made_up: object) -> None:
    """More than 1.5 % (common practice, no source) is a wrong setting, and never made up for."""
    with pytest.raises(NotProvenError):
        read_record(json.dumps({**said, "made_up": made_up}).encode(), "x.pdf")
