"""Codes and phrases that people read off a screen or a sheet of paper and type with gloves on."""

import secrets

# One of each pair that is taken for the other: no 0 O 1 I L, and 2 5 8 6 V stand for Z S B G U.
ALPHABET = "23456789ACDEFHJKMNPQRTVWXY"
TAKEN_FOR = str.maketrans("ZSBGU", "2586V")


def drawn(count: int) -> str:
    """So many signs by chance: 4.7 bits each."""
    return "".join(secrets.choice(ALPHABET) for _ in range(count))


def read(typed: str) -> str:
    """What was typed as signs of the alphabet, without spaces and dashes; "" where a sign is none of it."""
    said = "".join(typed.upper().replace("-", " ").split()).translate(TAKEN_FOR)
    return said if set(said) <= set(ALPHABET) else ""


def grouped(said: str, size: int) -> str:
    """In groups, to be read aloud."""
    return " ".join(said[at : at + size] for at in range(0, len(said), size))
