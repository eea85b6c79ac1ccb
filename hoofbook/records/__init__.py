"""The only code that knows the database and the archive: frozen values in and out.

Nothing is imported here, so that the command line starts without SQLAlchemy: callers import
`hoofbook.records.book`, `hoofbook.records.archive` or `hoofbook.records.keys` inside the functions that need them.
"""
