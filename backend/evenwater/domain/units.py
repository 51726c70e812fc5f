"""Every conversion we use: exact where it is a definition, with one name and one source each.

Molar masses are sums of the abridged standard atomic weights, IUPAC 2021 (Prohaska et al., Pure Appl. Chem.
94 (2022) 573-600, cited from memory): H 1.008, C 12.011, N 14.007, O 15.999, Na 22.990, Cl 35.45, K 39.098, Ca
40.078.

A constant stands here once; everything else multiplies by it.
"""

from typing import Final

MOLAR_MASS_CAO: Final = 56.077
"""Calcium oxide [g/mol]: 40.078 + 15.999."""

MOLAR_MASS_CACO3: Final = 100.086
"""Calcium carbonate [g/mol]: 40.078 + 12.011 + 3 × 15.999."""

MOLAR_MASS_NAHCO3: Final = 84.006
"""Sodium bicarbonate [g/mol]: 22.990 + 1.008 + 12.011 + 3 × 15.999. JECFA's monograph prints 84.01."""

MOLAR_MASS_KHCO3: Final = 100.114
"""Potassium bicarbonate [g/mol]: 39.098 + 1.008 + 12.011 + 3 × 15.999."""

MOLAR_MASS_N: Final = 14.007
"""Nitrogen, one atom [g/mol]."""

MOLAR_MASS_NH3: Final = 17.031
"""Ammonia [g/mol]: 14.007 + 3 × 1.008."""

MOLAR_MASS_CA: Final = 40.078
"""Calcium, one atom [g/mol]."""

MOLAR_MASS_CO2: Final = 44.009
"""Carbon dioxide [g/mol]: 12.011 + 2 × 15.999."""

MOLAR_MASS_CL: Final = 35.45
"""Chlorine, one atom [g/mol]. As Cl₂, which chlorine of every kind is stated as, twice that."""

MOLAR_MASS_NACL: Final = 58.44
"""Sodium chloride [g/mol]: 22.990 + 35.45."""

CL_PER_NACL: Final = MOLAR_MASS_CL / MOLAR_MASS_NACL
"""Share of chloride in salt, by weight [–], 0.6066."""

MEQ_PER_L_PER_DKH: Final = 10.0 / MOLAR_MASS_CAO * 2.0
"""Alkalinity of one German degree [meq/L per °dKH], 0.35665…

Source: definition of the German degree, 10 mg CaO per litre; calcium carries two charges (DIN 38409-7).
"""

MG_CACO3_PER_MEQ: Final = MOLAR_MASS_CACO3 / 2.0
"""Calcium carbonate that stands for one milliequivalent [mg/meq], 50.043. Same definition, two charges."""

MG_CACO3_PER_L_PER_DKH: Final = MEQ_PER_L_PER_DKH * MG_CACO3_PER_MEQ
"""Alkalinity of one German degree written as calcium carbonate [mg/L per °dKH], 17.848."""

NH3_PER_NH3_N: Final = MOLAR_MASS_NH3 / MOLAR_MASS_N
"""Mass of ammonia holding one unit mass of nitrogen [–], 1.2159."""

MOLAR_MASS_H: Final = 1.008
"""Hydrogen, one atom [g/mol]."""

MOLAR_MASS_O: Final = 15.999
"""Oxygen, one atom [g/mol]."""

NH4_PER_NH4_N: Final = (MOLAR_MASS_N + 4.0 * MOLAR_MASS_H) / MOLAR_MASS_N
"""Mass of ammonium holding one unit mass of nitrogen [–], 1.2879."""

NO2_PER_NO2_N: Final = (MOLAR_MASS_N + 2.0 * MOLAR_MASS_O) / MOLAR_MASS_N
"""Mass of nitrite holding one unit mass of nitrogen [–], 3.2844."""

NO3_PER_NO3_N: Final = (MOLAR_MASS_N + 3.0 * MOLAR_MASS_O) / MOLAR_MASS_N
"""Mass of nitrate holding one unit mass of nitrogen [–], 4.4266."""

SECONDS_PER_HOUR: Final = 3600
SECONDS_PER_DAY: Final = 86_400
"""A day of 24 hours [s]; a date at the pond can be an hour longer or shorter."""

J_PER_KWH: Final = 1000 * SECONDS_PER_HOUR
"""A kilowatt for an hour [J]. Exact."""

ZERO_CELSIUS_K: Final = 273.15
"""0 °C [K]. Exact. Source: BIPM, The International System of Units, 9th edition (2019), section 2.3.1."""

HPA_PER_ATM: Final = 1013.25
"""Standard atmosphere [hPa]. Exact. Source: 10th General Conference on Weights and Measures, 1954."""

L_PER_US_GAL: Final = 3.785411784
"""A gallon as it is used in the United States [L]. Exact: 231 cubic inches of 2.54 cm.

Source: NIST Handbook 44, appendix C.
"""

L_PER_IMP_GAL: Final = 4.54609
"""An imperial gallon [L]. Exact."""

G_PER_LB: Final = 453.59237
"""A pound [g]. Exact."""

OZ_PER_LB: Final = 16
"""Ounces of a pound [–]. Exact."""
