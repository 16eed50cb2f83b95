"""A projector over a cutting mat: where its pixels fall, in millimetres."""
