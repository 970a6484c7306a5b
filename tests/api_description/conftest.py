"""The finished job that the tables of permissions are asked about: here are its records, too."""

from tests.permissions.conftest import _files, _files_of_the_job, finished

__all__ = ["_files", "_files_of_the_job", "finished"]
