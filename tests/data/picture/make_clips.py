"""Small crops of rendered clips with known truth, for tests/picture/clips.rs.

usage: python make_clips.py FOLDER        needs numpy and opencv-python-headless

FOLDER holds the rendered clips (NAME.webm, NAME.truth.json.gz, NAME.pose.json.gz): a synthetic
figure in a synthetic room, mesh data CC0. For each crop one gzipped YUV4MPEG2 file (brightness
only), and clips.json with the standing keypoints, the crop's place and the truth of each frame.
"""
import gzip, json, sys
import cv2
import numpy as np

FOLDER = sys.argv[1]
STANDING = 8
WANTED = (('dev-side-clean', 'left', 1), ('dev-side-heel-lift', 'left', 1), ('dev-front-knees-in', 'left', 2))
out = []
for name, side, rep in WANTED:
    truth = json.load(gzip.open(f'{FOLDER}/{name}.truth.json.gz'))
    pose = json.load(gzip.open(f'{FOLDER}/{name}.pose.json.gz'))
    clip, frames = cv2.VideoCapture(f'{FOLDER}/{name}.webm'), []
    while (got := clip.read())[0]:
        frames.append(cv2.cvtColor(got[1], cv2.COLOR_BGR2GRAY))
    lms = [np.array(f['lm'])[[27, 29, 31] if side == 'left' else [28, 30, 32], :2] for f in pose['frames'][:40] if f['lm']]
    mid = np.median(lms, axis=0)
    low, high = mid.min(0) - (28, 32), mid.max(0) + (28, 40)
    x0, y0 = (int(v) for v in np.floor(low))
    x1, y1 = (int(v) for v in np.ceil(high))
    r = truth['reps'][rep]
    chosen = list(range(10, 10 + 2 * STANDING, 2)) + list(range(int(r['start'] * 30), int(r['end'] * 30) + 6, 3))
    with gzip.GzipFile(f'{name}.y4m.gz', 'wb', mtime=0) as f:
        f.write(f'YUV4MPEG2 W{x1 - x0} H{y1 - y0} F10:1 Cmono\n'.encode())
        for i in chosen:
            f.write(b'FRAME\n' + np.ascontiguousarray(frames[i][y0:y1, x0:x1]).tobytes())
    out.append({'name': name, 'side': side, 'x': x0, 'y': y0, 'width': x1 - x0, 'height': y1 - y0, 'standing': STANDING,
                'image': [pose['width'], pose['height']],
                'points': [[[round(v, 1) for v in (p[0], p[1])] + [round(p[3], 2)] for p in f['lm']] for f in pose['frames'][:40:2] if f['lm']],
                'heel_mm': [round(truth['frames'][i][side]['heel_mm'], 2) for i in chosen],
                'roll_deg': [round(truth['frames'][i][side]['foot_roll_deg'], 2) for i in chosen]})
json.dump(out, open('clips.json', 'w'), separators=(',', ':'))
