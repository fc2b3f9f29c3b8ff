"""Box, shelf and price list of the hill-climb two-seater. Part numbers, suppliers and prices are invented."""

BOX = """
rotor          | RK-R280-L | friction ring 280 x 22, vanes for the left | 1 | side left | thickness 22 | outer_diameter 280
rotor          | RK-R280-R | friction ring 280 x 22, vanes for the right | 1 | side right | thickness 22 | outer_diameter 280
hat            | RK-H100   | hat 4x100 / 4x108, bore 54.16 | 2
hat screw      | RK-HS22   | cap screw M6 x 22 | 16 | thread M6x1.0 | length 22 | class 10.9
hat nut        | RK-HN6    | all-metal lock nut M6 | 16 | thread M6x1.0
bracket        | RK-B110   | bracket, aluminium | 2
bracket screw  | RK-BS38   | hex screw M10x1.25 x 38 | 4 | thread M10x1.25 | length 38 | class 10.9
washer         | RK-W10    | hardened washer 10.5 x 20 x 2 | 8 | thickness 2.0 | inner_diameter 10.5 | outer_diameter 20
shim           | RK-S08    | shim washer 0.8 mm | 8 | thickness 0.8 | inner_diameter 10.2
shim           | RK-S04    | shim washer 0.4 mm | 8 | thickness 0.4 | inner_diameter 10.2
shim           | RK-S05    | shim washer 0.5 mm | 4 | thickness 0.5 | inner_diameter 10.2
caliper        | RK-C4-L   | four-piston caliper, left | 1 | side left
caliper        | RK-C4-R   | four-piston caliper, right | 1 | side right
caliper stud   | RK-ST52   | stud M10x1.25 x 52 | 4 | thread M10x1.25 | length 52 | class 10.9
caliper nut    | RK-N10    | all-metal lock nut M10x1.25 | 4 | thread 10x1.25
pad set        | P44-R9    | race pads, shape P-44, compound R9, for race use only | 1 | unit set | class R9
pad pin        | RK-PP     | pad pin | 4
pad clip       | RK-PC     | pin clip | 4
"""

SHELF = """
anti-seize     | 0071      | anti-seize paste, tube | 1
cleaner        | 0085      | brake cleaner, can | 5
"""

PRICES = """
hose           | HS-BU-3-330 | braided hose, swivel nut, 330 mm | Supplier A | 40.30 | lead_days 3 | end_a 10x1 bubble female | end_b -3 37 female | length 330 | road_marked yes
hose           | HS-BU-3-380 | braided hose, swivel nut, 380 mm | Supplier A | 41.60 | lead_days 3 | end_a 10x1 bubble female | end_b -3 37 female | length 380 | road_marked yes
hose           | HS-BU-3-430 | braided hose, swivel nut, 430 mm | Supplier A | 42.80 | lead_days 3 | end_a 10x1 bubble female | end_b -3 37 female | length 430 | road_marked yes
hose           | HS-BU-3-480 | braided hose, swivel nut, 480 mm | Supplier A | 44.10 | lead_days 3 | end_a 10x1 bubble female | end_b -3 37 female | length 480 | road_marked yes
hose           | HS-33-380 | braided hose, swivel nuts, 380 mm | Supplier A | 34.60 | lead_days 2 | end_a AN3 female | end_b AN3 female | length 380 | road_marked yes
hose           | HS-33-430 | braided hose, swivel nuts, 430 mm | Supplier A | 35.90 | lead_days 2 | end_a AN3 female | end_b AN3 female | length 430 | road_marked yes
hose           | HR-BU-3-430 | braided hose, race only, 430 mm | Supplier B | 24.90 | lead_days 1 | end_a 10x1 bubble female | end_b -3 37 female | length 430 | road_marked no
hose           | HB-BU-10-430 | brake hose with banjo, 430 mm | Supplier A | 45.70 | lead_days 4 | end_a 10x1 bubble female | end_b M10x1.0 banjo eye | length 430 | road_marked yes
hose           | HB-38-10-430 | brake hose with banjo, 430 mm | Supplier A | 43.90 | lead_days 4 | end_a 3/8-24 inverted flare female | end_b M10x1.0 banjo eye | length 430 | road_marked yes
adapter        | AB-BU-3   | bulkhead adapter, straight | Supplier A | 10.40 | lead_days 2 | end_a M10x1.0 bubble female | end_b -3 37 male
adapter        | AB-38-3   | bulkhead adapter, straight | Supplier A | 9.20 | lead_days 2 | end_a 3/8-24 inverted flare female | end_b -3 37 male
adapter        | AT-18-3   | caliper adapter, taper thread, straight | Supplier A | 6.80 | lead_days 2 | end_a 1/8-27 NPT male | end_b -3 37 male
adapter        | AT-18-3-90 | caliper adapter, taper thread, 90 degrees | Supplier A | 11.60 | lead_days 2 | end_a 1/8-27 NPT male | end_b -3 37 male
adapter        | AT-18-3-B | caliper adapter, taper thread, steel | Supplier B | 7.40 | lead_days 1 | end_a 1/8-27 NPT male | end_b AN3 male
adapter        | AC-10-3   | caliper adapter on a washer | Supplier A | 8.70 | lead_days 2 | end_a M10x1.0 crush male | end_b -3 37 male
adapter        | AJ-10-3   | banjo adapter | Supplier A | 13.40 | lead_days 3 | end_a M10x1.0 banjo eye | end_b -3 37 male
banjo screw    | BS-10-20  | banjo screw, 20 mm | Supplier A | 3.60 | lead_days 2 | thread M10x1.0 | length 20
sealing washer | SW-10     | copper sealing washer 10.1 x 14 | Supplier A | 0.35 | pack_size 10 | lead_days 1 | thickness 1.0 | inner_diameter 10.1 | outer_diameter 14
line clip      | LC-1      | spring clip for a line tab | Supplier A | 0.95 | pack_size 4 | lead_days 1
thread sealant | TS-1      | fluid-safe sealant for taper threads | Supplier A | 0.30 | unit mL | pack_size 50 | lead_days 1
thread sealant | TS-2      | fluid-safe paste for taper threads, tube | Supplier B | 0.42 | unit mL | pack_size 20 | lead_days 1
pad set        | P44-S1    | pads, shape P-44, compound S1, for road use | Supplier B | 78.00 | unit set | lead_days 2 | class S1
pad set        | P44-F2    | pads, shape P-44, compound F2, for fast road and track use | Supplier B | 112.00 | unit set | lead_days 2 | class F2
pad set        | P44-F2-A  | pads, shape P-44, compound F2, for fast road and track use | Supplier A | 118.50 | unit set | lead_days 1 | class F2
pad set        | P44-R9    | pads, shape P-44, compound R9, for race use only | Supplier B | 139.00 | unit set | lead_days 4 | class R9
pad set        | P52-F2    | pads, shape P-52, compound F2, for fast road and track use | Supplier B | 121.00 | unit set | lead_days 2 | class F2
pad pin        | PP-44     | pad pin | Supplier B | 3.20 | lead_days 2
pad clip       | PC-44     | pin clip | Supplier B | 0.60 | pack_size 10 | lead_days 2
shim           | SH-10-02  | shim washer 0.2 mm for M10 | Supplier B | 0.28 | pack_size 10 | lead_days 2 | thickness 0.2 | inner_diameter 10.2
shim           | SH-10-05  | shim washer 0.5 mm for M10 | Supplier B | 0.30 | pack_size 10 | lead_days 2 | thickness 0.5 | inner_diameter 10.2
shim           | SH-10-10  | shim washer 1.0 mm for M10 | Supplier B | 0.36 | pack_size 10 | lead_days 2 | thickness 1.0 | inner_diameter 10.2
shim           | SH-12-10  | shim washer 1.0 mm for M12 | Supplier B | 0.40 | pack_size 10 | lead_days 2 | thickness 1.0 | inner_diameter 12.2
washer         | HW-10     | hardened washer 10.5 x 20 x 2 | Supplier B | 0.22 | pack_size 25 | lead_days 1 | thickness 2.0 | inner_diameter 10.5 | outer_diameter 20
bracket screw  | HX-10-38  | hex screw M10x1.25 x 38, 10.9 | Supplier B | 1.15 | lead_days 2 | thread M10x1.25 | length 38 | class 10.9
bracket screw  | HX-10-40  | hex screw M10x1.25 x 40, 10.9 | Supplier B | 1.15 | lead_days 2 | thread M10x1.25 | length 40 | class 10.9
bracket screw  | HX-10-45  | hex screw M10x1.25 x 45, 10.9 | Supplier B | 1.20 | lead_days 2 | thread M10x1.25 | length 45 | class 10.9
caliper stud   | ST-10-55  | stud M10x1.25 x 55, 10.9 | Supplier B | 3.90 | lead_days 3 | thread M10x1.25 | length 55 | class 10.9
caliper nut    | AN-10     | all-metal lock nut M10x1.25 | Supplier B | 0.85 | pack_size 10 | lead_days 2 | thread M10x1.25
hat screw      | CS-6-22   | cap screw M6 x 22, 10.9 | Supplier B | 0.55 | pack_size 10 | lead_days 2 | thread M6x1.0 | length 22 | class 10.9
hat nut        | AN-6      | all-metal lock nut M6 | Supplier B | 0.45 | pack_size 10 | lead_days 2 | thread M6x1.0
wheel stud     | WS-12-48  | wheel stud M12x1.5, 48 mm | Supplier B | 3.40 | pack_size 5 | lead_days 3 | thread M12x1.5 | length 48
wheel stud     | WS-12-58  | wheel stud M12x1.5, 58 mm | Supplier B | 3.80 | pack_size 5 | lead_days 3 | thread M12x1.5 | length 58
wheel nut      | WN-12-C   | wheel nut M12x1.5, cone seat, open | Supplier B | 1.90 | pack_size 4 | lead_days 1 | thread M12x1.5 | length 24
wheel spacer   | WP-5-100  | wheel spacer 5 mm, 4x100 | Supplier B | 19.50 | lead_days 3 | thickness 5
centring ring  | CR-571-541 | metal centring ring 57.1 / 54.1 | Supplier B | 8.90 | lead_days 3 | inner_diameter 54.1 | outer_diameter 57.1
centring ring  | CR-567-561 | metal centring ring 56.7 / 56.1 | Supplier B | 8.90 | lead_days 3 | inner_diameter 56.1 | outer_diameter 56.7
fluid          | BF-51-05  | brake fluid DOT 5.1 | Supplier A | 19.80 | unit L | pack_size 0.5 | lead_days 1 | class DOT 5.1
fluid          | BF-4-1    | brake fluid DOT 4 | Supplier B | 12.60 | unit L | pack_size 1 | lead_days 1 | class DOT 4
fluid          | BF-5-05   | silicone brake fluid DOT 5 | Supplier B | 31.00 | unit L | pack_size 0.5 | lead_days 5 | class DOT 5
threadlocker   | TL-M      | threadlocker, medium strength, bottle | Supplier B | 0.95 | unit mL | pack_size 10 | lead_days 1
threadlocker   | TL-H      | threadlocker, high strength, bottle | Supplier B | 1.10 | unit mL | pack_size 10 | lead_days 1
anti-seize     | AS-1      | anti-seize paste, tube | Supplier B | 7.90 | lead_days 1
cleaner        | BC-500    | brake cleaner, can | Supplier B | 4.20 | lead_days 1
safety wire    | SW-08     | safety wire 0.8 mm, spool | Supplier B | 0.20 | unit m | pack_size 30 | lead_days 2
"""
