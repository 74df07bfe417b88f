#!/usr/bin/env python3
"""A plain script that brings planar motion back from a cone, for comparison.

It does what one would write first: read every line's words with a regular
expression, cut every move into pieces of 1 mm, take the cone's lift off z, and
turn the head toward where the shell falls. It registers nothing, checks
nothing, minds no limit of the machine, and keeps no tolerance.

    cut_at_1mm.py FILE OUT AXIS_X AXIS_Y SLOPE
"""
import math
import re
import sys

WORD = re.compile(r"([A-Z])\s*([-+]?\d*\.?\d+)")


def bring(lines, out, axis_x, axis_y, slope):
    x = y = z = e = turned = 0.0
    for line in lines:
        line = line.split(";")[0].strip()
        words = {letter: float(number) for letter, number in WORD.findall(line)}
        if words.get("G") not in (0, 1) or not words.keys() & {"X", "Y", "Z", "E"}:
            if line:
                out.write(line + "\n")
            continue
        to_x, to_y = words.get("X", x), words.get("Y", y)
        to_z, to_e = words.get("Z", z), words.get("E", e)
        pieces = max(1, math.ceil(math.hypot(to_x - x, to_y - y) / 1.0))
        for i in range(1, pieces + 1):
            t = i / pieces
            px, py = x + t * (to_x - x), y + t * (to_y - y)
            pz = z + t * (to_z - z) - slope * math.hypot(px - axis_x, py - axis_y)
            azimuth = math.degrees(math.atan2(py - axis_y, px - axis_x))
            turned = azimuth + 360 * round((turned - azimuth) / 360)
            text = f"G1 X{px:.3f} Y{py:.3f} Z{pz:.3f} C{turned:.3f}"
            if "E" in words:
                text += f" E{e + t * (to_e - e):.5f}"
            if "F" in words and i == 1:
                text += f" F{words['F']:.0f}"
            out.write(text + "\n")
        x, y, z, e = to_x, to_y, to_z, to_e


if __name__ == "__main__":
    with open(sys.argv[1]) as source, open(sys.argv[2], "w") as target:
        bring(source, target, *map(float, sys.argv[3:6]))
