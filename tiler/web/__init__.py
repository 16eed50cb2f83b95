"""The studio: a web page on this computer, over the same functions as the command."""
