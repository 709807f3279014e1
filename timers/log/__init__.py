"""The append-only log: one writer, one reader for pages, the sync over both."""
