"""Pattern -> a `pattern.toml` that explains itself to somebody who begins one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tiler.intake.tomlwords import toml_string
from tiler.output.folder import toml
from tiler.output.folder.commentedpiece import NewPiece, say_piece, seam_example
from tiler.output.folder.remarks import Remarks, listed
from tiler.output.folder.toml import inline, length
from tiler.pattern.model import Pattern, Role

#: Examples are not wishes: any length would do.
_ALLOWANCE, _MEASURE, _WIDTH = "15 mm", "106 cm", "150 cm"


@dataclass(frozen=True, slots=True)
class NewPattern:
    """What is known when a pattern begins.

    Args:
        pattern: Title, maker, cloths and styles, as far as they are known; its pieces do not count.
        pieces: With what is known of each.
        allowance: For all pieces that say nothing else, millimetres; None when not said.
        traced: What the outlines are whose drawings do not say; None when nobody has said.
    """

    pattern: Pattern
    pieces: tuple[NewPiece, ...]
    allowance: float | None = None
    traced: Role | None = None

    @property
    def open(self) -> tuple[NewPiece, ...]:
        """The pieces whose drawings do not say what the outline is."""
        return tuple(each for each in self.pieces if each.unsaid)

    @property
    def traced_for_all(self) -> bool:
        """Whether one word at the head of the file can say it: no drawing says otherwise."""
        said = {each.piece.outlines[0].role for each in self.pieces if not each.unsaid}
        return said <= {self.traced or Role.STITCH}


def commented_words(new: NewPattern, language: str = "en") -> str:
    """The pattern file: what is said, and all else as remarks and examples.

    With the ``#`` in front of every example taken away, it is a pattern file too.

    Args:
        new: What is known.
        language: Of the remarks.

    Raises:
        PatternError: A piece says something that the pattern file has no words for.
    """
    out = Remarks(language)
    out.remark("head")
    out.remark("head_next")
    _whole(new, out, language)
    _handover(out)
    _cloths(new.pattern, out)
    out.part(out.word("pieces"))
    out.blank()
    out.remark("pieces_about")
    for piece in new.pieces:
        say_piece(piece, new, out)
    seam_example(new.pieces, out)
    return "\n".join(out.lines()) + "\n"


def _whole(new: NewPattern, out: Remarks, language: str) -> None:
    pattern = new.pattern
    out.part(out.word("pattern"))
    out.blank()
    out.remark("title")
    out.say("title", toml_string(pattern.title))
    for key, said, example in (
        ("maker", pattern.maker, out.word("maker_example")),
        ("version", pattern.version, "1"),
        ("about", pattern.about, out.word("about_example")),
    ):
        out.blank()
        out.remark(key)
        out.say_or(key, toml_string(said) if said else "", toml_string(example))
    out.blank()
    _traced(new, out, language)
    out.blank()
    out.remark("allowance_cut" if _all_cut(new.pieces) else "allowance")
    out.remark("allowance_zero")
    said = "" if new.allowance is None else length(new.allowance)
    out.say_or("allowance", said, toml_string(_ALLOWANCE))
    out.blank()
    out.remark("traced_from")
    out.say_or(
        "traced_from",
        toml_string(pattern.traced_from) if pattern.traced_from else "",
        toml_string(out.word("traced_from_example")),
    )


def _all_cut(pieces: Sequence[NewPiece]) -> bool:
    return all(outline.role is Role.CUT for piece in pieces for outline in piece.piece.outlines)


def _traced(new: NewPattern, out: Remarks, language: str) -> None:
    if not new.open:
        out.remark("traced_drawn")
        return
    out.remark("traced")
    if new.traced is None:
        names = listed([each.piece.name for each in new.open], language)
        out.remark("traced_open", pieces=names)
    if new.traced_for_all:
        said = toml_string(new.traced) if new.traced else ""
        out.say_or("traced", said, toml_string(Role.STITCH))


def _handover(out: Remarks) -> None:
    out.part(out.word("handover"))
    cutting = [
        ("width", toml_string(_WIDTH)),
        ("shrinkage", toml.share(0.05)),
        ("nap", toml.truth(value=False)),
        ("avoid", toml_string(out.word("cutting_example_avoid"))),
    ]
    examples = (
        ("address", toml_string("https://example.org/smock")),
        ("licence", toml_string(out.word("licence_example"))),
        ("language", toml_string("en")),
        ("wearer", toml_string("adult")),
        ("cords", toml.truth(value=False)),
        ("small_parts", toml.truth(value=False)),
        ("notions", _texts(out, "notions_example_thread", "notions_example_buttons")),
        ("sewing", _texts(out, "sewing_example_first", "sewing_example_second")),
        ("finished", inline([(out.word("finished_example"), toml_string(_MEASURE))])),
        ("cutting", inline([("main", inline(cutting))])),
    )
    for key, value in examples:
        out.blank()
        out.remark(key)
        out.example(key, value)


def _texts(out: Remarks, *keys: str) -> str:
    return f"[{', '.join(toml_string(out.word(key)) for key in keys)}]"


def _cloths(pattern: Pattern, out: Remarks) -> None:
    out.part(out.word("cloths"))
    out.blank()
    out.remark("cloth")
    out.plain(["[cloth]"])
    for name, text in pattern.cloths:
        out.say(name, toml_string(text))
    if not any(name == "main" for name, _ in pattern.cloths):
        out.example("main", toml_string(out.word("cloth_example")))
    if not pattern.styles:
        return
    out.part(out.word("styles"))
    out.blank()
    out.remark("style")
    out.plain(["[style]"])
    for name, text in pattern.styles:
        said = toml_string(text) if text else ""
        out.say_or(name, said, toml_string(out.word("style_example")))
