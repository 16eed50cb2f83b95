"""Every page of the studio, over a library with a demo in it."""

from __future__ import annotations

#: Name -> address; `smock` and `hat` lie in the library.
PLACES = {
    "shelf": "/",
    "begin": "/begin",
    "table": "/p/smock/table",
    "table of a piece": "/p/smock/table/Sleeve",
    "printer": "/p/hat/printer",
    "cloth": "/p/hat/cloth",
    "hand-over": "/p/hat/handover",
    "scale": "/scale",
    "scale for a garment": "/scale?for=smock",
    "mats": "/mats",
    "refusal": "/p/nothing/table",
}
