"""Club data, the face, and the delivery model."""
