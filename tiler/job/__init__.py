"""The work itself, for the command, the web page and Python alike."""

from tiler.job.naming import chosen_pieces, slug
from tiler.job.options import EFFORTS, JOINTS, MAPS, ORIENTATIONS, Laying, Surface
from tiler.job.publishing import Progress, Published, publish
from tiler.job.reading import locate, read, refuse_own
from tiler.job.showing import export, look, prove_file

__all__ = [
    "EFFORTS",
    "JOINTS",
    "MAPS",
    "ORIENTATIONS",
    "Laying",
    "Progress",
    "Published",
    "Surface",
    "chosen_pieces",
    "export",
    "locate",
    "look",
    "prove_file",
    "publish",
    "read",
    "refuse_own",
    "slug",
]
