"""The whole of an installation as one file, and back again.

An archive is a tar of gzip; where there is a passphrase, that file is encrypted in the age
format (`encryption`). Its parts are:

    rows/<app>.<model>.jsonl   every row of a model, one JSON object a line (`rows`)
    files/<name>               every file that a row names, under the name that the row has
    keys/...                   what signs, only where it was asked for (`keys`)
    manifest.json              SHA-256 and size of every part before it, counts, migrations

The rows are plain JSON in an order in which every row follows those it refers to, so an archive
goes back into SQLite or PostgreSQL, whichever it came from.
"""
