"""The worker process: a request a line on standard input, its answer a line on standard output.

Started by the window so that solving never holds up a frame. Knows lines; decides nothing.
"""

from __future__ import annotations

import json
import os
import sys
from contextlib import suppress
from typing import IO

from trainer.view.serving import Serving

#: A little less urgent than the window, where the system knows such a thing.
NICE = 15
REQUEST_MOST = 1_000_000


def serve(source: IO[bytes], target: IO[bytes]) -> None:
    """Until the source ends. An internal error is answered too: the window goes on."""
    serving = Serving()
    for line in source:
        number, answer = None, {}
        try:
            request = json.loads(line[:REQUEST_MOST])
            number = request.get("number")
            answer = serving.answer(request)
        except Exception as error:  # the last resort: told, not lost
            answer = {"error": f"something went wrong inside: {type(error).__name__}: {error}"}
        target.write(json.dumps({**answer, "number": number}).encode("ascii") + b"\n")
        target.flush()
    serving.close()


def main() -> None:
    if hasattr(os, "nice"):
        with suppress(OSError):
            os.nice(NICE)
    serve(sys.stdin.buffer, sys.stdout.buffer)
    # all is written and closed; taking the compiled solver apart would keep the window waiting
    os._exit(0)


if __name__ == "__main__":
    main()
