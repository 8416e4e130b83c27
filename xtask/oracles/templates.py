"""The templates that the product writes, read back by other programs: poppler for PDF, ezdxf for DXF.

    python3 xtask/oracles/templates.py FOLDER DEMO...

FOLDER holds a book of each demo, as `bankwright book` writes it. Prints one line a check:
`ok   NAME` or `FAIL NAME: WHY`. Nothing is taken from the product but its files: holes are found in
the PDF as closed curves, in the DXF as circles, and the two have to agree to 0.2 mm; the bar has to
measure 100 mm, and to be caught when the page is printed at 97 %.
"""

import pathlib
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ET

import ezdxf

MM = 25.4 / 72
# What a print may be out before a hole no longer meets its bolt.
ALLOWED = 0.2
SENTENCE = "Measure the bar: 100 mm or do not drill."
PAPERS = {"letter": (215.9, 279.4), "a4": (210.0, 297.0)}
FAILED = []


def check(name, good, why=""):
    """One check."""
    if good:
        print(f"ok   {name}")
    else:
        print(f"FAIL {name}: {why}")
        FAILED.append(name)


def said(*words):
    """What a program prints."""
    done = subprocess.run([str(w) for w in words], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        raise RuntimeError(f"{words[0]} ended with {done.returncode}: {done.stderr.strip()}")
    return done.stdout


def multiplied(outer, inner):
    a, b, c, d, e, f = outer
    g, h, i, j, k, m = inner
    return (a * g + c * h, b * g + d * h, a * i + c * j, b * i + d * j, a * k + c * m + e, b * k + d * m + f)


def matrix(text):
    found = re.search(r"matrix\(([^)]*)\)", text or "")
    if not found:
        return (1, 0, 0, 1, 0, 0)
    return tuple(float(n) for n in re.split(r"[ ,]+", found.group(1).strip()))


def curves(pdf, page):
    """Every stroked or filled path of a page: its points, its fill, in millimetres of the sheet."""
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder) / "page.svg"
        # Poppler would fit the page to whole points; its size must stay.
        said("pdftocairo", "-svg", "-noshrink", "-nocenter", "-f", page, "-l", page, pdf, path)
        root = ET.parse(path).getroot()
    found = []

    def walk(node, at):
        at = multiplied(at, matrix(node.get("transform")))
        tag = node.tag.split("}")[-1]
        if tag in ("defs", "clipPath"):
            return
        if tag == "path":
            pieces = re.findall(r"[MLCHVZ]|-?[0-9.]+(?:e-?[0-9]+)?", node.get("d"))
            numbers = [float(p) for p in pieces if p not in "MLCHVZ"]
            points = [
                ((at[0] * x + at[2] * y + at[4]) * MM, (at[1] * x + at[3] * y + at[5]) * MM)
                for x, y in zip(numbers[::2], numbers[1::2])
            ]
            found.append((points, node.get("fill"), pieces.count("C")))
        for child in node:
            walk(child, at)

    walk(root, (1, 0, 0, 1, 0, 0))
    return found


def box(points):
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)


def bar_mm(pdf, page):
    """Length of the check bar: the squares of ten by two, laid end to end."""
    rows = {}
    for points, _, bends in curves(pdf, page):
        if not points or bends:
            continue
        left, top, right, low = box(points)
        # A page on its side has its bar upright.
        upright = low - top > right - left
        start, end, side, depth = (top, low, left, right - left) if upright else (left, right, top, low - top)
        if 1.5 < depth < 2.5 and 8 < end - start < 12:
            rows.setdefault((upright, round(side, 1)), set()).update((start, end))
    # Ten squares end to end have eleven different ends; nothing else on a sheet is made so.
    whole = [max(ends) - min(ends) for ends in rows.values() if len({round(e, 1) for e in ends}) == 11]
    return whole[0] if len(whole) == 1 else 0.0


def circles(pdf, page):
    """Round holes of a page: middle and diameter. A circle is four curves."""
    found = set()
    for points, _, bends in curves(pdf, page):
        if bends == 4 and len(points) in (13, 14):  # the pen may go back to the start
            left, top, right, low = box(points)
            if abs((right - left) - (low - top)) < 0.05:
                found.add((round((left + right) / 2, 3), round((top + low) / 2, 3), round(right - left, 2)))
    return sorted(found)


def apart(places):
    """Every distance between two of them."""
    return sorted(
        ((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5 for n, a in enumerate(places) for b in places[n + 1 :]
    )


def pages(pdf):
    return int(re.search(r"Pages:\s+(\d+)", said("pdfinfo", pdf)).group(1))


def maps(pdf):
    """Pages before the first sheet."""
    texts = said("pdftotext", "-layout", pdf, "-").split("\f")[:-1]
    return sum(1 for text in texts if "sheet map" in text)


def check_sheets(name, pdf, paper):
    """Paper, bar, sentence and lettering on every sheet, the map included."""
    info = said("pdfinfo", "-box", "-f", "1", "-l", "999", pdf)
    sizes = [tuple(float(n) * MM for n in m) for m in re.findall(r"size:\s+([0-9.]+) x ([0-9.]+) pts", info)]
    want = sorted(PAPERS[paper])
    off = max(abs(a - b) for size in sizes for a, b in zip(sorted(size), want))
    check(f"{name}: paper of {len(sizes)} pages", off < 0.01, f"{off:.3f} mm off")
    bars = [bar_mm(pdf, n) for n in range(1, pages(pdf) + 1)]
    worst = max(abs(b - 100) for b in bars)
    check(f"{name}: bar on every sheet", worst <= ALLOWED, f"{worst:.2f} mm off in {bars}")
    texts = said("pdftotext", "-layout", pdf, "-").split("\f")[:-1]
    without = [n for n, text in enumerate(texts, 1) if SENTENCE not in re.sub(r"\s+", " ", text)]
    check(f"{name}: sentence on every sheet", not without, f"not on {without}")


def check_scaled(name, pdf):
    """A page printed at 97 %: its bar reads 97 mm, which is far more than a reading's error off."""
    info = said("pdfinfo", "-f", "1", "-l", "1", pdf)
    wide, high = re.search(r"size:\s+([0-9.]+) x ([0-9.]+) pts", info).groups()
    with tempfile.TemporaryDirectory() as folder:
        small = pathlib.Path(folder) / "small.pdf"
        # The whole page, fitted to paper that is 97 % as wide and as high, as "fit to page" does; poppler
        # turns the paper itself.
        wide, high = sorted(round(float(side) * 0.97) for side in (wide, high))
        said("pdftocairo", "-pdf", "-f", "1", "-l", "1", "-paperw", wide, "-paperh", high, pdf, small)
        bar = bar_mm(small, 1)
    caught = abs(bar - 100) > 1.0 and abs(bar - 97) < 0.3
    check(f"{name}: a print at 97 % is caught", caught, f"the bar then reads {bar:.2f} mm")


def check_holes(name, pdf, shop):
    """Holes of the PDF and of the shop's file: the same distances, sheet by sheet."""
    shop_holes = [
        (c.dxf.center.x, c.dxf.center.y, c.dxf.radius * 2) for c in shop.query("CIRCLE") if c.dxf.layer == "DRILL"
    ]
    if not shop_holes:
        return
    sizes = {round(h[2], 1) for h in shop_holes}
    true = apart(shop_holes)
    seen, worst = 0, 0.0
    for page in range(maps(pdf) + 1, pages(pdf) + 1):
        here = [c for c in circles(pdf, page) if any(abs(c[2] - s) < 0.15 for s in sizes)]
        seen += len(here)
        for distance in apart(here):
            worst = max(worst, min(abs(distance - t) for t in true))
    check(f"{name}: {len(shop_holes)} holes found on the sheets", seen >= len(shop_holes), f"only {seen}")
    check(f"{name}: distances of holes within {ALLOWED} mm", worst <= ALLOWED, f"{worst:.3f} mm off")


def middles(pdf, page):
    """Register marks of a page by letter: the ring's middle beside the letter."""
    found = {}
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder) / "words.html"
        said("pdftotext", "-bbox", "-f", page, "-l", page, pdf, path)
        text = path.read_text(encoding="utf-8")
    rings = [c for c in circles(pdf, page) if abs(c[2] - 5.0) < 0.1]
    word = r'xMin="([0-9.]+)" yMin="([0-9.]+)" xMax="([0-9.]+)" yMax="([0-9.]+)">([a-z]{1,2})</word>'
    for left, top, right, low, letter in re.findall(word, text):
        x, y = (float(left) * MM, (float(top) + float(low)) / 2 * MM)
        near = [r for r in rings if abs(r[0] + 3.2 - x) < 1.0 and abs(r[1] + 2.2 - y) < 2.0]
        if near:
            found[letter] = near[0][:2]
    return found


def check_joined(name, pdf, shop):
    """The sheets laid mark on mark: every hole then lies where the shop's file has it."""
    holes = [(c.dxf.center.x, c.dxf.center.y, c.dxf.radius * 2) for c in shop.query("CIRCLE") if c.dxf.layer == "DRILL"]
    before = maps(pdf)
    count = pages(pdf) - before
    if count < 2:
        return
    marks = {n: middles(pdf, n + before) for n in range(1, count + 1)}
    offsets = {1: (0.0, 0.0)}
    worst = 0.0
    waiting = [1]
    while waiting:
        here = waiting.pop(0)
        for other in marks:
            common = [k for k in marks[here] if k in marks[other]]
            if other == here or not common:
                continue
            shifts = [
                (
                    marks[here][k][0] - marks[other][k][0] + offsets[here][0],
                    marks[here][k][1] - marks[other][k][1] + offsets[here][1],
                )
                for k in common
            ]
            if other not in offsets:
                offsets[other] = shifts[0]
                waiting.append(other)
            for shift in shifts:
                worst = max(worst, abs(shift[0] - offsets[other][0]), abs(shift[1] - offsets[other][1]))
    check(f"{name}: {count} sheets join by their marks", len(offsets) == count, f"only {sorted(offsets)}")
    check(f"{name}: marks meet within {ALLOWED} mm", worst <= ALLOWED, f"{worst:.3f} mm apart")
    if len(holes) < 2:
        return
    sizes = {round(h[2], 1) for h in holes}
    laid = [
        (x + offsets[n][0], y + offsets[n][1])
        for n in offsets
        for x, y, d in circles(pdf, n + before)
        if any(abs(d - s) < 0.15 for s in sizes)
    ]
    # From the sheet to the shop's file: one shift, y turned over; found from the leftmost lowest hole.
    first = min(laid, key=lambda p: (round(p[0]), -p[1]))
    true_first = min(holes, key=lambda p: (round(p[0]), p[1]))
    moved = [(x - first[0] + true_first[0], first[1] - y + true_first[1]) for x, y in laid]
    off = max(min(((x - h[0]) ** 2 + (y - h[1]) ** 2) ** 0.5 for h in holes) for x, y in moved)
    missed = sum(1 for h in holes if min(((x - h[0]) ** 2 + (y - h[1]) ** 2) ** 0.5 for x, y in moved) > ALLOWED)
    check(f"{name}: holes over all sheets within {ALLOWED} mm", off <= ALLOWED and not missed, f"{off:.3f} mm, {missed} missed")


def check_shop(name, path):
    """The shop's file opens without a fault and has only the kinds and layers it promises."""
    document = ezdxf.readfile(path)
    faults = [str(f) for f in document.audit().errors]
    check(f"{name}: DXF opens without a fault", not faults, "; ".join(faults))
    check(f"{name}: DXF is release 12", document.dxfversion == "AC1009", document.dxfversion)
    space = document.modelspace()
    kinds = {e.dxftype() for e in space} - {"LINE", "ARC", "CIRCLE", "TEXT"}
    layers = {e.dxf.layer for e in space} - {"CUT", "DRILL", "MARK"}
    check(f"{name}: DXF has lines, arcs, circles and texts on three layers", not kinds and not layers, f"{kinds} {layers}")
    return space


def check_demo(folder, demo):
    templates = folder / demo / "templates"
    shops = sorted(templates.glob("*.dxf"))
    check(f"templates of {demo}", any(s.stem == "floor" for s in shops), "no floor")
    for shop in shops:
        name = f"template {shop.stem} of {demo}"
        space = check_shop(name, shop)
        for paper in PAPERS:
            pdf = templates / f"{shop.stem}-{paper}.pdf"
            on = f"{name} on {paper}"
            check_sheets(on, pdf, paper)
            check_holes(on, pdf, space)
            check_joined(on, pdf, space)
        check_scaled(name, templates / f"{shop.stem}-letter.pdf")
        fonts = said("pdffonts", templates / f"{shop.stem}-a4.pdf").splitlines()[2:]
        bad = [f for f in fonts if f.split()[-5:-2] != ["yes", "yes", "yes"]]
        check(f"{name}: lettering is embedded and can be searched", fonts and not bad, "; ".join(bad))


for demo in sys.argv[2:]:
    try:
        check_demo(pathlib.Path(sys.argv[1]), demo)
    except (RuntimeError, OSError, ValueError, ezdxf.DXFError, ET.ParseError) as fault:
        check(f"templates of {demo}", False, repr(fault))
sys.exit(1 if FAILED else 0)
