"""Runs SQL on rows: reads {tables: [{table, columns, rows}], before, sql} as JSON from stdin (or one table's fields beside
sql), runs `before` as a script, and writes the columns of the answer to `sql` as JSON.

Python's own sqlite3 module, so that the same text is tried on a second engine.
"""
import json
import sqlite3
import sys

job = json.load(sys.stdin)
quoted = lambda name: '"' + name.replace('"', '""') + '"'
connection = sqlite3.connect(":memory:")
for table in job.get("tables", [job]):
    columns = table["columns"]
    connection.execute("CREATE TABLE %s (%s)" % (quoted(table["table"]), ", ".join(quoted(c) for c in columns)))
    connection.executemany(
        "INSERT INTO %s VALUES (%s)" % (quoted(table["table"]), ", ".join("?" for _ in columns)), table["rows"]
    )
connection.executescript(job.get("before", ""))
cursor = connection.execute(job["sql"])
names = [column[0] for column in cursor.description]
rows = cursor.fetchall()
json.dump({name: [row[i] for row in rows] for i, name in enumerate(names)}, sys.stdout)
