"""Why there is no archive, or why one is not restored."""


class BackupRefused(Exception):
    """Nothing was written that was not there before; the message says why."""


class DamagedArchive(BackupRefused):
    """The archive is not what was written; the message names the part that differs."""
