#!/usr/bin/python3
"""threemf.py DIR: judges every 3MF of a design's folder by a reader of its own.

The package is sound, the model in millimetres; every object is a closed, oriented surface (each
edge once in either direction) without repeated corners, as large as the STL of its name; every
STL is packed; every item stands on the bed, within it, and apart from the others.
"""
import json, pathlib, struct, sys, zipfile
import xml.etree.ElementTree as E

CORE = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"


def volume(corners, facets):
    v = 0.0
    for f in facets:
        a, b, c = (corners[i] for i in f)
        v += (a[0] * (b[1] * c[2] - b[2] * c[1]) + a[1] * (b[2] * c[0] - b[0] * c[2])
              + a[2] * (b[0] * c[1] - b[1] * c[0])) / 6
    return v


def stl(path):
    data = path.read_bytes()
    n, = struct.unpack_from("<I", data, 80)
    assert len(data) == 84 + 50 * n, path
    corners = [struct.unpack_from("<3f", data, 84 + 50 * i + 12 + 12 * k) for i in range(n) for k in range(3)]
    return n, volume(corners, [(3 * i, 3 * i + 1, 3 * i + 2) for i in range(n)]), set(corners)


def spread(corners):
    """How far corners lie from the first along each axis, in order: the same wherever a part lies."""
    axes = [sorted({c[k] for c in corners}) for k in range(3)]
    return [[x - axis[0] for x in axis] for axis in axes]


def mesh(obj):
    m = obj.find(CORE + "mesh")
    corners = [tuple(float(v.get(k)) for k in "xyz") for v in m.find(CORE + "vertices")]
    facets = [tuple(int(t.get(k)) for k in ("v1", "v2", "v3")) for t in m.find(CORE + "triangles")]
    assert len(set(corners)) == len(corners), "a corner stands twice"
    edges = {}
    for f in facets:
        assert len(set(f)) == 3 and all(0 <= i < len(corners) for i in f), f
        for i in range(3):
            e = f[i], f[(i + 1) % 3]
            edges[e] = edges.get(e, 0) + 1
    assert all(n == 1 and edges.get((b, a)) == 1 for (a, b), n in edges.items()), "not closed, or not oriented"
    assert {i for f in facets for i in f} == set(range(len(corners))), "a corner of no facet"
    return corners, facets


def placed(corners, transform):
    t = [float(x) for x in (transform or "1 0 0 0 1 0 0 0 1 0 0 0").split()]
    return [tuple(sum(c[i] * t[3 * i + k] for i in range(3)) + t[9 + k] for k in range(3)) for c in corners]


def judge(path, bed, there):
    z = zipfile.ZipFile(path)
    assert z.testzip() is None, path
    names = z.namelist()
    assert len(set(names)) == len(names) and {"[Content_Types].xml", "_rels/.rels"} <= set(names), names
    target = E.fromstring(z.read("_rels/.rels"))[0].get("Target").lstrip("/")
    assert [n for n in names if n.endswith(".model")] == [target], names
    model = E.fromstring(z.read(target))
    assert model.tag == CORE + "model" and model.get("unit") == "millimeter", model.attrib
    objects = {}
    for obj in model.find(CORE + "resources"):
        name, (corners, facets) = obj.get("name"), mesh(obj)
        n, want, there_too = stl(path.parent / (name.partition(" (")[0] + ".stl"))  # a second one like it: "wedge (2)"
        got = volume(corners, facets)
        assert len(facets) == n and abs(got - want) < 1e-5 * want, (name, len(facets), n, got, want)
        for mine, its in zip(spread(corners), spread(there_too)):
            assert len(mine) == len(its) and all(abs(a - b) < 1e-4 for a, b in zip(mine, its)), name
        objects[obj.get("id")] = name, corners
    boxes = []
    for item in model.find(CORE + "build"):
        name, corners = objects.pop(item.get("objectid"))  # each once
        there.append(name)
        at = placed(corners, item.get("transform"))
        lo, hi = [[f(c[k] for c in at) for k in range(3)] for f in (min, max)]
        assert abs(lo[2]) < 1e-6 and all(lo[k] > -1e-6 and hi[k] < bed[k] + 1e-6 for k in range(3)), (name, lo, hi, bed)
        for other, l, h in boxes:
            assert any(l[k] >= hi[k] or lo[k] >= h[k] for k in (0, 1)), (name, other, "one lies in the other's box")
        boxes.append((name, lo, hi))
    assert not objects, objects
    print(f"{path.name}: {len(boxes)} parts on a bed of {bed[0]:g} x {bed[1]:g}")


def main():
    folder = pathlib.Path(sys.argv[1])
    prints = json.loads((folder / "design.json").read_text()).get("print") or []
    files = sorted(p.stem for p in folder.glob("*.stl"))
    there = []
    for path in sorted(folder.glob("template*.3mf")):
        judge(path, prints[0].get("bed_mm") or [float("inf")] * 3, there)  # no bed is named: none is held to
    assert len(set(there)) == len(there), there
    assert sorted(n for n in there if " (" not in n) == files, (there, files)


main()
