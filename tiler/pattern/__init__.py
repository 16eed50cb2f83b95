"""What a pattern is: the model, lengths, paths and errors. Imports none of the other packages."""
