// What following both feet in the picture adds to a frame: 160 x 160 px each, cut from a rendered clip's foot.

const SIDE = 160;

/** The first plane of a YUV4MPEG2 file of brightness only, frame by frame. */
function frames(bytes, width, height) {
  const out = [];
  for (let at = bytes.indexOf(10) + 1; at + 6 + width * height <= bytes.length; at += 6 + width * height) {
    out.push(bytes.subarray(at + 6, at + 6 + width * height));
  }
  return out;
}

/** The foot's picture on a ground of its own edge, SIDE x SIDE. */
function padded(frame, width, height) {
  const out = new Uint8Array(SIDE * SIDE);
  const [left, top] = [(SIDE - width) >> 1, (SIDE - height) >> 1];
  for (let y = 0; y < SIDE; y++) {
    for (let x = 0; x < SIDE; x++) {
      const [fx, fy] = [Math.min(width - 1, Math.max(0, x - left)), Math.min(height - 1, Math.max(0, y - top))];
      out[y * SIDE + x] = frame[fy * width + fx];
    }
  }
  return { data: out, left, top };
}

/**
 * ms a frame with both feet's pictures, and without: of each frame the quickest of several rounds, because other programs
 * may run. `about` is the clip's entry in clips.json.
 */
export function measure(u, about, y4m) {
  const { width, height, standing, points } = about;
  const all = frames(y4m, width, height).map((frame) => padded(frame, width, height));
  const crop = ({ data, left, top }, side) => ({ side, x: about.x - left, y: about.y - top, width: SIDE, height: SIDE, data });
  const both = all.map((picture) => ['left', 'right'].map((side) => crop(picture, side)));
  const taken = 60;
  const quickest = { picture: new Array(taken).fill(Infinity), plain: new Array(taken).fill(Infinity) };
  let followed = 0;
  for (let round = 0; round < 12; round++) {
    for (const kind of ['picture', 'plain']) {
      const session = new u.Session({ layout: 'blazepose-33', image: { width: about.image[0], height: about.image[1] } });
      const grey = (i) => (kind === 'picture' ? both[i] : undefined);
      let t_ms = 0;
      for (let i = 0; i < 60; i++) session.push((t_ms += 1000 / 30), points[(i >> 1) % points.length], grey(i % standing));
      const feet = session.feet();
      if (kind === 'picture') followed = ['left', 'right'].filter((side) => feet[side]).length;
      for (let i = 0; i < taken; i++) {
        const [own, picture] = [points[i % points.length], grey(standing + (i % (both.length - standing)))];
        const start = performance.now();
        session.push((t_ms += 1000 / 30), own, picture);
        quickest[kind][i] = Math.min(quickest[kind][i], performance.now() - start);
      }
      session.free();
    }
  }
  const mean = (list) => list.reduce((a, b) => a + b) / list.length;
  return { followed, ms: mean(quickest.picture) - mean(quickest.plain), whole_ms: mean(quickest.picture) };
}
