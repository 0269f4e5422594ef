/*
 * Builds the web files into the program: gathers index.html, css/ and js/ of web/ and the ES modules of
 * the libraries, packs each with gzip and writes one C file with the table of server/api/static_files.h.
 * It leaves out comments and the source map lines of the libraries, whose maps are not served; else files are served as they are.
 *
 * The grower's manual comes along (manual.mjs).
 *
 *   node embed.mjs WEB_DIR MODULES_DIR MANUAL_DIR OUT.c
 */
import { createHash } from 'node:crypto';
import { readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { extname, join, posix } from 'node:path';
import { pathToFileURL } from 'node:url';
import { gzipSync } from 'node:zlib';
import { manualFiles } from './manual.mjs';

const TYPES = {
  '.html': 'text/html; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.mjs': 'text/javascript; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.webp': 'image/webp',
};

/** Library files: the path they are served under, and where npm put them. */
const LIBRARIES = [
  ['lit-html', 'lit-html', [
    'lit-html.js', 'directive.js', 'directive-helpers.js', 'directives/repeat.js', 'directives/keyed.js',
  ]],
  ['uplot', 'uplot/dist', ['uPlot.esm.js', 'uPlot.min.css']],
  ['uqr', 'uqr/dist', ['index.mjs']],
];

function walk(dir, prefix) {
  return readdirSync(dir, { withFileTypes: true }).flatMap((entry) => {
    if (entry.name.startsWith('.')) return [];
    const path = `${prefix}/${entry.name}`;
    if (entry.isDirectory()) return walk(join(dir, entry.name), path);
    return [{ path, file: join(dir, entry.name) }];
  });
}

function gather(web, modules) {
  const own = [
    { path: '/index.html', file: join(web, 'index.html') },
    { path: '/sw.js', file: join(web, 'sw.js') },
    ...walk(join(web, 'css'), '/css'),
    ...walk(join(web, 'js'), '/js'),
  ];
  const libraries = LIBRARIES.flatMap(([name, from, files]) =>
    files.map((file) => ({ path: `/lib/${name}/${file}`, file: join(modules, from, file), library: true })));
  return [...own, ...libraries].sort((a, b) => (a.path < b.path ? -1 : 1));
}

/*
 * Every byte of the first load is paid for on a farm's Wi-Fi: comments stay in the source.  Lines keep their numbers.  A comment goes only
 * where it begins a line outside of a template (an even count of back quotes stands before it).
 */
function withoutComments(text) {
  let quotes = 0;
  let at = 0;
  return text.replace(/^[ \t]*(?:\/\*[\s\S]*?\*\/[ \t]*$|\/\/.*$)/gm, (comment, offset) => {
    quotes += text.slice(at, offset).split('`').length - 1;
    at = offset + comment.length;
    if (quotes % 2 === 0) return comment.replace(/[^\n]/g, '');
    quotes += comment.split('`').length - 1;
    return comment;
  });
}

/* The sheets that index.html asks for come as one file. */
const FIRST_CSS = '/css/first.css';
const LINKS = /(?:<link rel="stylesheet" href="\/css\/[\w-]+\.css">\n)+/;
function firstSheets(web) {
  const [links] = LINKS.exec(readFileSync(join(web, 'index.html'), 'utf8'));
  const names = [...links.matchAll(/href="(.*?)"/g)].map((m) => m[1]);
  return names.map((name) => cssText(readFileSync(join(web, name), 'utf8'))).join('\n');
}
const cssText = (text) => text.replace(/\/\*[\s\S]*?\*\//g, '');

const BUILD = '/js/build.js';

const MAIN = '/js/main.js';
const SOON = ['/js/views/at.js', '/js/outbox-sheet.js']; // what comes as soon as the first screen stands (js/main.js)

/* What a module loads at once, itself included: {address: text}.  The page names all of main.js, so that they come side by side. */
function firstModules(found, ...from) {
  const files = new Map(found.map((f) => [f.path, f]));
  const first = {};
  const visit = (path) => {
    if (first[path] !== undefined || !files.has(path)) return; // build.js is made later
    first[path] = readFileSync(files.get(path).file, 'utf8');
    for (const [, other] of first[path].matchAll(/\bfrom ?["'](\.{0,2}\/[^"']+)["']/g)) visit(posix.resolve(posix.dirname(path), other));
  };
  from.forEach(visit);
  return first;
}

/*
 * The catalogue of words in two: what the modules name that load at once or soon, and the rest.
 */
async function wordFiles(web, text) {
  const isWhole = (section) => text.includes(`\`${section}.\${`); // the key is made up as it runs
  const isFirst = (section, key) => isWhole(section) || new RegExp(`['"\`]${section}\\.${key}\\b`).test(text);
  const partOf = (words, first) => Object.fromEntries(Object.entries(words).map(([section, keys]) => [
    section, Object.fromEntries(Object.entries(keys).filter(([key]) => isFirst(section, key) === first)),
  ]).filter(([, keys]) => Object.keys(keys).length));
  const files = [];
  for (const name of readdirSync(join(web, 'js/words')).filter((n) => /^[a-z]{2}\.js$/.test(n))) {
    const words = (await import(pathToFileURL(join(web, 'js/words', name)))).default;
    const part = (first) => `export default ${JSON.stringify(partOf(words, first))};\n`;
    files.push(packBytes(`/js/words/${name}`, TYPES['.js'], Buffer.from(part(true))));
    files.push(packBytes(`/js/words/${name.replace('.js', '-rest.js')}`, TYPES['.js'], Buffer.from(part(false))));
  }
  return files;
}

function served({ path, file, library }, first) {
  const text = readFileSync(file, 'utf8');
  if (library) return text.replace(/^\/\/# sourceMappingURL=.*$/gm, '');
  if (path === '/index.html') {
    const preloads = [...Object.keys(first), BUILD].map((module) => `<link rel="modulepreload" href="${module}">\n`);
    return text.replace(LINKS, `<link rel="stylesheet" href="${FIRST_CSS}">\n${preloads.join('')}`);
  }
  if (path.endsWith('.js')) return withoutComments(text);
  return path.endsWith('.css') ? cssText(text) : text;
}

function pack(found, first) {
  const type = TYPES[extname(found.path)];
  if (!type) throw new Error(`${found.file}: no content type is known for ${extname(found.path)}`);
  return packBytes(found.path, type, Buffer.from(served(found, first)));
}
const packBytes = (path, type, bytes) => ({
  path, type, gzip: gzipSync(bytes, { level: 9 }), etag: createHash('sha256').update(bytes).digest('hex').slice(0, 20),
});

/** A page knows by it whether it is of the same build as the service that it meets. */
function buildModules(files) {
  const all = buildOf(files);
  const script = (path, text) => packBytes(path, TYPES['.js'], Buffer.from(text));
  const build = script(BUILD, `export const WEB_BUILD = '${all}';
`);
  // Pictures are left to the network: what a tablet needs in the dark is text.
  const paths = [...files.map((f) => f.path), build.path].filter((path) => path !== '/index.html' && path !== '/sw.js' && !path.endsWith('.webp'));
  return { all, made: [build, script('/js/sw-files.js', `self.WEB = ${JSON.stringify({ build: all, files: paths })};\n`)] };
}
const buildOf = (files) => createHash('sha256').update(files.map((f) => f.path + f.etag).join('\n')).digest('hex').slice(0, 20);

function bytesOf(buffer) {
  const lines = [];
  for (let i = 0; i < buffer.length; i += 24) lines.push(`\t${[...buffer.subarray(i, i + 24)].join(',')},`);
  return lines.join('\n');
}

function cText(files, all) {
  const arrays = files.map((f, i) => `static const unsigned char file_${i}[] = {\n${bytesOf(f.gzip)}\n};\n`);
  const rows = files.map((f, i) =>
    `\t{ .path = "${f.path}", .content_type = "${f.type}", .gzip = file_${i}, .gzip_length = sizeof(file_${i}), .etag = "\\"${f.etag}\\"" },`);
  return `/* Made by web/embed.mjs: the web files, packed. */
#include "api/static_files.h"

${arrays.join('\n')}
const struct static_file static_files[] = {
${rows.join('\n')}
};
const size_t n_static_files = ${files.length};
const char static_files_build[] = "${all}";
`;
}

const [web, modules, manual, out] = process.argv.slice(2);
if (!out) {
  console.error('usage: node embed.mjs WEB_DIR MODULES_DIR MANUAL_DIR OUT.c');
  process.exit(2);
}
const found = gather(web, modules);
const first = firstModules(found, MAIN);
const words = await wordFiles(web, Object.values(firstModules(found, MAIN, ...SOON)).join('\n'));
const pages = manualFiles(manual).map(({ path, text, bytes }) => packBytes(path, TYPES[extname(path)], bytes ?? Buffer.from(text)));
const packed = [...found.map((f) => pack(f, first)).filter((f) => !words.some((o) => o.path === f.path)), ...words, ...pages, packBytes(FIRST_CSS, TYPES['.css'], Buffer.from(firstSheets(web)))];
const { all, made } = buildModules(packed);
writeFileSync(out, cText([...packed, ...made].sort((a, b) => (a.path < b.path ? -1 : 1)), all));
