"""Pictures of what was found in a photo, drawn over the photo."""
