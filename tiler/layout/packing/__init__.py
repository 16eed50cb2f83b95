"""Turn and place of every unit on an unbounded grid of page cells, so that few cells carry ink."""
