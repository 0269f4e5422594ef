/*
 * What came into a thing and where it went, as a flow: bars left and right to one scale, bands between them and the
 * thing in the middle, each named with its figure.  An estimated part has a dashed edge.  The first half is pure.
 */
import { svg } from '../dom.js';

const LINE = 22; // px a label takes
const BAR = 12;
const TOP = 8;

/* Lays parts [{value > 0}] one under another from `top` by px a unit; adds y0, y1, and label: the middle of its words. */
function stack(parts, top, scale) {
  let y = top;
  let free = -Infinity;
  return parts.map((part) => {
    const [y0, y1] = [y, y + part.value * scale];
    y = y1;
    const label = Math.max((y0 + y1) / 2, free + LINE);
    free = label;
    return { ...part, y0, y1, label };
  });
}

/**
 * Pure: ins and outs, each [{value > 0, ...}], as bars to one scale in pixels down.
 * @returns {{left: object[], right: object[], height: number, total: number}} height: of the thing in the middle; total: of the picture
 */
export function toSeries({ ins, outs }) {
  const sum = (parts) => parts.reduce((total, part) => total + part.value, 0);
  const height = Math.max(180, LINE * Math.max(ins.length, outs.length) + 20);
  const scale = height / Math.max(sum(ins), sum(outs));
  const [left, right] = [stack(ins, TOP, scale), stack(outs, TOP, scale)];
  return { left, right, height, total: Math.max(height, left.at(-1)?.label ?? 0, right.at(-1)?.label ?? 0) + TOP + 10 };
}

const band = (xa, a0, a1, xb, b0, b1) => {
  const m = (xa + xb) / 2;
  return `M${xa} ${a0}C${m} ${a0} ${m} ${b0} ${xb} ${b0}L${xb} ${b1}C${m} ${b1} ${m} ${a1} ${xa} ${a1}Z`;
};

/** Draws ins and outs, each [{value > 0, text, basis: measured, estimated}], into width px. */
export function draw({ ins, outs, width, label }) {
  const { left, right, height, total } = toSeries({ ins, outs });
  const words = Math.min(260, width * 0.4);
  const [xl, xr] = [words, width - words];
  const [ml, mr] = [(xl + xr) / 2 - BAR / 2, (xl + xr) / 2 + BAR / 2];
  const half = (parts, outer, inner, sign) => parts.map((p) => svg`<path class="way ${p.basis}" d=${band(outer, p.y0, p.y1, inner, p.y0, p.y1)}></path>
    <rect class="end" x=${sign < 0 ? outer - BAR : outer} y=${p.y0} width=${BAR} height=${Math.max(1, p.y1 - p.y0)}></rect>
    <path class="lead" d=${`M${outer + sign * BAR} ${(p.y0 + p.y1) / 2}L${outer + sign * (BAR + 10)} ${p.label}`}></path>
    <text x=${outer + sign * (BAR + 14)} y=${p.label + 5} text-anchor=${sign < 0 ? 'end' : 'start'}>${p.text}</text>`);
  return svg`<svg class="picture flow" width=${width} height=${total} role="img" aria-label=${label}>
    <rect class="middle" x=${ml} y=${TOP} width=${BAR} height=${height}></rect>${half(left, xl, ml, -1)}${half(right, xr, mr, 1)}</svg>`;
}
