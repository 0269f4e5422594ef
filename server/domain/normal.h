/* The normal distribution, as far as ranges need it. */
#ifndef WEIRBOOK_DOMAIN_NORMAL_H
#define WEIRBOOK_DOMAIN_NORMAL_H

/* Standard errors to either side of a figure that hold the truth 95 times in 100 (two-sided, any
 * table of the normal distribution). */
#define Z95 1.96

#endif
