"""The alphabet of codes and phrases, which people read off a screen or paper and type with gloves on."""

import secrets

# One of each pair that is taken for the other: no 0 O 1 I L, and 2 5 8 6 V stand for Z S B G U.
ALPHABET = "23456789ACDEFHJKMNPQRTVWXY"
TAKEN_FOR = str.maketrans("ZSBGU", "2586V")


def random_signs(count: int) -> str:
    """`count` random signs of 4.7 bits each."""
    return "".join(secrets.choice(ALPHABET) for _ in range(count))


def parse(typed: str) -> str:
    """Typed text in signs of the alphabet, without spaces and dashes; "" where a sign is not in the alphabet."""
    text = "".join(typed.upper().replace("-", " ").split()).translate(TAKEN_FOR)
    return text if set(text) <= set(ALPHABET) else ""


def grouped(text: str, size: int) -> str:
    """The text in groups, to be read aloud."""
    return " ".join(text[at : at + size] for at in range(0, len(text), size))
