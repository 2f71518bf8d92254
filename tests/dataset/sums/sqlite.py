"""Runs SQL on rows: reads {columns, rows, table, sql} as JSON from stdin, writes the answer's columns as JSON.

Python's own sqlite3 module, so that the same text is tried on a second engine.
"""
import json
import sqlite3
import sys

job = json.load(sys.stdin)
quoted = lambda name: '"' + name.replace('"', '""') + '"'
connection = sqlite3.connect(":memory:")
connection.execute("CREATE TABLE %s (%s)" % (quoted(job["table"]), ", ".join(quoted(c) for c in job["columns"])))
connection.executemany(
    "INSERT INTO %s VALUES (%s)" % (quoted(job["table"]), ", ".join("?" for _ in job["columns"])), job["rows"]
)
cursor = connection.execute(job["sql"])
names = [column[0] for column in cursor.description]
rows = cursor.fetchall()
json.dump({name: [row[i] for row in rows] for i, name in enumerate(names)}, sys.stdout)
