"""How fast a take-off is, against shapely's own area and union of the same outlines in the same run.

Run: python tests/bench/bench_sizing.py (also through ./dev bench). Prints a table; exits 1 where an aim is missed.
"""

import math
import random
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from shapely.geometry import Polygon  # noqa: E402
from shapely.ops import unary_union  # noqa: E402

from conversions.sizing import check, first_layout, read_site, takeoff  # noqa: E402

AIM_MS = 50
SIZES_M2 = (10, 30, 100, 300, 1000, 2000)
BEYOND = ("house", "path", "drive", "pavement", "kerb", "garden wall", "fence", "open")


def outline(corners: int, area_m2: float, seed: int) -> list[tuple[float, float]]:
    """A simple outline with many corners, clockwise: a circle with wavering radius."""
    rng = random.Random(seed)
    ring = []
    for n in range(corners):
        turn, radius = -2 * math.pi * n / corners, 1 + 0.25 * rng.random()
        ring.append((radius * math.cos(turn), radius * math.sin(turn)))
    scale = math.sqrt(area_m2 / Polygon(ring).area)
    return [(round(x * scale, 3), round(y * scale, 3)) for x, y in ring]


def letters(n: int) -> str:
    return chr(65 + n) if n < 26 else "A" + chr(65 + n - 26)


def patch(n: int, corners: int, area_m2: float) -> dict:
    points = outline(corners, area_m2, n)
    rows = [{"id": letters(i), "x": x, "y": y, "beyond": BEYOND[i % 8]} for i, (x, y) in enumerate(points)]
    return {"uid": f"p{n}", "label": f"Patch {n}", "shape": "outline", "corners": rows}


def usual_site():
    """Three patches, 40 corners, 6 beds, 3 layers."""
    document = {"schema": 1, "patches": [patch(0, 14, 60), patch(1, 13, 40), patch(2, 13, 80)], "beds": []}
    for n in range(3):
        x, y = 0.0, 0.0
        document["beds"] += [
            {"uid": f"m{n}", "patch": f"p{n}", "kind": "mounded", "x": x, "y": y - 0.9, "length_m": 2.4},
            {"uid": f"f{n}", "patch": f"p{n}", "kind": "framed", "x": x, "y": y + 0.9, "length_m": 1.8},
        ]
    site = read_site(document)
    assert not check(site), check(site)
    return site


def milliseconds(call, times: int = 15) -> float:
    """The best of several runs on this process's own clock, so that a busy machine counts as little as can be."""
    call()
    runs = []
    for _ in range(times):
        start = time.process_time()
        call()
        runs.append((time.process_time() - start) * 1000)
    return min(runs)


def main() -> int:
    site = usual_site()
    rings = [[(c.x_m, c.y_m) for c in p.corners] for p in site.patches]
    sheets = [Polygon(ring) for p in takeoff(site).patches.values() for ring in p.cardboard.rectangles]
    whole = milliseconds(lambda: takeoff(site))
    bare = milliseconds(lambda: [Polygon(ring).area for ring in rings])
    union = milliseconds(lambda: unary_union(sheets).area)
    layout = milliseconds(lambda: first_layout(site, "p0"), 5)
    print(f"take-off, 3 patches, 40 corners, 6 beds, 3 layers  {whole:8.2f} ms   (aim: under {AIM_MS})")
    print(f"  shapely: area of the same outlines               {bare:8.3f} ms")
    print(f"  shapely: union of the {len(sheets)} sheets of one layer      {union:8.2f} ms")
    print(f"  first layout of one patch                        {layout:8.2f} ms")
    print("\n    m2   sheets   take-off ms   ms per 100 sheets")
    missed, costs = whole >= AIM_MS, []
    for area in SIZES_M2:
        one = read_site({"schema": 1, "patches": [patch(0, 12, area)]})
        count = takeoff(one).figures["cardboard"].value
        taken = milliseconds(lambda one=one: takeoff(one), 5)
        costs.append((count, taken))
        print(f"{area:6d} {count:8.0f} {taken:13.2f} {taken / count * 100:19.3f}")
    (few, short), (many, long) = costs[2], costs[-1]
    growth = math.log(long / short) / math.log(many / few)
    print(f"\ngrowth from {SIZES_M2[2]} to {SIZES_M2[-1]} m2: sheets to the power {growth:.2f}   (aim: at most 1)")
    return int(missed or growth > 1.0)


if __name__ == "__main__":
    sys.exit(main())
