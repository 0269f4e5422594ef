/*
 * Molar masses, g/mol.  Source: IUPAC abridged standard atomic weights (2021).
 */
#ifndef WEIRBOOK_DOMAIN_MOLAR_H
#define WEIRBOOK_DOMAIN_MOLAR_H

#define MOLAR_H  1.008
#define MOLAR_C  12.011
#define MOLAR_N  14.007
#define MOLAR_O  15.999
#define MOLAR_NA 22.990
#define MOLAR_MG 24.305
#define MOLAR_P  30.974
#define MOLAR_CL 35.45
#define MOLAR_K  39.098
#define MOLAR_CA 40.078

/* Alkalinity is told as CaCO3: half a mole of it is one equivalent. */
#define CACO3_PER_EQUIVALENT ((MOLAR_CA + MOLAR_C + 3 * MOLAR_O) / 2)

#endif
