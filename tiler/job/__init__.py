"""The work itself, for the command, the web page and Python alike."""

from tiler.job.naming import chosen_pieces, slug
from tiler.job.options import JOINTS, MAPS, ORIENTATIONS, Surface
from tiler.job.publishing import Progress, Published, publish
from tiler.job.reading import locate, read, refuse_own
from tiler.job.showing import export, look, prove_file
from tiler.layout.packing.options import EFFORTS, GAP, Packing

__all__ = [
    "EFFORTS",
    "GAP",
    "JOINTS",
    "MAPS",
    "ORIENTATIONS",
    "Packing",
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
