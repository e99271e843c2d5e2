"""What an exit code means, the same for every command."""

from enum import IntEnum


class Exit(IntEnum):
    """1 beats 4 beats 3."""

    DONE = 0
    NO = 1  # a verdict is fail, or a check does not hold
    USAGE = 2  # the call, or a spec, job or layout, is malformed
    UNREADABLE = 3  # some input could not be read; the rest was done
    UNDECIDED = 4
    INTERRUPTED = 130
