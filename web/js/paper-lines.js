/* How a line of a sheet stands on paper and on the typing screen: the same line, with boxes to write in or fields to type in. */
import { html, nothing } from './dom.js';

/** One line; box(cell, line) draws what is written into; ends(line) stands at its end. */
export const lineView = (line, box, ends) => html`<li class="paper-line ${line.sort}" data-line=${line.no}><span class="line-no">${line.no}</span>
  <span class="line-what"><b class="code">${line.code}</b> <span>${line.what}</span>${line.under ? html` <small>${line.under}</small>` : nothing}</span>
  <span class="cells">${line.cells.map((cell) => html`<span class="cell ${cell.sort}" data-cell=${cell.name}>${box(cell, line)}</span>`)}${ends?.(line) ?? nothing}</span></li>`;

/** What a box is named by, with its unit. */
export const cellName = (cell) => [cell.label, cell.unit].filter(Boolean).join(' ');
