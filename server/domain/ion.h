/* Kits that read an ion, and the element that the record keeps. */
#ifndef WEIRBOOK_DOMAIN_ION_H
#define WEIRBOOK_DOMAIN_ION_H

enum ion { ION_AMMONIUM, ION_AMMONIA, ION_NITRITE, ION_NITRATE, ION_PHOSPHATE, ION__MAX };

/*
 * The share of an ion's mass that is its nitrogen (of phosphate: its phosphorus): 14.007/18.039, 14.007/46.005,
 * 14.007/62.004, 30.974/94.970.  Source: IUPAC abridged standard atomic weights 2021.
 */
double ion_element_share(enum ion ion);

#endif
