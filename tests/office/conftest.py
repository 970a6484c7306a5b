"""Jobs and papers as the tests of reports have them."""

from tests.reports.conftest import _mail_folder, ask, document, issued, job, office

__all__ = ["_mail_folder", "ask", "document", "issued", "job", "office"]
