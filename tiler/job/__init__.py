"""The work itself, for the command, the web page and Python alike."""

from tiler.job.naming import chosen_pieces, slug
from tiler.job.options import JOINTS, MAPS, ORIENTATIONS, Surface
from tiler.job.progress import Progress
from tiler.job.projecting import Projected, Showing, project
from tiler.job.publishing import Published, publish
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
    "Projected",
    "Published",
    "Showing",
    "Surface",
    "chosen_pieces",
    "export",
    "locate",
    "look",
    "project",
    "prove_file",
    "publish",
    "read",
    "refuse_own",
    "slug",
]
