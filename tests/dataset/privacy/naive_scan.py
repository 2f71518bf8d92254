"""
Looks for words in every byte of a folder, apart from the project: names of files, bytes in UTF-8, Latin-1 and both orders
of UTF-16, texts of XML without tags, members of zip files (a spreadsheet is one) and gzip files, unpacked by Python's own library. Every occurrence
counts that has no letter or digit beside it; frames of C3D files, which are numbers, are left out.

    python3 naive_scan.py FOLDER WORD [WORD ...]     prints each place; nothing when there is none
"""

import gzip
import html
import io
import os
import re
import sys
import zipfile

folder, words = sys.argv[1], sys.argv[2:]


def search(where, data):
    for word in words:
        for encoding in ("utf-8", "utf-16-le", "utf-16-be", "latin-1"):
            needle = word.encode(encoding, "ignore")
            if encoding == "latin-1" and needle == word.encode("utf-8"):
                continue
            at = data.find(needle)
            while at >= 0:
                text_before = data[max(0, at - 2) : at]
                text_after = data[at + len(needle) : at + len(needle) + 2]
                beside = (
                    re.search(rb"[A-Za-z0-9]$", text_before) or re.match(rb"[A-Za-z0-9]", text_after)
                    if encoding in ("utf-8", "latin-1")
                    else re.search(r"\w", text_before.decode(encoding, "ignore"))
                    or re.search(r"\w", text_after.decode(encoding, "ignore"))
                )
                if not beside:
                    print(f"{where}: {word} in {encoding} at byte {at}")
                at = data.find(needle, at + 1)


def look(where, data, depth=0):
    if where.lower().endswith(".c3d"):
        data = data[: max(1024, (data[16] + 256 * data[17] - 1) * 512)]
    search(where, data)
    if data.lstrip()[:1] == b"<":
        search(where + "!text", html.unescape(re.sub("<[^>]*>", "", data.decode("utf-8", "replace"))).encode())
    if depth < 4 and zipfile.is_zipfile(io.BytesIO(data)):
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            for name in packed.namelist():
                search(where + "!name", name.encode())
                look(f"{where}!{name}", packed.read(name), depth + 1)
    if data[:2] == b"\x1f\x8b":
        look(where + "!gz", gzip.decompress(data), depth + 1)


for path, folders, files in os.walk(folder):
    for name in folders + files:
        search("a name", os.path.relpath(os.path.join(path, name), folder).encode())
    for name in files:
        with open(os.path.join(path, name), "rb") as file:
            look(os.path.relpath(os.path.join(path, name), folder), file.read())
