// What the module writes as bytes (src/wasm/stream.rs), as plain objects.

const NULL = 0;
const TRUE = 2;
const NUMBER = 3;
const TEXT = 4;
const LIST = 5;
const OBJECT = 6;
const END = 7;

/** The value in `bytes`: a mark each, and what belongs to it. */
export function unpacked(bytes) {
  const view = new DataView(bytes.buffer, bytes.byteOffset);
  const utf8 = new TextDecoder();
  let at = 0;
  const value = () => {
    const mark = bytes[at++];
    if (mark === NULL) return null;
    if (mark === NUMBER) return view.getFloat64((at += 8) - 8, true);
    if (mark === TEXT) {
      const from = at + 4;
      at = from + view.getUint32(at, true);
      return utf8.decode(bytes.subarray(from, at));
    }
    if (mark === LIST) {
      const list = [];
      while (bytes[at] !== END) list.push(value());
      at++;
      return list;
    }
    if (mark === OBJECT) {
      const members = {};
      while (bytes[at] !== END) members[value()] = value();
      at++;
      return members;
    }
    return mark === TRUE;
  };
  return value();
}
