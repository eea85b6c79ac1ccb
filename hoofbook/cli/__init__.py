"""The command line: shows what casework returns, as plain text or as one JSON document."""
