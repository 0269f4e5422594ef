/*
 * Words in the reader's language.  One catalogue file a language in words/; a missing word shows its key,
 * and a test finds it before anyone sees it.
 */
const LOADERS = { en: () => import('./words/en.js'), es: () => import('./words/es.js') };
const CATALOGUES = {};
let language = 'en';

export const languages = Object.keys(LOADERS);
export const getLanguage = () => language;

/** Loads the words where they are not here yet; the language stays as it is when they cannot be had. */
export async function setLanguage(code) {
  const wanted = LOADERS[code] ? code : 'en';
  CATALOGUES[wanted] ??= (await LOADERS[wanted]().catch(() => null))?.default;
  if (!CATALOGUES[wanted]) return;
  language = wanted;
  document.documentElement.lang = language;
}
export const loadLanguages = () => Promise.allSettled(languages.map(async (code) => { CATALOGUES[code] ??= (await LOADERS[code]()).default; }));

function find(key) {
  return key.split('.').reduce((node, part) => node?.[part], CATALOGUES[language]);
}

export const has = (key) => find(key) !== undefined;

function plural(forms, n) {
  return forms[new Intl.PluralRules(language).select(Number(n))] ?? forms.other;
}

/**
 * The text under a key ("round.late"), with {name} replaced from args.  An entry with the forms
 * {one, other} is chosen by args.n; args.shown, if given, is what {n} prints.
 */
export function t(key, args = {}) {
  let text = find(key);
  if (text && typeof text === 'object') text = plural(text, args.n);
  if (typeof text !== 'string') return key;
  return text.replace(/\{(\w+)\}/g, (all, name) => {
    if (name === 'n' && args.shown !== undefined) return args.shown;
    return args[name] ?? all;
  });
}

/** A field's name; `column` and report columns share the catalogue of fields. */
export const fieldName = (name) => (has(`field.${name}`) ? t(`field.${name}`) : name.replaceAll('_', ' '));
export const kindName = (name) => t(`kind.${name}.many`);
export const kindOne = (name) => t(`kind.${name}.one`);

/** A word of a choice: under its field first, since the same word can mean two things. */
export function choiceWord(field, word) {
  const own = `choice.${field}.${word}`;
  return has(own) ? t(own) : t(`choice.any.${word}`);
}
