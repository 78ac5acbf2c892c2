"""Draws invented outlines (polygons.geojson) and measures them with GeographicLib's Planimeter (areas.csv).

Planimeter takes the edges as geodesics of WGS 84; the areas of holes are taken off. Needs geographiclib-tools.
"""
import json, math, random, subprocess

random.seed(7946)


def star(lon, lat, radius, n, rough=0.4):
    """A ring of n corners about a centre, radius in m, counter-clockwise, seven decimals."""
    out = []
    for i in range(n):
        a, r = 2 * math.pi * i / n, radius * (1 + rough * (random.random() - 0.5))
        x = lon + math.degrees(r * math.cos(a) / 6378137 / math.cos(math.radians(lat)))
        y = lat + math.degrees(r * math.sin(a) / 6378137)
        out.append([round((x + 180) % 360 - 180, 7), round(y, 7)])
    return out + [out[0]]


def box(west, south, east, north):
    return [[west, south], [east, south], [east, north], [west, north], [west, south]]


def cw(ring):
    return ring[::-1]


beds = {}
for lat in (0, 0.00005, 20, -35, 45.5, 54.3, 60.1, 70, -54, 80, 89):
    beds[f"square of 1000 m2 at {lat}"] = [[star(-30.2, lat, 22.36, 4, 0)]]
for lat in (5, -42, 53.4, 63, 78.2):
    beds[f"ragged at {lat}"] = [[star(12.3, lat, 300, 240)]]
beds["clockwise"] = [[cw(star(-8.9, 54.1, 120, 30))]]
beds["one hole"] = [[star(-8.9, 54.1, 200, 50), cw(star(-8.9, 54.1, 60, 20))]]
beds["two holes wound as the exterior"] = [[box(10, 60, 10.02, 60.01), box(10.002, 60.002, 10.004, 60.004),
                                            box(10.01, 60.003, 10.015, 60.008)]]
beds["three parts"] = [[star(5, 61, 80, 12)], [star(5.01, 61, 60, 9), cw(star(5.01, 61, 20, 9))], [star(5.02, 61, 15, 5)]]
beds["across the antimeridian"] = [[star(180, -17, 150, 40)]]
beds["across the antimeridian with a hole"] = [[star(179.9995, 65, 150, 40), cw(star(180, 65, 40, 12))]]
beds["split at the antimeridian"] = [[box(179.99, -17.01, 180, -17)], [box(-180, -17.01, -179.985, -17)]]
beds["strip of 5 m along a parallel"] = [[box(7, 58, 7.03, 58.00005)]]
beds["strip of 5 m along a meridian"] = [[box(7, 58, 7.0001, 58.02)]]
beds["strip askew"] = [[[[7, 58], [7.03, 58.02], [7.03, 58.0201], [7, 58.0001], [7, 58]]]]
beds["across the equator"] = [[star(40, 0, 500, 60)]]
beds["half a degree"] = [[box(-6, 56, -5.5, 56.5)]]
beds["a degree at 70"] = [[box(-6, 70, -5, 71)]]
beds["around the north pole"] = [[[[x, 89.9] for x in (0, 45, 90, 135, 180, -135, -90, -45, 0)]]]
beds["around the south pole clockwise"] = [[[[x, -89.5] for x in (0, 30, 60, 90, 120, 150, 180, -150, -120, -90, -60, -30, 0)]]]
beds["with a pole as corner"] = [[[[10, 89.99], [20, 89.99], [15, 90], [10, 89.99]]]]


def area(ring):
    text = "\n".join(f"{y:.9f} {x:.9f}" for x, y in ring[:-1]) + "\n"
    out = subprocess.run(["Planimeter", "-p", "9"], input=text, capture_output=True, text=True, check=True).stdout
    return abs(float(out.split()[2]))


features = []
with open("areas.csv", "w") as f:
    f.write("bed,area_m2\n")
    for bed, polygons in beds.items():
        total = sum(area(p[0]) - sum(area(hole) for hole in p[1:]) for p in polygons)
        f.write(f"{bed},{total:.9f}\n")
        one = len(polygons) == 1
        features.append({"type": "Feature", "properties": {"bed": bed}, "geometry": {
            "type": "Polygon" if one else "MultiPolygon", "coordinates": polygons[0] if one else polygons}})
with open("polygons.geojson", "w") as f:
    f.write('{"type": "FeatureCollection", "features": [\n')
    f.write(",\n".join(json.dumps(x) for x in features) + "\n]}\n")
