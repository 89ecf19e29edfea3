"""The files that every page needs: a browser keeps them for good, at addresses that say what is in them.

Source: RFC 8246, *HTTP Immutable Responses*.
"""

from functools import cache
from hashlib import sha256
from pathlib import Path

from starlette.responses import Response
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

FOLDER = Path(__file__).parent / "static"
FOR_GOOD = "public, max-age=31536000, immutable"
ASKED_AGAIN = "no-cache"  # kept too, but the browser asks whether it still holds


@cache
def stamped(name: str) -> str:
    """The address of a file, with a stamp of what is in it."""
    return f"/static/{name}?{sha256((FOLDER / name).read_bytes()).hexdigest()[:16]}"


class Files(StaticFiles):
    """Gives the files; for good only what was asked for by its own stamp, not by that of another version."""

    async def get_response(self, path: str, scope: Scope) -> Response:
        """The file at a path below the folder."""
        answer = await super().get_response(path, scope)
        own = stamped(path).endswith(f"?{scope['query_string'].decode('latin-1')}")
        answer.headers["Cache-Control"] = FOR_GOOD if own else ASKED_AGAIN
        return answer
