"""All shops out into one file, checked, and in again."""
