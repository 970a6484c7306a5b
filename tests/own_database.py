"""A database made for one study or benchmark on the server named in `DATABASE_URL`."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from urllib.parse import urlsplit, urlunsplit

import psycopg
from psycopg import sql


@contextmanager
def own_database(purpose: str) -> Iterator[str]:
    """Its address; it is dropped at the end, whoever is still connected."""
    server, name = os.environ["DATABASE_URL"], f"sillwright_{purpose}_{os.getpid()}"
    _on_server(server, "CREATE DATABASE {}", name)
    try:
        yield urlunsplit(urlsplit(server)._replace(path=f"/{name}"))
    finally:
        _on_server(server, "DROP DATABASE {} WITH (FORCE)", name)


def _on_server(address: str, statement: str, name: str) -> None:
    whole = urlunsplit(urlsplit(address)._replace(path="/postgres"))
    with psycopg.connect(whole, autocommit=True) as connection:
        connection.execute(sql.SQL(statement).format(sql.Identifier(name)))
