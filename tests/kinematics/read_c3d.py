"""An independent reader of C3D files (standard library only), from the public description of the format at c3d.org.

Prints what a file holds as JSON: python3 read_c3d.py FILE
"""
import json
import struct
import sys


def number(order, kind, data, at):
    if kind == "f" and order == "DEC":
        a, b, c, d = data[at : at + 4]
        # VAX F_floating: words in little order, exponent bias 128 with a fraction in [0.5, 1)
        sign = -1.0 if b & 0x80 else 1.0
        exponent = ((b & 0x7F) << 1) | (a >> 7)
        fraction = ((a & 0x7F) << 16) | (d << 8) | c
        return 0.0 if exponent == 0 else sign * (0.5 + fraction / 2.0**24) * 2.0 ** (exponent - 128)
    return struct.unpack_from((">" if order == "SGI" else "<") + kind, data, at)[0]


def parameters(data, start, order):
    groups, found, at = {}, {}, start + 4
    while True:
        length, group = struct.unpack_from("bb", data, at)
        if length == 0:
            break
        length = abs(length)
        name = data[at + 2 : at + 2 + length].decode("latin-1")
        pointer = at + 2 + length
        step = number(order, "H", data, pointer)
        if group < 0:
            groups[-group] = name
        else:
            kind, rank = struct.unpack_from("bB", data, pointer + 2)
            sizes = list(data[pointer + 4 : pointer + 4 + rank])
            count = 1
            for size in sizes:
                count *= size
            body = pointer + 4 + rank
            if kind == -1:
                width = sizes[0]
                value = [data[body + i : body + i + width].decode("latin-1").rstrip() for i in range(0, count, width)]
            else:
                value = [number(order, {1: "b", 2: "h", 4: "f"}[kind], data, body + abs(kind) * i) for i in range(count)]
            found[(group, name)] = value
        if step == 0:
            break
        at = pointer + step
    return {groups[g] + ":" + n: v for (g, n), v in found.items()}


def read(path):
    data = open(path, "rb").read()
    assert data[1] == 0x50, "no C3D file"
    start = (data[0] - 1) * 512
    order = {84: "Intel", 85: "DEC", 86: "SGI"}[data[start + 3]]
    word = lambda index: number(order, "H", data, 2 * (index - 1))
    points, analog, first, last, block, samples = word(2), word(3), word(4), word(5), word(9), word(10)
    scale, rate = number(order, "f", data, 12), number(order, "f", data, 20)
    found = parameters(data, start, order)
    at, size, kind = (block - 1) * 512, (4, "f") if scale < 0 else (2, "h"), None
    size, kind = size
    factor = 1.0 if scale < 0 else scale
    frames, raw = [], []
    for _ in range(last - first + 1):
        frame = []
        for _ in range(points):
            x, y, z, w = (number(order, kind, data, at + size * i) for i in range(4))
            frame.append(None if w < 0 else [x * factor, y * factor, z * factor, abs(scale) * (int(w) & 0xFF)])
            at += 4 * size
        frames.append(frame)
        raw.append([number(order, kind, data, at + size * i) for i in range(analog)])
        at += analog * size
    return {
        "order": order, "rate": rate, "first": first, "points": points, "samples": samples,
        "labels": found["POINT:LABELS"], "unit": found["POINT:UNITS"][0], "frames": frames, "analog": raw,
        "event": found.get("EVENT:TIMES"),
    }


print(json.dumps(read(sys.argv[1])))
