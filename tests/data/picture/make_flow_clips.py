"""Reference numbers for tests/picture/flow.rs on rendered feet, from OpenCV's pyramidal Lucas-Kanade.

usage: python make_flow_clips.py > flow_clips.json       needs numpy and opencv-python-headless

The pictures are the clips beside this file, in brightness only; corners are OpenCV's too (Shi & Tomasi).
"""
import gzip, json, os, sys
import cv2
import numpy as np

HERE = os.path.dirname(os.path.abspath(__file__))
LEVELS = 2


def frames(clip):
    raw = gzip.open(os.path.join(HERE, clip['name'] + '.y4m.gz')).read()
    w, h = clip['width'], clip['height']
    at = raw.index(b'\n') + 1
    step = 6 + w * h
    return [np.frombuffer(raw[i + 6:i + step], np.uint8).reshape(h, w) for i in range(at, len(raw) - step + 1, step)]


cases = []
for clip in json.load(open(os.path.join(HERE, 'clips.json'))):
    all_frames = frames(clip)
    first = all_frames[0]
    corners = cv2.goodFeaturesToTrack(first, 40, 0.02, 5, blockSize=11)
    for frame in range(5, len(all_frames), 10):
        q, st, _ = cv2.calcOpticalFlowPyrLK(first, all_frames[frame], corners, None, winSize=(11, 11), maxLevel=LEVELS,
                                            criteria=(cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_COUNT, 30, 0.003), minEigThreshold=1e-4)
        cases.append({'clip': clip['name'], 'frame': frame, 'levels': LEVELS + 1,
                      'points': [[float(v) for v in xy] for xy in corners.reshape(-1, 2)],
                      'found': [None if not s else [round(float(v), 4) for v in xy] for s, xy in zip(st.ravel(), q.reshape(-1, 2))]})
json.dump({'versions': {'python': sys.version.split()[0], 'opencv': cv2.__version__, 'numpy': np.__version__}, 'cases': cases}, sys.stdout)
