"""The ringer: what rings, in which words, delivered once to each phone."""
