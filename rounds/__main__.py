"""`python -m rounds` and the command `rounds`."""

import atexit
import gc
import os
import signal
import sys

# The sums are many and small: a second thread of the linear algebra only gets in their way.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# A start makes much that stays and little that goes: searching it for waste costs a tenth of the
# time. The screens switch it on again; a command has ended before it would be of use.
gc.disable()

# What is left goes with the process: looking through it once more on the way out is time lost.
atexit.register(gc.freeze)

# Who stops it before anything has begun is told nothing, least of all where Python was.
INTERRUPTED = signal.getsignal(signal.SIGINT)
if INTERRUPTED is signal.default_int_handler:
    signal.signal(signal.SIGINT, signal.SIG_DFL)

from rounds.cli.main import main  # noqa: E402

if INTERRUPTED is signal.default_int_handler:
    signal.signal(signal.SIGINT, INTERRUPTED)

__all__ = ["main"]

if __name__ == "__main__":
    sys.exit(main())
