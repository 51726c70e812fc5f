"""StorageError
├── StorageUnavailable   the disk is full, the file is locked or cannot be written: nothing was kept, try again
├── NotOurs              the file is not a database of this program, or of a newer version of it
└── BadBackup            a backup that is none, was cut off or changed: nothing of it was put anywhere
"""


class StorageError(Exception):
    """Base of all."""


class StorageUnavailable(StorageError):
    """Nothing was kept; the same call may succeed later."""


class NotOurs(StorageError):
    """The file is something else, or from a newer version."""


class BadBackup(StorageError):
    """The backup cannot be used; what it was to be put into is as it was."""
