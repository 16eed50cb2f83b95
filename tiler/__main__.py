"""``python -m tiler`` is the same as ``blocksheet``."""

from tiler.cli.main import run

run()
