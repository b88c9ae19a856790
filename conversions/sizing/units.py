"""Exact unit factors, all by definition, for the edges and the checks; nothing rounded for reading is used.

NIST Handbook 44 Appendix C calls exact: the inch (2.54 cm), the US gallon (231 cubic inches), the US bushel
(2150.42 cubic inches). Its printed 1 yd3 = 0.765 m3 and 1 ft3 = 7.481 gal are rounded for reading and not used.
"""

INCH_M = 0.0254
FOOT_M = 0.3048
YARD_M = 0.9144
SQUARE_FOOT_M2 = FOOT_M**2
SQUARE_YARD_M2 = YARD_M**2
CUBIC_INCH_M3 = INCH_M**3
CUBIC_FOOT_M3 = FOOT_M**3
CUBIC_YARD_M3 = YARD_M**3
US_GALLON_M3 = 231 * CUBIC_INCH_M3
US_BUSHEL_M3 = 2150.42 * CUBIC_INCH_M3
HEAPED_BUSHEL_M3 = 2747.715 * CUBIC_INCH_M3
IMPERIAL_GALLON_M3 = 0.00454609
POUND_KG = 0.45359237
SHORT_TON_KG = 2000 * POUND_KG
ACRE_M2 = 43560 * SQUARE_FOOT_M2
LB_PER_YD3_KGM3 = POUND_KG / CUBIC_YARD_M3
LB_PER_FT3_KGM3 = POUND_KG / CUBIC_FOOT_M3
LB_PER_GALLON_KGM3 = POUND_KG / US_GALLON_M3
