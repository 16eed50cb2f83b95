"""The world -> Pattern: drawings and pattern folders read into the model."""
