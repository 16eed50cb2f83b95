"""What the pattern file tells whoever gets the pattern, as a person would write it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tiler.intake.tomlwords import toml_key, toml_string
from tiler.output.folder import toml
from tiler.pattern.handover import ClothFacts, Finished, Handover


def say_handover(head: toml.Table, handover: Handover) -> None:
    """Add to the head of the file what stands there."""
    head.text("address", handover.address)
    head.text("language", handover.language)
    head.text("wearer", handover.wearer.value if handover.wearer else "")
    head.say("cords", "true" if handover.cords else "")
    head.say("small_parts", "true" if handover.small_parts else "")
    for key in ("licence", "notions", "sewing"):
        texts = [toml_string(text) for text in getattr(handover, key)]
        head.say(key, toml.listed(texts, key) if texts else "")


def handover_tables(handover: Handover) -> Iterator[toml.Table]:
    """The tables [finished] and [cutting.…]."""
    if handover.finished:
        table = toml.Table("[finished]")
        for name in dict.fromkeys(each.name for each in handover.finished):
            table.say(name, _lengths([each for each in handover.finished if each.name == name]))
        yield table
    for facts in handover.cloths:
        yield _cutting(facts)


def _lengths(measured: Sequence[Finished]) -> str:
    if measured[0].style:
        return toml.inline([(each.style, toml.length(each.length)) for each in measured])
    return toml.length(measured[0].length)


def _cutting(facts: ClothFacts) -> toml.Table:
    table = toml.Table(f"[cutting.{toml_key(facts.cloth)}]")
    table.text("avoid", facts.avoid)
    table.say("width", "" if facts.width is None else toml.length(facts.width))
    table.say("nap", "" if facts.nap is None else toml.truth(facts.nap))
    if facts.shrinkage:
        table.say("shrinkage", _both([toml.share(share) for share in facts.shrinkage]))
    if facts.repeat:
        table.say("repeat", _both([toml.length(length) for length in facts.repeat]))
    return table


def _both(values: Sequence[str]) -> str:
    return values[0] if len(set(values)) == 1 else f"[{', '.join(values)}]"
