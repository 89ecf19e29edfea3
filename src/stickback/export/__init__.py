"""Results as files: the same rows in every format."""
