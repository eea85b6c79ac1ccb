"""Parts of a photo that nobody shall see: drawn as boxes, kept with the photo, gone from everything made from it."""
