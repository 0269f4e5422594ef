/*
 * The grower's manual, docs/manual, as the app shows it: each language's pages become one module of plain data, which
 * js/views/manual.js draws; pictures are served as they are.  Run by embed.mjs; the manual's test reads pages by it too.
 *
 * Of Markdown it knows what the pages use, and throws on anything else: # and ## headings, paragraphs, lists, numbered
 * lists, > cautions, a picture alone on its line, **a word on the screen**, and links: to another page (feeding.md) or to a
 * screen of the app (/water).
 */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

export const PICTURES = 'pictures.json';

/* Parts of a line: text, ['b', text], ['a', address, parts]. */
function readLine(text, page) {
  const parts = [];
  let rest = text;
  const take = (length, part) => {
    if (part !== '') parts.push(part);
    rest = rest.slice(length);
  };
  while (rest) {
    const bold = /^\*\*([^*]+)\*\*/.exec(rest);
    const link = /^\[([^\]]+)\]\(([^)\s]+)\)/.exec(rest);
    const plain = /^[^*[]+/.exec(rest);
    if (bold) take(bold[0].length, ['b', bold[1]]);
    else if (link) take(link[0].length, ['a', addressOf(link[2], page), readLine(link[1], page)]);
    else if (plain) take(plain[0].length, plain[0]);
    else throw new Error(`${page}: cannot read "${rest.slice(0, 40)}"`);
  }
  return parts;
}

function addressOf(href, page) {
  const other = /^([a-z-]+)\.md$/.exec(href);
  if (other) return other[1] === 'index' ? '/manual' : `/manual/${other[1]}`;
  if (href.startsWith('/')) return href;
  throw new Error(`${page}: a link leads to ${href}, which is neither a page nor a screen`);
}

const KINDS = [
  ['title', /^# (.+)$/], ['head', /^## (.+)$/], ['step', /^\d+\. (.+)$/], ['item', /^- (.+)$/], ['care', /^> (.+)$/],
  ['picture', /^!\[([^\]]+)\]\(\.\.\/pictures\/[a-z]+\/([a-z0-9-]+)\.webp\)$/],
];

/** A page: {title, blocks}; a block is [kind, parts], for a list [kind, [parts ...]], for a picture ['picture', name, what it shows]. */
export function readPage(text, page) {
  let title = '';
  const blocks = [];
  for (const chunk of text.replace(/\r/g, '').split(/\n{2,}|\n(?=[#>!-] |!\[|\d+\. )/)) {
    const line = chunk.trim().replace(/\n\s*/g, ' ');
    if (!line) continue;
    const [kind, found] = KINDS.map(([name, pattern]) => [name, pattern.exec(line)]).find(([, match]) => match) ?? ['text', [line, line]];
    if (kind === 'title') title = found[1];
    else if (kind === 'picture') blocks.push(['picture', found[2], found[1]]);
    else if (kind === 'step' || kind === 'item') {
      if (blocks.at(-1)?.[0] !== kind) blocks.push([kind, []]);
      blocks.at(-1)[1].push(readLine(found[1], page));
    } else blocks.push([kind, readLine(found[1], page)]);
  }
  if (!title) throw new Error(`${page}: a page begins with "# " and its title`);
  return { title, blocks };
}

/** {language: {name of the page: {title, blocks}}} of a folder of languages. */
export function readManual(dir) {
  const languages = readdirSync(dir).filter((name) => /^[a-z]{2}$/.test(name));
  return Object.fromEntries(languages.map((language) => {
    const pages = readdirSync(join(dir, language)).filter((name) => name.endsWith('.md')).sort();
    return [language, Object.fromEntries(pages.map((name) => {
      const path = join(dir, language, name);
      return [name.slice(0, -3), readPage(readFileSync(path, 'utf8'), path)];
    }))];
  }));
}

/** Name and size of each picture by language, as tests/web/manual-pictures.mjs wrote them. */
export function readPictures(dir) {
  const path = join(dir, PICTURES);
  return existsSync(path) ? JSON.parse(readFileSync(path, 'utf8')) : {};
}

/** What is served of the manual: modules as text, pictures as bytes. */
export function manualFiles(dir) {
  const pictures = readPictures(dir);
  return Object.entries(readManual(dir)).flatMap(([language, pages]) => {
    const sizes = Object.fromEntries(Object.entries(pictures).filter(([, of]) => of[language]).map(([name, of]) => [name, [of[language].width, of[language].height]]));
    const shown = Object.keys(sizes).map((name) => ({ path: `/manual/${language}/${name}.webp`, bytes: readFileSync(join(dir, 'pictures', language, `${name}.webp`)) }));
    return [{ path: `/js/manual/${language}.js`, text: `export default ${JSON.stringify({ pages, sizes })};\n` }, ...shown];
  });
}
