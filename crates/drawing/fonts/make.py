"""Makes the two faces and the width table in this folder from an unpacked @fontsource/atkinson-hyperlegible.

    python make.py PACKAGE_FOLDER        (needs fonttools and brotli)

Latin and extended Latin are joined into one file per weight, hinting is left out (print and present
screens do not use it), kerning and tabular figures stay. The face lacks a few signs of the trade; they
are drawn below from the face's own stroke, so that no other face has to stand in for them.
"""

import csv
import sys
from math import atan2, cos, pi, sin, tan
from pathlib import Path

from fontTools import subset
from fontTools.merge import Merger
from fontTools.pens.transformPen import TransformPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont

HERE = Path(__file__).parent
FAMILY = "Bankwright Lettering"
WEIGHTS = {"400": "Regular", "700": "Bold"}


def arc(pen, centre, radius, start, end):
    """Quadratic curves along an ellipse; the pen already stands at the start."""
    steps = max(2, round(abs(end - start) / (pi / 4)))
    turn = (end - start) / steps
    for k in range(steps):
        a, b = start + k * turn, start + (k + 1) * turn
        middle, reach = (a + b) / 2, 1 / cos(turn / 2)
        control = (centre[0] + radius[0] * reach * cos(middle), centre[1] + radius[1] * reach * sin(middle))
        to = (centre[0] + radius[0] * cos(b), centre[1] + radius[1] * sin(b))
        pen.qCurveTo(control, to)


def polygon(pen, points):
    pen.moveTo(points[0])
    for p in points[1:]:
        pen.lineTo(p)
    pen.closePath()


def ohm(pen, width, thin):
    """A ring open at the bottom, on two feet."""
    cx, cy, rx, ry = width / 2, 352, width / 2 - 48, 328
    inner = (rx - thin * 1.05, ry - thin)
    low = 1.12  # half the opening, seen from the middle [rad]
    foot = thin
    side = -atan2(1, (1 / ((cy - foot) / ry) ** 2 - 1) ** 0.5)
    left_in = (cx + inner[0] * cos(-pi / 2 - (pi / 2 - low)), cy + inner[1] * sin(-pi / 2 - (pi / 2 - low)))
    right_in = (2 * cx - left_in[0], left_in[1])
    right_out = (cx + rx * cos(side), cy + ry * sin(side))
    pen.moveTo((36, 0))
    pen.lineTo((left_in[0] + 6, 0))
    pen.lineTo(left_in)
    arc(pen, (cx, cy), inner, -pi + low, -2 * pi - low)
    pen.lineTo((right_in[0] - 6, 0))
    pen.lineTo((width - 36, 0))
    pen.lineTo((width - 36, foot))
    pen.lineTo(right_out)
    arc(pen, (cx, cy), (rx, ry), side, pi - side)
    pen.lineTo((36, foot))
    pen.closePath()


def arrow(pen, width, thin, turn):
    """An arrow to the right, turned about the middle of the figure height."""
    cx, cy = width / 2, 300
    half, head, wing = width / 2 - 50, 210, 165
    turned = TransformPen(pen, (cos(turn), sin(turn), -sin(turn), cos(turn), cx, cy))
    t = thin / 2
    # The barbs are strokes of the same thickness as the shaft.
    slant = thin * 1.2
    polygon(
        turned,
        [(-half, -t), (half - slant * 0.9, -t), (half - head, -wing + slant * 0.42), (half - head + slant * 0.62, -wing - t),
         (half, 0), (half - head + slant * 0.62, wing + t), (half - head, wing - slant * 0.42), (half - slant * 0.9, t), (-half, t)],
    )


def tick(pen, width, thin):
    t = thin
    polygon(pen, [(60, 300), (60 + t * 0.75, 300 + t * 0.75), (245, 190 + t * 0.35), (width - 60 - t * 0.75, 640),
                  (width - 60, 640 - t * 0.75), (245, 0 + 60)])


def add(font, name, code, width, draw):
    pen = TTGlyphPen(None)
    draw(pen, width)
    glyph = pen.glyph()
    font["glyf"][name] = glyph
    glyph.recalcBounds(font["glyf"])
    font["hmtx"][name] = (width, glyph.xMin)
    for table in font["cmap"].tables:
        if table.isUnicode():
            table.cmap[code] = name
    order = font.getGlyphOrder()
    if name not in order:
        font.setGlyphOrder([*order, name])


def compare(font, name, code, like):
    """A less or greater sign raised over a bar."""
    glyphs, cmap = font.getGlyphSet(), font.getBestCmap()
    minus = font["glyf"][cmap[0x2212]]
    thin = minus.yMax - minus.yMin
    width = font["hmtx"][cmap[ord(like)]][0]

    def draw(pen, width):
        glyphs[cmap[ord(like)]].draw(TransformPen(pen, (1, 0, 0, 0.86, 0, 118 + thin * 0.55)))
        polygon(pen, [(40, 0), (40, thin), (width - 40, thin), (width - 40, 0)])

    add(font, name, code, width, draw)


def complete(font):
    """Adds the signs that the face lacks."""
    cmap = font.getBestCmap()
    minus = font["glyf"][cmap[0x2212]]
    thin = minus.yMax - minus.yMin
    wide = font["hmtx"][cmap[ord("O")]][0]
    add(font, "ohm", 0x2126, wide, lambda pen, w: ohm(pen, w, thin))
    for table in font["cmap"].tables:
        if table.isUnicode():
            table.cmap[0x03A9] = "ohm"
    compare(font, "lessequal", 0x2264, "<")
    compare(font, "greaterequal", 0x2265, ">")
    for name, code, turn in [("arrowright", 0x2192, 0), ("arrowup", 0x2191, pi / 2), ("arrowleft", 0x2190, pi), ("arrowdown", 0x2193, -pi / 2)]:
        add(font, name, code, 760, lambda pen, w, turn=turn: arrow(pen, w, thin, turn))
    add(font, "check", 0x2713, 640, lambda pen, w: tick(pen, w, thin * 1.1))


def renamed(font, style):
    """The file is changed, so it does not pass as the original; copyright and licence stay as they are."""
    texts = {1: FAMILY, 2: style, 3: f"{FAMILY} {style} 1", 4: f"{FAMILY} {style}", 6: f"BankwrightLettering-{style}"}
    for record in font["name"].names:
        if record.nameID in texts:
            record.string = texts[record.nameID]
    font["name"].names = [n for n in font["name"].names if n.nameID in (0, 1, 2, 3, 4, 5, 6, 13, 14)]


def made(package, weight, style):
    parts = []
    for script in ("latin", "latin-ext"):
        font = TTFont(package / "files" / f"atkinson-hyperlegible-{script}-{weight}-normal.woff2")
        font.flavor = None
        options = subset.Options(hinting=False, layout_features=["kern", "tnum"], name_IDs=["*"], notdef_outline=True)
        cutter = subset.Subsetter(options)
        cutter.populate(unicodes=font.getBestCmap().keys())
        cutter.subset(font)
        path = HERE / f"part-{script}.ttf"
        font.save(path)
        parts.append(path)
    font = Merger().merge([str(p) for p in parts])
    for p in parts:
        p.unlink()
    complete(font)
    renamed(font, style)
    # No clock in the file: the same input gives the same bytes.
    font["head"].created = font["head"].modified = 3660000000
    font.recalcTimestamp = False
    font.flavor = "woff2"
    font.save(HERE / f"lettering-{weight}.woff2")
    # The same face unpacked, for the PDF writer, which takes single glyphs out of it.
    plain = TTFont(HERE / f"lettering-{weight}.woff2", recalcTimestamp=False)
    plain.flavor = None
    plain.save(HERE / f"lettering-{weight}.ttf")
    return font


def main():
    package = Path(sys.argv[1])
    fonts = {weight: made(package, weight, style) for weight, style in WEIGHTS.items()}
    # The licence as it came, its line ends evened.
    lines = (package / "LICENSE").read_text().splitlines()
    (HERE / "OFL.txt").write_text("\n".join(line.rstrip() for line in lines) + "\n")
    maps = {weight: font.getBestCmap() for weight, font in fonts.items()}
    codes = sorted(code for code in set(maps["400"]) & set(maps["700"]) if code >= 0x20)
    with open(HERE / "widths.csv", "w", newline="") as out:
        rows = csv.writer(out, lineterminator="\n")
        rows.writerow(["code", "regular_per_1000_em", "bold_per_1000_em"])
        for code in codes:
            rows.writerow([f"{code:04X}"] + [fonts[w]["hmtx"][maps[w][code]][0] for w in WEIGHTS])


main()
