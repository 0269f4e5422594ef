/*
 * Words in the reader's language.  One catalogue file a language in words/; a missing word shows its key,
 * and a test finds it before anyone sees it.  The build serves a catalogue in two parts (embed.mjs): what the first
 * screens say, and the rest, which comes with the first screen that needs more.
 */
const LOADERS = {
  en: [() => import('./words/en.js'), () => import('./words/en-rest.js')],
  es: [() => import('./words/es.js'), () => import('./words/es-rest.js')],
};
const CATALOGUES = {};
const whole = new Set(); // languages whose rest is here too
let restWanted = false;
let language = 'en';

/** Codes of the languages that there is a catalogue of. */
export const languages = Object.keys(LOADERS);
/** @returns {string} the code of the language of now */
export const getLanguage = () => language;

/* Rejects when the words cannot be had. */
async function load(code) {
  const [first, rest] = LOADERS[code];
  CATALOGUES[code] ??= { ...(await first()).default };
  if (!restWanted || whole.has(code)) return;
  for (const [section, words] of Object.entries((await rest()).default)) CATALOGUES[code][section] = { ...CATALOGUES[code][section], ...words };
  whole.add(code);
}

/** Loads the words where they are not here yet; the language stays as it is when they cannot be had. */
export async function setLanguage(code) {
  const wanted = LOADERS[code] ? code : 'en';
  await load(wanted).catch(() => {});
  if (!CATALOGUES[wanted]) return;
  language = wanted;
  document.documentElement.lang = language;
}
/** Loads the rest of the present language; all of every language: loadLanguages().  Neither rejects. */
export async function loadRest() {
  restWanted = true;
  await load(language).catch(() => {});
}
/** Loads all words of every language, so that the network may go.  Never rejects.  @returns {Promise<void>} */
export async function loadLanguages() {
  await loadRest();
  await Promise.allSettled(languages.map(load));
}

/* Words that one screen alone needs, so that the first load stays small. */
const PARTS = { calc: { en: () => import('./words/calc-en.js'), es: () => import('./words/calc-es.js') } };
const added = new Set();

/* What the main catalogue says stays. */
function addWords(to, from) {
  for (const [key, value] of Object.entries(from)) {
    if (typeof value !== 'object') to[key] ??= value;
    else addWords(to[key] ??= {}, value);
  }
}

/** Adds a part's words in the language of now. */
export async function loadPart(part) {
  const code = language;
  if (added.has(`${part} ${code}`)) return;
  addWords(CATALOGUES[code], (await PARTS[part][code]()).default);
  added.add(`${part} ${code}`);
}

const within = (words, key) => key.split('.').reduce((node, part) => node?.[part], words);
const find = (key) => within(CATALOGUES[language], key);

/** Whether the catalogue has this key.  @param {string} key @returns {boolean} */
export const has = (key) => find(key) !== undefined;

function plural(forms, n) {
  return forms[new Intl.PluralRules(language).select(Number(n))] ?? forms.other;
}

/* What was found with {name} replaced from args; of the forms {one, other} the one that args.n takes.  What is no text stays as it is. */
function say(found, args) {
  const text = found?.other ? plural(found, args.n) : found;
  if (typeof text !== 'string') return text;
  return text.replace(/\{(\w+)\}/g, (all, name) => {
    if (name === 'n' && args.shown !== undefined) return args.shown;
    return args[name] ?? all;
  });
}

/**
 * The text under a key ("round.late"), with {name} replaced from args.  An entry with the forms
 * {one, other} is chosen by args.n; args.shown, if given, is what {n} prints.
 */
export function t(key, args = {}) {
  const text = say(find(key), args);
  return typeof text === 'string' ? text : key;
}

/** The same for the words of one screen alone, {en: {...}, es: {...}}, which come with it; a list of texts stays one. */
export const ownWords = (words) => (key, args = {}) => say(within(words[language] ?? words.en, key), args);

/** A field's name; `column` and report columns share the catalogue of fields. */
export const fieldName = (name) => (has(`field.${name}`) ? t(`field.${name}`) : name.replaceAll('_', ' '));
/** What a kind of record is called, of many: "Feedings".  @param {string} name of the kind @returns {string} */
export const kindName = (name) => t(`kind.${name}.many`);
/** What one row of a kind is called: "Feeding".  @param {string} name of the kind @returns {string} */
export const kindOne = (name) => t(`kind.${name}.one`);

/** A word of a choice: under its field first, since the same word can mean two things. */
export function choiceWord(field, word) {
  const own = `choice.${field}.${word}`;
  return has(own) ? t(own) : t(`choice.any.${word}`);
}
