/*
 * One form of a name, so that two spellings a person cannot tell apart are one name.
 *
 * Spaces at either end go, runs of spaces become one, and a Latin letter followed by one combining mark
 * becomes the single character that Unicode composes it to (NFC), for all letters of Latin-1 Supplement and
 * Latin Extended-A.  Not done: other scripts, letters with two marks, reordering of marks, singletons such
 * as the angstrom sign.  Those names stay as they were typed and compare byte by byte.
 */
#ifndef WEIRBOOK_MODEL_NAME_H
#define WEIRBOOK_MODEL_NAME_H

#include "base/arena.h"

/* text must be valid UTF-8.  Owned by the arena, or text itself when nothing changes. */
const char *name_canonical(const char *text, struct arena *arena);

#endif
