"""A client that goes on without a network: what is done on site waits in a file until it is sent.

`Phone` is what a page or a program uses; `Store` keeps its queue in SQLite.
"""

from fixtures_demo.queue.phone import MOST_OPERATIONS, Phone, Sent
from fixtures_demo.queue.store import InDoubt, Store

__all__ = ["MOST_OPERATIONS", "InDoubt", "Phone", "Sent", "Store"]
