"""Prints, as JSON, what gsw (TEOS-10, after Garcia and Gordon 1992) says of oxygen at saturation under one atmosphere.

Rows of [temperature_c, salinity_g_kg, mg/L]; gsw answers in umol/kg, which its own density brings to a litre.
"""
import json

import gsw

G_PER_MOL_O2 = 31.998  # IUPAC (2021)
G_KG_PER_PRACTICAL = 35.16504 / 35  # reference salinity of one unit of practical salinity

rows = []
for temperature_c in range(0, 41):
    for salinity in range(0, 41, 2):  # practical, which the formula's "g/kg" is
        absolute = salinity * G_KG_PER_PRACTICAL
        conservative_c = gsw.CT_from_pt(absolute, temperature_c)
        kg_l = gsw.rho(absolute, conservative_c, 0) / 1000
        mg_l = gsw.O2sol_SP_pt(salinity, temperature_c) / 1000 * G_PER_MOL_O2 * kg_l
        rows.append([temperature_c, salinity, float(mg_l)])
print(json.dumps(rows))
