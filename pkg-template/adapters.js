// From the outputs of pose estimators to what `Session.push` takes: a list of people, each a flat list of x px, y px, score.
import { bad } from './lib/error.js';
import { layouts } from './lib/layouts.js';

const isList = (value) => Array.isArray(value) || (ArrayBuffer.isView(value) && !(value instanceof DataView));

const OPTIONS = ['layout', 'image', 'normalised', 'order', 'scores', 'flipped', 'estimator'];
/** What a point's numbers may be; `-` is a number to skip. */
const FIELDS = ['x', 'y', 'z', 'score', '-'];

/** See adapters.d.ts. */
export function adapter(options = {}) {
  const unknown = Object.keys(options).find((key) => !OPTIONS.includes(key));
  if (unknown !== undefined) throw bad(unknown, `not an option of an adapter (known: ${OPTIONS.join(', ')})`, 'bad-option');
  const { layout, image, normalised = false, order = 'x y score', scores = 'probability', flipped = false, estimator } = options;
  const count = typeof layout === 'object' ? layout?.count : layouts[layout]?.count;
  if (!Number.isInteger(count) || count < 1) throw bad('layout', `must be one of ${Object.keys(layouts).join(', ')}, or a joint map with its count`);
  if (normalised || flipped) checkImage(image, normalised ? 'fractions of its width and height have different scales' : 'x is counted from its right edge');
  if (estimator != null && typeof estimator !== 'string') throw bad('estimator', 'must be text', 'bad-option');
  const [fields, places] = orderOf(order);
  const toScore = SCORES[scores];
  if (!toScore) throw bad('scores', `must be one of ${Object.keys(SCORES).join(', ')}`);
  const [wide, high] = normalised ? [image.width, image.height] : [1, 1];
  const source = Object.freeze({ ...(estimator && { estimator }), ...(image && { image: Object.freeze({ width: image.width, height: image.height }) }) });
  const write = (out, i, x, y, score, field) => {
    const px = number(x) * wide;
    out[3 * i] = flipped ? image.width - px : px;
    out[3 * i + 1] = number(y) * high;
    // The session refuses what is infinite, as it does a coordinate.
    out[3 * i + 2] = scores !== 'none' && Math.abs(score) === Infinity ? score : toScore(score, field);
  };
  const read = (person, separate, field) => {
    const out = new Float64Array(count * 3);
    const apart = (i) => at(separate ?? [], i);
    if (typeof firstOf(person) === 'number') {
      const step = fields.length;
      if (person.length !== count * step) throw bad(field, `has ${person.length} numbers, ${count} points of ${step} numbers are ${count * step}`);
      for (let i = 0; i < count; i++) {
        const [x, y, score] = places.map((place) => (place < 0 ? undefined : at(person, i * step + place)));
        write(out, i, x, y, or(apart(i), score), `${field}[${i}]`);
      }
      return out;
    }
    if (person.length !== count) throw bad(field, `has ${person.length} points, the layout has ${count}`);
    for (let i = 0; i < count; i++) {
      const point = person[i];
      const path = `${field}[${i}]`;
      if (point == null) write(out, i, NaN, NaN, 0, path);
      else if (isList(point)) {
        // x and y alone are enough; any other number more or less means another order.
        if (point.length !== 2 && point.length !== fields.length)
          throw bad(path, `has ${point.length} numbers, not ${fields.length} (${order}): name them in \`order\``);
        write(out, i, point[places[0]], point[places[1]], or(apart(i), at(point, places[2])), path);
      } else write(out, i, point.x, point.y, or(apart(i), scoreOf(point)), path);
    }
    return out;
  };
  const one = ({ points, separate }, i) => {
    const field = `people[${i}]`;
    const out = read(points, separate, field);
    if (normalised) refusePixels(out, image, field);
    return out;
  };
  return (output) => Object.assign(found(output).map(one), { source });
}

/** The names of a point's numbers, and where x, y and score are among them. */
function orderOf(order) {
  const fields = typeof order === 'string' ? order.split(' ') : [];
  const wrong = fields.find((name, i) => !FIELDS.includes(name) || (name !== '-' && fields.indexOf(name) !== i));
  const places = ['x', 'y', 'score'].map((name) => fields.indexOf(name));
  if (wrong !== undefined || places[0] < 0 || places[1] < 0) {
    throw bad('order', "must name x and y, and score, z or - (a number to skip) where they come, each once: for example 'x y score' or 'y x score'");
  }
  return [fields, places];
}

/** No estimator puts most of a lifter outside four times the picture: what it gave are pixels already. */
function refusePixels(person, { width, height }, field) {
  let seen = 0;
  let far = 0;
  for (let at = 0; at < person.length; at += 3) {
    if (!(person[at + 2] > 0.3)) continue;
    seen += 1;
    if (Math.abs(person[at]) > 4 * width || Math.abs(person[at + 1]) > 4 * height) far += 1;
  }
  if (seen >= 5 && 2 * far > seen) throw bad(field, 'are pixels, not fractions of the picture: leave out `normalised`');
}

/** Names that estimators give to a point's score. One that is null says that the point was not seen. */
const scoreOf = ({ likelihood, confidence = likelihood, visibility = confidence, score = visibility }) => score;
const or = (value, other) => (value === undefined ? other : value);
/** A number of a list; null where it is empty, undefined beyond the list. */
const at = (list, place) => (place in list ? (list[place] ?? null) : undefined);
/** What is there of a list tells its form: its first may be missing. */
const firstOf = (list) => list.find((value) => value != null);

const number = (value) => (typeof value === 'number' ? value : NaN);

const SCORES = {
  probability(score, field) {
    if (score === undefined) return 1;
    if (score > 1.5 || score < -0.5) throw bad(`${field}.score`, `${score} is no probability; pass scores: 'logit' when the estimator gives logits`);
    return Math.min(1, Math.max(0, number(score) || 0));
  },
  logit: (score) => (score === undefined ? 1 : 1 / (1 + Math.exp(-number(score))) || 0),
  percent: (score, field) => SCORES.probability(score === undefined ? undefined : score / 100, field),
  none: () => 1,
};

const LISTS = ['landmarks', 'poseLandmarks', 'people', 'predictions', 'instances', 'poses'];
/** What results of MediaPipe hold beside the landmarks, which some of them lack when nobody was found. */
const BESIDE = ['image', 'worldLandmarks', 'poseWorldLandmarks', 'segmentationMask', 'segmentationMasks', 'close'];

/** Everybody in an estimator's output, whatever it is wrapped in. */
function found(output) {
  if (output === null || output === undefined) return [];
  if (!isList(output)) {
    const named = LISTS.filter((name) => name in output);
    const list = named.map((name) => output[name]).find((value) => value != null);
    if (list !== undefined) return found(list);
    const person = personOf(output);
    if (person) return [person];
    // A list that is there but empty-handed: nobody was found.
    if (named.length) return [];
    throw bad('output', 'holds no list of points that is known; pass the list itself');
  }
  const first = firstOf(output);
  // An empty list, or nothing but nobody.
  if (first === undefined) return [];
  if (typeof first === 'number') return [{ points: output }];
  if (isPoint(first)) return [{ points: output }];
  return Array.from(output).flatMap((person) => {
    if (person == null) return [];
    if (!isList(person)) return [personOf(person) ?? fail(person)];
    // A batch of one picture, or people's lists.
    const head = firstOf(person);
    return typeof head === 'number' || isPoint(head) ? [{ points: person }] : found(person);
  });
}

function personOf(person) {
  const points = person.keypoints ?? person.pose_keypoints_2d;
  return points === undefined ? null : { points, separate: person.keypoint_scores ?? person.keypoint_score };
}

function fail(person) {
  throw bad('output', `holds a person without \`keypoints\` (it has ${Object.keys(person).join(', ')})`);
}

function isPoint(value) {
  if (value == null) return false;
  if (isList(value)) return value.length >= 2 && value.length <= 5 && value.every((v) => v == null || typeof v === 'number');
  return typeof value === 'object' && 'x' in value && 'y' in value;
}

function checkImage(image, why) {
  const usable = image?.width > 0 && image?.height > 0;
  if (!usable) throw bad('image', `{ width, height } of the picture in pixels is needed: ${why}`);
}

/** See adapters.d.ts. */
export function fromMediaPipe(output, image) {
  const bare = output !== null && typeof output === 'object' && !isList(output) && !LISTS.some((name) => name in output);
  const nobody = bare && Object.keys(output).every((key) => BESIDE.includes(key));
  return adapter({ layout: 'blazepose-33', image, normalised: true, estimator: 'mediapipe-pose' })(nobody ? [] : output);
}

/** See adapters.d.ts. */
export const fromPoses = (output, layout = 'coco-17') =>
  // Its 33 points come from the same networks as MediaPipe's.
  adapter({ layout, ...(layout === 'blazepose-33' && { estimator: 'mediapipe-pose' }) })(output);

/** See adapters.d.ts. */
export const fromOpenPose = (output) => adapter({ layout: 'body-25', estimator: 'openpose' })(output);

/** See adapters.d.ts. */
export const fromInstances = (output, layout = 'halpe-26', estimator = undefined) => adapter({ layout, estimator })(output);

/** See adapters.d.ts. */
export const fromYxScore = (data, image, layout = 'coco-17', estimator = undefined) =>
  adapter({ layout, image, normalised: true, order: 'y x score', estimator })(data);
