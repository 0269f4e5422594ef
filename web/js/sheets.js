/*
 * Sheets and rolls of labels at the sizes that they come in (common practice, no source), and plates.  All in millimetres: the page, the first
 * label's corner, the label, the step from one to the next.  The print style of each stands in css/labels.css.
 */
const sheet = (name, page, columns, rows, label, corner, step = label) => ({ name, page, columns, rows, label, corner, step });

/** All of them; the words of a name are labels.sheets in the catalogue. */
export const SHEETS = [
  sheet('a4-24', [210, 297], 3, 8, [70, 37], [0, 0.5]),
  sheet('a4-14', [210, 297], 2, 7, [99.1, 38.1], [4.65, 15.15], [101.6, 38.1]),
  sheet('a4-65', [210, 297], 5, 13, [38.1, 21.2], [4.75, 10.7], [40.6, 21.2]),
  sheet('letter-30', [215.9, 279.4], 3, 10, [66.7, 25.4], [4.76, 12.7], [69.85, 25.4]),
  sheet('letter-10', [215.9, 279.4], 2, 5, [101.6, 50.8], [3.96, 12.7], [106.4, 50.8]),
  sheet('roll-62', [62, 29], 1, 1, [62, 29], [0, 0]),
  sheet('roll-57', [57, 32], 1, 1, [57, 32], [0, 0]),
  sheet('plate-a5', [210, 148], 1, 1, [210, 148], [0, 0]),
];
/** The sheet of a name, or the first one.  @param {string|null} name @returns {object} */
export const sheetOf = (name) => SHEETS.find((s) => s.name === name) ?? SHEETS[0];

/**
 * Lays labels on pages, from the first free place of a sheet that is already begun.
 * @returns {{label: any, left: number, top: number}[][]} a list a page; mm from its corner
 */
export function layOut(labels, { columns, rows, corner, step }, firstFree = 1) {
  const aPage = columns * rows;
  const pages = [];
  labels.forEach((label, i) => {
    const place = i + Math.min(Math.max(firstFree, 1), aPage) - 1;
    const at = place % aPage;
    const page = Math.floor(place / aPage);
    pages[page] ??= [];
    pages[page].push({ label, left: corner[0] + step[0] * (at % columns), top: corner[1] + step[1] * Math.floor(at / columns) });
  });
  return pages;
}
