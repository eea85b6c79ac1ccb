"""Published figures that the tests of progress are held against, each with its source."""

from __future__ import annotations

# NIST Statistical Reference Datasets, Linear Regression, "Norris" (certified values and data)
NORRIS_Y = [0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1, 668.8, 339.3]
NORRIS_Y += [448.9, 10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6]
NORRIS_Y += [228.9, 668.4, 449.2, 0.2]
NORRIS_X = [0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5, 666.9, 338.0]
NORRIS_X += [447.5, 11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3]
NORRIS_X += [229.2, 669.1, 448.9, 0.5]
NORRIS_SLOPE, NORRIS_SLOPE_SE = 1.00211681802045, 0.000429796848199937
NORRIS_INTERCEPT, NORRIS_INTERCEPT_SE = -0.262323073774029, 0.232818234301152
NORRIS_RESIDUAL_SD = 0.884796396144373

# NIST StRD, "NoInt2": y = slope * x, no intercept
NOINT2_X, NOINT2_Y, NOINT2_SLOPE = [4.0, 5.0, 6.0], [3.0, 4.0, 4.0], 0.727272727272727

# Student (1908) Biometrika 6:1, Cushny's sleep data: difference of the two drugs; interval and t as in its textbook use
SLEEP_A = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0]
SLEEP_B = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4]
SLEEP_MEAN, SLEEP_LOW, SLEEP_HIGH = -1.58, -2.45989, -0.70011

# Student's t, two-sided 5 %, from any printed table
T_975 = {1: 12.706, 2: 4.303, 3: 3.182, 4: 2.776}

# Colditz et al. (1994) JAMA 271:698, 13 trials of the BCG vaccine, as in the data set dat.bcg of R's metadat: ill and
# well of those vaccinated, ill and well of the others, latitude
BCG_TRIALS = (
    (4, 119, 11, 128, 44),
    (6, 300, 29, 274, 55),
    (3, 228, 11, 209, 42),
    (62, 13536, 248, 12619, 52),
    (33, 5036, 47, 5761, 13),
    (180, 1361, 372, 1079, 44),
    (8, 2537, 10, 619, 19),
    (505, 87886, 499, 87892, 13),
    (29, 7470, 45, 7232, 27),
    (17, 1699, 65, 1600, 42),
    (186, 50448, 141, 27197, 18),
    (5, 2493, 3, 2338, 33),
    (27, 16886, 29, 17825, 33),
)
