"""Reference numbers for tests/picture/flow.rs, from OpenCV's pyramidal Lucas-Kanade.

usage: python make_flow.py > flow.json       needs numpy and opencv-python-headless

The two pictures are made by the same formula as in the test, rounded to whole grey levels.
"""
import json, sys
import cv2
import numpy as np

W, H = 160, 120


def texture(x, y):
    """The same sum of waves as in the test."""
    return (128 + 24 * np.sin(0.31 * x + 0.13 * y) + 20 * np.sin(-0.17 * x + 0.27 * y + 1.0)
            + 16 * np.sin(0.47 * x - 0.39 * y + 2.0) + 12 * np.sin(0.09 * x + 0.61 * y + 0.5)
            + 10 * np.sin(0.71 * x + 0.05 * y + 4.0))


def picture(dx, dy, turn, scale=1.0):
    """The texture turned by `turn` rad about the middle, scaled, then moved by (dx, dy) px."""
    y, x = np.mgrid[0:H, 0:W].astype(float)
    cx, cy = W / 2, H / 2
    u, v = x - dx - cx, y - dy - cy
    c, s = np.cos(turn), np.sin(turn)
    return np.floor(texture(cx + (c * u + s * v) / scale, cy + (-s * u + c * v) / scale) + 0.5).clip(0, 255).astype(np.uint8)


points = [(x + 0.25, y - 0.4) for y in (30, 50, 70, 90) for x in (30, 55, 80, 105, 130)]
cases = []
for dx, dy, turn, scale, levels in ((0.37, -0.62, 0.0, 1.0, 0), (5.3, 3.8, 0.0, 1.0, 2), (-2.4, 4.1, 0.03, 1.0, 2), (1.2, -1.7, -0.05, 1.02, 1)):
    a, b = picture(0, 0, 0), picture(dx, dy, turn, scale)
    p = np.array(points, np.float32).reshape(-1, 1, 2)
    q, st, err = cv2.calcOpticalFlowPyrLK(a, b, p, None, winSize=(11, 11), maxLevel=levels,
                                          criteria=(cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_COUNT, 30, 0.003), minEigThreshold=1e-4)
    cases.append({'dx': dx, 'dy': dy, 'turn': turn, 'scale': scale, 'levels': levels + 1,
                  'found': [None if not s else [round(float(v), 4) for v in xy] for s, xy in zip(st.ravel(), q.reshape(-1, 2))]})
a = picture(0, 0, 0)
# ksize -1: Scharr's slopes, as in the test; OpenCV's scale is (4 / 255)^2 of the mean tensor's.
eig = cv2.cornerMinEigenVal(a, blockSize=11, ksize=-1)
json.dump({'versions': {'python': sys.version.split()[0], 'opencv': cv2.__version__, 'numpy': np.__version__},
           'points': points, 'cases': cases,
           'smaller_eigenvalue': [[x, y, float(eig[y, x])] for x, y in ((20, 20), (40, 33), (77, 61), (120, 100), (140, 50))]},
          sys.stdout)
