"""What is understood of something typed."""

from stickback.kinds.protocol import Kind, Unclear


def heard(body: Kind, text: str, **values: str) -> str | None:
    """The answer as it is stored; None where it is asked again."""
    found = body.understand(text, values)
    return None if isinstance(found, Unclear) else found
