"""The notes that go with a pattern: facts and words, as one Markdown text.

For callers: fill in `facts.NoteFacts`, then `tiler.output.notes.notes_of(drafted, facts, language,
units)` gives the Markdown with its pictures, the HTML and the PDF.
"""
