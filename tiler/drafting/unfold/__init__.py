"""Half pieces on a fold: the whole piece, and how squarely its lines meet the fold."""
