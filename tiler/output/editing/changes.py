"""All changes that a pattern file can have."""

from __future__ import annotations

from tiler.output.editing.change import Change
from tiler.output.editing.edges import (
    EdgeAllowance,
    EdgeFinish,
    EdgeLies,
    EdgeNamed,
    StyleEdges,
)
from tiler.output.editing.entries import (
    AddEntry,
    ChangeEntry,
    DartWords,
    FisheyeWords,
    MarkWords,
    NotchWords,
    RemoveEntry,
)
from tiler.output.editing.pieces import (
    CutWords,
    PieceCuts,
    PieceGrain,
    PieceNamed,
    PieceNotes,
    PieceSays,
)
from tiler.output.editing.seams import AddSeam, ChangeSeam, Group, RemoveSeam, SeamWords
from tiler.output.editing.several import Several
from tiler.output.editing.whole import (
    ClothFact,
    ClothSays,
    ClothStretches,
    FinishedMeasure,
    PatternLists,
    PatternSays,
    StyleSays,
)

__all__ = [
    "AddEntry",
    "AddSeam",
    "Change",
    "ChangeEntry",
    "ChangeSeam",
    "ClothFact",
    "ClothSays",
    "ClothStretches",
    "CutWords",
    "DartWords",
    "EdgeAllowance",
    "EdgeFinish",
    "EdgeLies",
    "EdgeNamed",
    "FinishedMeasure",
    "FisheyeWords",
    "Group",
    "MarkWords",
    "NotchWords",
    "PatternLists",
    "PatternSays",
    "PieceCuts",
    "PieceGrain",
    "PieceNamed",
    "PieceNotes",
    "PieceSays",
    "RemoveEntry",
    "RemoveSeam",
    "SeamWords",
    "Several",
    "StyleEdges",
    "StyleSays",
]
