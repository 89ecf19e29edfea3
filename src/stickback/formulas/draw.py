"""Everything that looks random and is not: seeds and shuffles that come out the same on every machine and version."""

from hashlib import blake2b


def number(*parts: object) -> int:
    """A whole number below 2**53 (exact in JSON everywhere) that follows from the parts."""
    text = "\x1f".join(str(part) for part in parts)
    return int.from_bytes(blake2b(text.encode(), digest_size=8).digest(), "big") >> 11


def order(count: int, seed: int) -> list[int]:
    """The numbers 0 to count-1 in an order that follows from the seed."""
    return sorted(range(count), key=lambda index: number(seed, index))
