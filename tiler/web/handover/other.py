"""The pattern in other forms: for other programs, and to go on with elsewhere."""

from __future__ import annotations

from starlette.responses import Response

from tiler.job.naming import file_stem
from tiler.job.showing import export as write_export
from tiler.job.takingaway import take_away
from tiler.web.asking import Asked, answers, url
from tiler.web.handover.work import OUT


@answers("handover")
def export(asked: Asked) -> Response:
    """Write it as DXF, or its folder as one ZIP file."""
    key = asked.path["key"]
    folder = asked.library.folder(key)
    asked.library.refuse_led_out(key, OUT)
    stem = file_stem((asked.pattern(key).title,))
    if asked.field("form") == "dxf":
        target = folder / OUT / f"{stem}.dxf"
        write_export(folder, target)
    else:
        target = folder / OUT / f"{stem}-folder.zip"
        take_away(folder, target)
    here = url("p", key, "handover")
    return asked.show("handover_other.html", key=key, here=here, exported=target.name)
