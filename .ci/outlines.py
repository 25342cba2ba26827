#!/usr/bin/python3
"""outlines.py RESEAT DIR: one outline as other programs write it, through `reseat design`.

ezdxf writes it in every version from R12 to R2018: as lines and arcs, polylines with bulges,
splines, elliptic arcs; from behind; in blocks turned, scaled, mirrored, squashed and nested; in
inches; without handles; and as binary files. Every one must give the board whose contour is computed
here from the corners and bulges; a binary file, and arcs that a block squashes, the error that says so.
"""
import concurrent.futures, json, math, pathlib, subprocess, sys
import ezdxf
import numpy as np
from ezdxf.math import Matrix44, bulge_to_arc, rational_bspline_from_arc

RESEAT, DIR = sys.argv[1], pathlib.Path(sys.argv[2])
VERSIONS = ["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"]
B = math.tan(math.pi / 8)  # a quarter
# u from the start end, v left; the bulge of the edge to the next corner. Nothing is symmetrical.
CORNERS = [(0, -20, B), (10, -30, 0), (280, -30, B), (300, -10, 0), (290, 25, -0.15), (150, 30, 0), (5, 20, 0)]
EDGES = list(zip(CORNERS, CORNERS[1:] + CORNERS[:1]))
NEAR = 0.011  # mm: the reader's tolerance for splines and ellipses, twice (tolerance and gap), and rounding
EDGE = {"layer": "EDGE"}


def arc(p, q):
    c, start, end, r = bulge_to_arc(p[:2], q[:2], p[2])
    return c, r, math.degrees(start), math.degrees(end)


def contour():
    """Points of the true contour, every arc in chords that lie nearer than a micrometre."""
    out = []
    for p, q in EDGES:
        if p[2] == 0:
            n = max(2, int(math.dist(p[:2], q[:2]) / 0.5))
            out += [(p[0] + (q[0] - p[0]) * i / n, p[1] + (q[1] - p[1]) * i / n) for i in range(n)]
            continue
        c, r, start, end = arc(p, q)
        end += 360 if end < start else 0
        if p[2] < 0:
            start, end = end, start
        for i in range(400):
            a = math.radians(start + (end - start) * i / 400)
            out.append((c[0] + r * math.cos(a), c[1] + r * math.sin(a)))
    return np.array(out)


def apart(points, loop):
    """The largest distance of points from the chords of a closed contour."""
    a, b = loop, np.roll(loop, -1, 0)
    d = b - a
    long = np.maximum((d * d).sum(1), 1e-18)
    worst = 0.0
    for p in np.array_split(points, max(1, len(points) // 200)):
        t = np.clip(((p[:, None] - a) * d).sum(2) / long, 0, 1)
        worst = max(worst, np.sqrt(((a + t[..., None] * d - p[:, None]) ** 2).sum(2)).min(1).max())
    return worst


def area(loop):
    x, y = loop.T
    return 0.5 * float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum())


# How the contour is written into a space; each returns its entities.
def lines(space):
    out = []
    for p, q in EDGES:
        if p[2] == 0:
            out.append(space.add_line(p[:2], q[:2], dxfattribs=EDGE))
        else:
            out.append(space.add_arc(*arc(p, q), dxfattribs=EDGE))
    return out


def polyline(space):
    return [space.add_polyline2d(CORNERS, format="xyb", close=True, dxfattribs=EDGE)]


def lwpolyline(space):
    return [space.add_lwpolyline(CORNERS, format="xyb", close=True, dxfattribs=EDGE)]


def splines(space):
    out = []
    for p, q in EDGES:
        if p[2] == 0:
            out.append(space.add_line(p[:2], q[:2], dxfattribs=EDGE))
        else:
            out.append(space.add_spline(dxfattribs=EDGE))
            out[-1].apply_construction_tool(rational_bspline_from_arc(*arc(p, q)))
    return out


def ellipses(space):
    out = []
    for p, q in EDGES:
        if p[2] == 0:
            out.append(space.add_line(p[:2], q[:2], dxfattribs=EDGE))
        else:
            c, r, start, end = arc(p, q)
            out.append(space.add_ellipse(c, (r, 0), 1, math.radians(start), math.radians(end), dxfattribs=EDGE))
    return out


def at(x=0.0, y=0.0, turn=0.0, sx=1.0, sy=1.0):
    return Matrix44.scale(sx, sy, 1) @ Matrix44.z_rotate(math.radians(turn)) @ Matrix44.translate(x, y, 0)


# How the board lies in the drawing, and the datum line there.
WORLD, DATUM = at(500, 200, 90), [[500, 200], [500, 500]]


def write(doc, how, *inserts):
    """The contour on WORLD, inside of blocks that are inserted in each other, the outermost first."""
    space, inner = doc.modelspace(), Matrix44()
    for i, put in enumerate(inserts):
        block = doc.blocks.new(f"B{i}")
        space.add_blockref(f"B{i}", (put.get("x", 0), put.get("y", 0)), dxfattribs={
            "rotation": put.get("turn", 0), "xscale": put.get("sx", 1), "yscale": put.get("sy", 1),
            "zscale": 1, **EDGE})
        space, inner = block, at(**put) @ inner
    inner.inverse()
    for e in how(space):
        e.transform(WORLD @ inner)


def plain(how):
    return lambda doc: write(doc, how)


def blocks(how, *inserts):
    return lambda doc: write(doc, how, *inserts)


def behind(doc):
    """As who mirrors in space leaves it: extrusion -Z, X of the entity the other way."""
    m = doc.modelspace()
    for p, q in EDGES:
        if p[2] == 0:
            m.add_line(WORLD.transform((*p[:2], 0)), WORLD.transform((*q[:2], 0)), dxfattribs=EDGE)
    # Arcs: about the mirrored centre, ends changed.
    for p, q in EDGES:
        if p[2] != 0:
            c, r, start, end = arc(p, q)
            x, y, _ = WORLD.transform((*c, 0))
            m.add_arc((-x, y), r, 180 - (end + 90), 180 - (start + 90), dxfattribs={"extrusion": (0, 0, -1), **EDGE})


OLD, NEW = VERSIONS, VERSIONS[1:]
FORMS = {
    "lines": (OLD, plain(lines)), "polyline": (OLD, plain(polyline)), "lwpolyline": (NEW, plain(lwpolyline)),
    "splines": (NEW, plain(splines)), "ellipses": (NEW, plain(ellipses)), "behind": (OLD, behind),
    "turned": (OLD, blocks(lines, dict(x=40, y=7, turn=33))),
    "scaled": (OLD, blocks(polyline, dict(x=40, y=7, sx=2.5, sy=2.5))),
    "mirrored": (OLD, blocks(lines, dict(x=10, sx=-1))),
    "mirrored-polyline": (OLD, blocks(polyline, dict(y=10, turn=20, sy=-1))),
    "squashed": (NEW, blocks(ellipses, dict(x=3, sx=2, sy=0.5))),
    "squashed-splines": (NEW, blocks(splines, dict(turn=15, sx=2, sy=0.5))),
    "nested": (OLD, blocks(lines, dict(x=40, turn=30), dict(y=9, sx=-2, sy=2), dict(x=1, y=2, turn=-75))),
}


def bare(text):
    """Without handles and owners, as small writers leave them out."""
    rows = text.split("\n")
    out, name = [], ""
    for code, value in zip(rows[::2], rows[1::2]):
        if code.strip() == "0":
            name = value
        if code.strip() not in ("5", "105", "330") or name == "SECTION":
            out += [code, value]
    return "\n".join(out) + "\n"


def job(name, units="mm", extra=""):
    (DIR / f"{name}.yaml").write_text(f"""units: mm
board:
  thickness: 6
  outline: {{file: {name}.dxf, layer: EDGE, datum: {DATUM_IN[units]}{extra}}}
dowel: {{diameter: 6}}
template: {{seat: nest, thickness: 6, make: {{by: laser, spread: 0.05}}}}
accuracy: 0.5
""")


DATUM_IN = {"mm": DATUM, "inch": [[x / 25.4 for x in p] for p in DATUM]}


def drawings():
    for version in VERSIONS:
        for form, (versions, fill) in FORMS.items():
            if version not in versions:
                continue
            for units in ["mm", "inch"] if form in ("lines", "polyline", "splines", "nested") else ["mm"]:
                doc = ezdxf.new(version, setup=True)
                doc.layers.add("EDGE")
                fill(doc)
                if units == "inch":
                    for e in doc.modelspace():
                        e.transform(Matrix44.scale(1 / 25.4, 1 / 25.4, 1 / 25.4))
                doc.header["$INSUNITS"] = {"mm": 4, "inch": 1}[units]
                name = f"{version}-{form}-{units}"
                doc.saveas(DIR / f"{name}.dxf")
                # R12 has no variable for the unit: ezdxf leaves it out, and the job says it.
                job(name, units, ", units: in" if version == "R12" and units == "inch" else "")
                yield name, "unequal scales" if form.startswith("squashed") else ""
                if form in ("lines", "polyline") and units == "mm":
                    (DIR / f"{name}-bare.dxf").write_text(bare((DIR / f"{name}.dxf").read_text()))
                    job(f"{name}-bare")
                    yield f"{name}-bare", ""
                    doc.saveas(DIR / f"{name}-binary.dxf", fmt="bin")
                    job(f"{name}-binary")
                    yield f"{name}-binary", "binary DXF"


TRUE = contour()


def judge(case):
    name, refused = case
    out = DIR / ("out-" + name)
    run = subprocess.run([RESEAT, "design", DIR / f"{name}.yaml", "-o", out], capture_output=True, text=True)
    if refused:
        said = " ".join(run.stderr.split())
        good = run.returncode == 2 and refused in said and f"{name}.yaml:4:" in said and not out.exists()
        return None if good else f"{name}: {run.returncode} {run.stderr}"
    if run.returncode not in (0, 1):
        return f"{name}: {run.stderr}"
    got = np.array(json.loads((out / "design.json").read_text())["board"]["outline"])
    off = max(apart(got, TRUE), apart(TRUE, got))
    if off > NEAR or abs(area(got) / area(TRUE) - 1) > 1e-4:
        return f"{name}: {off:.4f} mm off, area {area(got):.2f} of {area(TRUE):.2f}"
    WORST.append((off, name))
    return None


WORST = []
with concurrent.futures.ThreadPoolExecutor(2) as pool:
    all_of = list(drawings())
    bad = [b for b in pool.map(judge, all_of) if b]
print("\n".join(bad + [f"{len(all_of)} drawings, {len(bad)} wrong; at most %.4f mm off (%s)" % max(WORST, default=(0, ""))]))
sys.exit(1 if bad else 0)
