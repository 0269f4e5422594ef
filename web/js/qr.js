/*
 * A text as a QR code (ISO/IEC 18004), drawn on the tablet, so that a label made while the network is away has its picture too.
 * The service has the same picture at /api/qr.svg for other programs; a test holds the two together.
 */
import { encode } from '/lib/uqr/index.mjs';
import { svg } from './dom.js';

const QUIET = 4; // the empty border that the standard asks for, in modules
const TEXT_MAX = 200; // as the service has it: more would print too fine to scan
const drawn = new Map(); // text -> {side, d}: a sheet has the same code many times

/** Pure: {side, d} in modules, the border included: one bar for each run of dark modules.  Level M gives back 15 % of a wet or scratched label. */
export function qrShape(text) {
  const bytes = [...new TextEncoder().encode(text)];
  if (!bytes.length || bytes.length > TEXT_MAX) return null;
  const { data, size: side } = encode(bytes, { ecc: 'M', border: QUIET });
  const bars = data.flatMap((line, y) => [...line.map((dark) => (dark ? '1' : '0')).join('').matchAll(/1+/g)].map(({ index: x, 0: { length: n } }) => `M${x} ${y}h${n}v1h-${n}z`));
  return { side, d: bars.join('') };
}

/** The picture; what is next to it says the code in letters. */
export function qrPicture(text) {
  if (!drawn.has(text)) drawn.set(text, qrShape(text));
  const shape = drawn.get(text);
  if (!shape) return '';
  return svg`<svg class="qr" viewBox="0 0 ${shape.side} ${shape.side}" shape-rendering="crispEdges" aria-hidden="true"><path fill="#fff" d="M0 0h${shape.side}v${shape.side}H0z"></path><path fill="#000" d=${shape.d}></path></svg>`;
}
