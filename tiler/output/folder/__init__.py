"""Pattern -> pattern folder: its words as a person would write them, and a drawing a piece."""

from tiler.output.folder.files import folder_files, write_folder

__all__ = ["folder_files", "write_folder"]
