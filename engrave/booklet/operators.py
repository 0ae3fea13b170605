"""Outlines as a PDF has them.

Enters: SVG path data. Leaves: path operators. Knows lines and Bézier curves (SVG 1.1, 8.3; ISO
32000-1, 8.5.2), which is all that our pictures hold.
"""

import re

_TOKEN = re.compile(r"[A-Za-z]|-?(?:\d+\.?\d*|\.\d+)")
_NUMBERS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "Z": 0}


def operators(data: str) -> str:
    """SVG path data of lines and Bézier curves as PDF path operators, one a line."""
    written: list[str] = []
    tokens = _TOKEN.findall(data)
    x = y = start_x = start_y = 0.0
    at, command = 0, "?"
    while at < len(tokens):
        if tokens[at].isalpha():
            command = tokens[at]
            at += 1
        kind = command.upper()
        numbers = [float(token) for token in tokens[at : at + _NUMBERS[kind]]]
        at += len(numbers)
        dx, dy = (x, y) if command.islower() else (0.0, 0.0)
        if kind == "Z":
            x, y = start_x, start_y
            written.append("h")
            continue
        if kind == "C":
            a, b, c, d, e, f = numbers
            x, y = e + dx, f + dy
            written.append(f"{a + dx:.7g} {b + dy:.7g} {c + dx:.7g} {d + dy:.7g} {x:.7g} {y:.7g} c")
            continue
        x = numbers[0] + dx if kind != "V" else x
        y = numbers[-1] + dy if kind != "H" else y
        written.append(f"{x:.7g} {y:.7g} {'m' if kind == 'M' else 'l'}")
        if kind == "M":
            start_x, start_y = x, y
            command = "l" if command == "m" else "L"
    return "\n".join(written)
