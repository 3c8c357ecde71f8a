/**
 * Key; Kc initial, mid-season, end; height m; days of the four stages (- where not all of them are printed); least and greatest root depth m;
 * depletion fraction at 5 mm a day; yield response factor. FAO-56 (1998), Tables 12, 11, 22 and 24; verified; where a range is
 * printed its middle stands. Exact.
 */
export const PRINTED_CROPS = `
tomato 0.60 1.15 0.80 0.6 30 40 40 25 0.7 1.5 0.40 1.05
potato 0.50 1.15 0.75 0.6 25 30 30 30 0.4 0.6 0.35 1.1
onion_dry 0.70 1.05 0.75 0.4 15 25 70 40 0.3 0.6 0.30 1.1
onion_green 0.70 1.00 1.00 0.3 20 45 20 10 0.3 0.6 0.30 1.1
cabbage 0.70 1.05 0.95 0.4 25 35 25 10 0.5 0.8 0.45 0.95
cauliflower 0.70 1.05 0.95 0.4 35 50 40 15 0.4 0.7 0.45 -
broccoli 0.70 1.05 0.95 0.3 35 45 40 15 0.4 0.6 0.45 -
carrot 0.70 1.05 0.95 0.3 20 30 30 20 0.5 1.0 0.35 -
spinach 0.70 1.00 0.95 0.3 20 20 25 5 0.3 0.5 0.20 -
lettuce 0.70 1.00 0.95 0.3 25 35 30 10 0.3 0.5 0.30 -
garlic 0.70 1.00 0.70 0.3 - - - - 0.3 0.5 0.30 -
radish 0.70 0.90 0.85 0.3 10 10 15 5 0.3 0.5 0.30 -
eggplant 0.60 1.05 0.90 0.8 30 40 40 20 0.7 1.2 0.45 -
pepper_bell 0.60 1.05 0.90 0.7 30 35 40 20 0.5 1.0 0.30 1.1
cucumber 0.60 1.00 0.75 0.3 20 30 40 15 0.7 1.2 0.50 -
pumpkin 0.50 1.00 0.80 0.4 20 30 30 20 1.0 1.5 0.35 -
squash_zucchini 0.50 0.95 0.75 0.3 25 35 25 15 0.6 1.0 0.50 -
sweet_melon 0.50 1.05 0.75 0.4 25 35 40 20 0.8 1.5 0.40 -
cantaloupe 0.50 0.85 0.60 0.3 30 45 35 10 0.9 1.5 0.45 -
watermelon 0.40 1.00 0.75 0.4 10 20 20 30 0.8 1.5 0.40 1.1
beet_table 0.50 1.05 0.95 0.4 25 30 25 10 0.6 1.0 0.50 -
cassava_year1 0.30 0.80 0.30 1.0 20 40 90 60 0.5 0.8 0.35 -
cassava_year2 0.30 1.10 0.50 1.5 150 40 110 60 0.7 1.0 0.40 -
sweet_potato 0.50 1.15 0.65 0.4 15 30 50 30 1.0 1.5 0.65 -
bean_green 0.50 1.05 0.90 0.4 15 25 25 10 0.5 0.7 0.45 1.15
bean_dry 0.40 1.15 0.35 0.4 15 25 35 20 0.6 0.9 0.45 1.15
cowpea 0.40 1.05 0.35 0.4 20 30 30 20 0.6 1.0 0.45 -
chickpea 0.40 1.00 0.35 0.4 - - - - 0.6 1.0 0.50 -
lentil 0.40 1.10 0.30 0.5 25 35 70 40 0.6 0.8 0.50 -
pea_fresh 0.50 1.15 1.10 0.5 20 30 35 15 0.6 1.0 0.35 1.15
faba_bean_fresh 0.50 1.15 1.10 0.8 20 30 35 15 0.5 0.7 0.45 -
groundnut 0.40 1.15 0.60 0.4 25 35 45 25 0.5 1.0 0.50 0.70
soybean 0.40 1.15 0.50 0.75 15 15 40 15 0.6 1.3 0.50 0.85
strawberry 0.40 0.85 0.75 0.2 - - - - 0.2 0.3 0.20 -
cotton 0.35 1.175 0.60 1.35 30 50 60 55 1.0 1.7 0.65 0.85
sesame 0.35 1.10 0.25 1.0 20 30 40 20 1.0 1.5 0.60 -
sunflower 0.35 1.075 0.35 2.0 25 35 45 25 0.8 1.5 0.45 0.95
barley 0.30 1.15 0.25 1.0 15 30 65 40 1.0 1.5 0.55 -
wheat_spring 0.30 1.15 0.325 1.0 15 30 65 40 1.0 1.5 0.55 1.15
maize_grain 0.30 1.20 0.35 2.0 25 40 45 30 1.0 1.7 0.55 1.25
maize_sweet 0.30 1.15 1.05 1.5 20 30 30 10 0.8 1.2 0.50 1.25
sorghum_grain 0.30 1.05 0.55 1.5 20 35 45 30 1.0 2.0 0.55 0.9
millet 0.30 1.00 0.30 1.5 15 25 40 25 1.0 2.0 0.55 -
alfalfa_hay 0.40 1.20 1.15 0.7 5 10 10 5 1.0 2.0 0.55 1.1
alfalfa_hay_averaged 0.40 0.95 0.90 0.7 - - - - 1.0 2.0 0.55 1.1
pasture_rotated 0.40 0.95 0.85 0.225 - - - - 0.5 1.5 0.60 -
sugarcane 0.40 1.25 0.75 3.0 35 60 190 120 1.2 2.0 0.65 1.2
banana_year1 0.50 1.10 1.00 3.0 120 90 120 60 0.5 0.9 0.35 1.275
banana_year2 1.00 1.20 1.10 4.0 120 60 180 5 0.5 0.9 0.35 1.275
coffee_bare 0.90 0.95 0.95 2.5 - - - - 0.9 1.5 0.40 -
tea_unshaded 0.95 1.00 1.00 1.5 - - - - 0.9 1.5 0.40 -
date_palm 0.90 0.95 0.95 8.0 - - - - 1.5 2.5 0.50 -
berries_bush 0.30 1.05 0.50 1.5 - - - - 0.6 1.2 0.50 -
grape_table 0.30 0.85 0.45 2.0 20 40 120 60 1.0 2.0 0.35 0.85
apple_no_cover 0.60 0.95 0.75 4.0 20 70 120 60 1.0 2.0 0.50 -
peach_no_cover 0.55 0.90 0.65 3.0 20 70 120 60 1.0 2.0 0.50 -
avocado 0.60 0.85 0.75 3.0 - - - - 0.5 1.0 0.70 -
citrus_70 0.70 0.65 0.70 4.0 60 90 120 95 1.2 1.5 0.50 1.2
olive 0.65 0.70 0.70 4.0 30 90 60 90 1.2 1.7 0.65 -
`

/** Key; days of the four stages; total as printed. FAO-56 (1998), Table 11, all rows of the main crops; verified. Exact. */
export const PRINTED_STAGES = `
tomato 30 40 40 25 135
tomato 35 40 50 30 155
tomato 25 40 60 30 155
tomato 35 45 70 30 180
tomato 30 40 45 30 145
potato 25 30 30 30 115
potato 25 30 45 30 130
potato 25 30 45 30 130
potato 30 35 50 30 145
potato 45 30 70 20 165
potato 30 35 50 25 140
onion_dry 15 25 70 40 150
onion_dry 20 35 110 45 210
onion_green 25 30 10 5 70
onion_green 20 45 20 10 95
onion_green 30 55 55 40 180
cabbage 40 60 50 15 165
cabbage 20 30 20 10 80
cabbage 25 35 25 10 95
cabbage 30 35 90 40 195
maize_grain 30 50 60 40 180
maize_grain 25 40 45 30 140
maize_grain 20 35 40 30 125
maize_grain 20 35 40 30 125
maize_grain 30 40 50 30 150
maize_grain 30 40 50 50 170
maize_sweet 20 20 30 10 80
maize_sweet 20 25 25 10 80
maize_sweet 20 30 30 10 90
maize_sweet 30 30 30 10 110
maize_sweet 20 40 70 10 140
bean_dry 20 30 40 20 110
bean_dry 15 25 35 20 95
bean_dry 25 25 30 20 100
bean_green 20 30 30 10 90
bean_green 15 25 25 10 75
cowpea 20 30 30 20 110
groundnut 25 35 45 25 130
groundnut 35 35 35 35 140
groundnut 35 45 35 25 140
sorghum_grain 20 35 40 30 130
sorghum_grain 20 35 45 30 140
millet 15 25 40 25 105
millet 20 30 55 35 140
wheat_spring 15 25 50 30 120
wheat_spring 20 25 60 30 135
wheat_spring 15 30 65 40 150
wheat_spring 40 30 40 20 130
wheat_spring 40 60 60 40 200
wheat_spring 20 50 60 30 160
pepper_bell 30 35 40 20 125
pepper_bell 30 40 110 30 210
`

/**
 * Key; least and most of field capacity and wilting point (parts of the volume), of available water (mm a metre), of readily
 * evaporable and evaporable water (mm). FAO-56 (1998), Table 19; verified; the middles are ours. Exact.
 */
export const PRINTED_SOILS = `
sand 0.07 0.17 0.02 0.07 50 110 2 7 6 12
loamy_sand 0.11 0.19 0.03 0.1 60 120 4 8 9 14
sandy_loam 0.18 0.28 0.06 0.16 110 150 6 10 15 20
loam 0.2 0.3 0.07 0.17 130 180 8 10 16 22
silt_loam 0.22 0.36 0.09 0.21 130 190 8 11 18 25
silt 0.28 0.36 0.12 0.22 160 200 8 11 22 26
silty_clay_loam 0.3 0.37 0.17 0.24 130 180 8 11 22 27
silty_clay 0.3 0.42 0.17 0.29 130 190 8 12 22 28
clay 0.32 0.4 0.2 0.24 120 200 8 12 22 29
`

/** Sediment; least, mean and most specific yield in per cent. Johnson 1967, USGS Water-Supply Paper 1662-D; a secondary copy, silt from memory. Exact. */
export const PRINTED_YIELDS = `
clay 0 2 5
sandy-clay 3 7 12
silt 3 8 19
fine-sand 10 21 28
medium-sand 15 26 32
coarse-sand 20 27 35
gravelly-sand 20 25 35
fine-gravel 21 25 35
`

/** Sediment; per cent drained from a bucket in an hour. Nissen-Petersen, handbooks on water from sand rivers (about 2000 to 2006); memory. Exact. */
export const PRINTED_HOUR = `
silt 5
fine-sand 19
medium-sand 25
coarse-sand 35
`

/**
 * Kind; litres a day, least, usual, most (- where none is printed). Sphere handbook, water supply standard 1, older edition (a person,
 * verified; pupil and out-patient from memory); dryland guides of FAO and ILCA (King 1983, Nicholson 1985, Pallas 1986; memory);
 * published lists of adult animals (dairy cattle, pig, poultry; secondary). Exact.
 */
export const PRINTED_NEEDS = `
person 7.5 15 -
pupil - 3 -
out-patient - 5 -
cattle 20 25 30
dairy-cattle 30 - 80
donkey 10 12 16
goat-or-sheep 4 5 6
camel 25 30 40
pig 15 - 25
poultry 0.1 - 0.25
`

/**
 * Method; least, likely and most wetted part of the ground. FAO-56 (1998), Table 20, p. 149; verified: trickle; sprinkler; furrows from
 * alternate (0.3) over every furrow of narrow beds (middle of 0.6 to 1) to basin (1). Exact.
 */
export const PRINTED_WETTED = `
drip 0.3 0.35 0.4
sprinkler 1 1 1
surface 0.3 0.8 1
`

/**
 * Method; least, likely and most per cent that stays in the root zone (- where the middle is ours). FAO-24 (1977), Table 37: sprinkler in
 * hot, moderate and cool air; from corrugation (50) to basin (80). Training Manual 4 (1989), Table 8: surface 60. Solomon (1988):
 * point emitters 75 to 90. All from memory. Exact.
 */
export const PRINTED_EFFICIENCY = `
drip 75 - 90
sprinkler 60 70 80
surface 50 60 80
`

/** Depth of the water table m; per cent of open water's evaporation. Hellwig 1973, Journal of Hydrology 18, as commonly quoted; memory. Exact. */
export const PRINTED_SAND = `
0 92
0.3 50
0.6 10
`
