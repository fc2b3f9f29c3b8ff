"""The rear axle of an estate: the parking brake runs in the new hat, whose drum is larger than the old one."""

from bomcheck.demos.demo import Demo
from bomcheck.model.verdict import Verdict

JOB = """
job_number              ES-1180
vehicle_label           Estate, tows a trailer
prepared_by             parts counter
note                    Rear axle only. Hubs come off because the backing plates are renewed as well.
axle                    rear
corners                 2
corner_side             both
duty                    road
road_use                yes
currency                EUR
tax_percent             20
labour_rate             62
"""

CORNER = """
hub_fixing              stud
hub_bolt_circle         5x108
hub_bolt_circle_basis   nominal
hub_stud_thread         M12x1.5
hub_stud_length         40
hub_stud_shoulder_height  0
hub_pilot_diameter      63.36
hub_pilot_length        13.2
hub_pilot_fillet        0.6
hub_flange_diameter     136
hub_flange_thickness    10
hub_face_runout         0.02
stock_rotor_flange_thickness  6.5
hub_removed             yes
hub_in_kit              no
bearing                 tapered pair
nut_thread              M12x1.5
nut_seat                cone
nut_closed              yes
nut_thread_depth        28
nut_material            steel
ear_face_position       62.0
ear_side                outboard
ear_spacing             96.0
ear_height              88.0    ± 0.2
ear_sideways_offset     0.0     ± 0.3
ear_hole                plain through
ear_hole_diameter       10.4
ear_thickness           12
ear_material            steel
shield                  none
park_brake              drum in hat
park_shoe_diameter_min  158.0
park_shoe_diameter_max  162.0
park_lever              cable
caliper_position_present  ahead
caliper_position_kit    ahead
line_end                M10x1.0 bubble male
line_tube_diameter      4.75
line_bracket            yes
line_clip               yes
hose_arrangement        hose at each corner
hose_path_length        300
wheel_bolt_circle       5x108
wheel_bore              63.46
wheel_bore_chamfer      1.2
wheel_seat              cone
wheel_seat_depth        9.5
wheel_hole_diameter     14.5
wheel_pad_diameter      146
wheel_centring          pilot
wheel_rim_code          16
wheel_rim_width         7
wheel_offset            50
wheel_weight_thickness  3
wheel_spacer_thickness  0
wheel_barrel            0:190; 50:187; 90:186; 130:190
wheel_spoke             70:8; 110:12; 150:15; 180:20
"""

KIT = """
kit_number              RA-290-P
kit_revision            A
kit_label               290 mm rear kit with parking drum
rotor_build             one-piece
rotor_diameter          290
rotor_thickness         12
rotor_min_thickness     10
rotor_ring_inner_diameter  200
rotor_mass              5.1
rotor_vanes             none
rotor_height            58
hat_bolt_circle         5x108
hat_stud_hole_diameter  13.4
hat_bore                63.46   ± 0.02
hat_bore_chamfer        1.0
hat_flange_thickness    7
hat_inner_diameter      172
hat_inner_depth         44
hat_outer_diameter      190
hat_face_diameter       150
kit_park_brake          drum in hat
hat_park_drum_diameter  172
bracket_offset          -16.2
bracket_rise            21.3
bracket_material        steel
bracket_sideways_offset  0
bracket_ear_thickness   12
bracket_caliper_thickness  12
bracket_ear_spacing     96.0
bracket_ear_hole_diameter  10.4
bracket_caliper_spacing  84.0
bracket_screw_thread    M10x1.25
bracket_screw_class     10.9
bracket_screw_length    45
bracket_screw_thread_length  26
bracket_screw_torque    55 N·m
bracket_screw_head      16
bracket_washer_thickness  2.0
bracket_washer_count    2
bracket_nut_height      9.5
bracket_nut_kind        all-metal lock
bracket_screw_condition  dry
bracket_screw_into      nut
caliper_build           fixed
caliper_mount           axial lug
caliper_mount_spacing   84.0
caliper_hole_diameter   10.4
caliper_slot_width      19
caliper_pad_top         35
caliper_bridge          41.5
caliper_body_height     57
caliper_width_outboard  38
caliper_width_inboard   44
caliper_bores           38
caliper_piston_gap      41.2
caliper_piston_stroke   16
caliper_inlet           M10x1.0 banjo port
caliper_inlet_depth     15
caliper_fastening       screw and nut
caliper_screw_thread    M10x1.25
caliper_screw_class     10.9
caliper_screw_length    50
caliper_screw_thread_length  26
caliper_screw_torque    55 N·m
caliper_screw_condition  dry
caliper_lug_thickness   16
caliper_nut_height      10
caliper_washer_thickness  2.0
caliper_washer_count    2
caliper_nut_kind        nylon lock
banjo_thickness         10
banjo_screw_length      24
sealing_washer_thickness  1.0
shim_sizes_axial        1.0x4; 0.5x4; 0.2x8
shim_sizes_radial       none
axial_shim_joint        lug
caliper_lug_side        outboard
pad_shape               R-42
caliper_pad_shape       R-42
pad_height              42
pad_thickness           14
pad_backing_thickness   5
pad_min_lining          2
pad_min_thickness       7
pad_compound            S1
pad_duty                road
pad_friction            0.38
"""

BOX = """
rotor          | RA-R290   | rotor 290 x 12 with parking drum 172 | 2 | outer_diameter 290 | thickness 12 | inner_diameter 172
bracket        | RA-B96    | bracket, steel | 2
bracket screw  | RA-BS45   | hex screw M10x1.25 x 45 | 4 | thread M10x1.25 | length 45 | class 10.9
bracket nut    | RA-BN10   | all-metal lock nut M10x1.25 | 4 | thread M10x1.25
washer         | RA-W10    | hardened washer M10 | 16 | thickness 2.0 | inner_diameter 10.5
caliper        | RA-C2     | two-piston caliper | 2
caliper screw  | RA-CS50   | hex screw M10x1.25 x 50 | 4 | thread M10x1.25 | length 50 | class 10.9
caliper nut    | RA-CN10   | nylon lock nut M10x1.25 | 4 | thread M10x1.25
shim           | RA-S10    | shim washer 1.0 mm | 4 | thickness 1.0 | inner_diameter 10.2
shim           | RA-S05    | shim washer 0.5 mm | 4 | thickness 0.5 | inner_diameter 10.2
shim           | RA-S02    | shim washer 0.2 mm | 8 | thickness 0.2 | inner_diameter 10.2
pad set        | R42-S1    | pads, shape R-42, compound S1, for road use | 1 | unit set | class S1
pad pin        | RA-PP     | pad pin | 4
pad clip       | RA-PC     | pin clip | 4
hose           | RA-H340   | brake hose with banjo, 340 mm | 2 | end_a 10x1 bubble female | end_b 10x1.0 banjo eye | length 340 | thickness 10 | road_marked yes
banjo screw    | RA-BJ24   | banjo screw M10x1 x 24 | 2 | thread M10x1.0 | length 24
sealing washer | RA-CW10   | copper washer 10.1 x 14 x 1 | 4 | thickness 1.0 | inner_diameter 10.1 | outer_diameter 14
"""

SHELF = """
fluid          | 0012      | brake fluid DOT 4 | 2 | unit L | class DOT 4
anti-seize     | 0071      | anti-seize paste | 120 | unit g
cleaner        | 0085      | brake cleaner, can | 3
cotter pin     | 0103      | cotter pin 4 x 40 | 1
"""

PRICES = """
park shoe set     | PS-160  | parking-brake shoes 160 mm, four shoes | Supplier B | 31.50 | unit set | lead_days 2 | outer_diameter 160
park shoe set     | PS-172  | parking-brake shoes 172 mm, four shoes | Supplier B | 38.90 | unit set | lead_days 3 | outer_diameter 171
park hardware set | PH-172  | springs, pins and clips for four shoes | Supplier B | 14.20 | unit set | lead_days 3
hub seal          | SE-5572 | shaft seal 55 x 72 x 8 | Supplier A | 6.40 | lead_days 1 | inner_diameter 55 | outer_diameter 72
spindle nut       | SN-20   | spindle nut M20x1.5 | Supplier A | 3.10 | lead_days 2 | thread M20x1.5
spindle washer    | SP-20   | spindle washer, tongued | Supplier A | 1.20 | lead_days 2
cotter pin        | CP-440  | cotter pin 4 x 40 | Supplier A | 0.12 | pack_size 25 | lead_days 1
dust cap          | DC-52   | grease cap 52 mm | Supplier A | 2.60 | lead_days 1
grease            | GR-400  | wheel bearing grease, cartridge | Supplier A | 0.02 | unit g | pack_size 400 | lead_days 1
grease            | GR-BR   | brake grease, tube | Supplier A | 0.12 | unit g | pack_size 75 | lead_days 1
fluid             | BF-4-1  | brake fluid DOT 4 | Supplier B | 12.60 | unit L | pack_size 1 | lead_days 1 | class DOT 4
cleaner           | BC-500  | brake cleaner, can | Supplier B | 4.20 | lead_days 1
park shoe set     | C172-S  | parking-brake shoes 172 mm, four shoes | Supplier C | 46.50 | unit set | lead_days 1 | outer_diameter 171
park hardware set | C172-H  | springs, pins and clips for four shoes | Supplier C | 17.80 | unit set | lead_days 1
hub seal          | C55-72  | shaft seal 55 x 72 x 8 | Supplier C | 7.20 | lead_days 1 | inner_diameter 55 | outer_diameter 72
spindle nut       | C20-N   | spindle nut M20x1.5 | Supplier C | 3.60 | lead_days 1 | thread M20x1.5
spindle washer    | C20-W   | spindle washer, tongued | Supplier C | 1.40 | lead_days 1
cotter pin        | C4-40   | cotter pin 4 x 40 | Supplier C | 0.25 | pack_size 5 | lead_days 1
dust cap          | C52-D   | grease cap 52 mm | Supplier C | 3.10 | lead_days 1
grease            | C400-G  | wheel bearing grease, cartridge | Supplier C | 0.025 | unit g | pack_size 400 | lead_days 1
"""

TERMS = """
Supplier A | 6.50
Supplier B | 9.80 | 25
Supplier C | 12.50 | 60
"""

DEMO = Demo(
    name="estate_rear_axle",
    system="metric",
    verdict=Verdict.FITS_WITH_PARTS,
    shows=(
        "A rear axle with the parking brake inside the hat. The kit goes on, but the shoes on the car are made for a drum of "
        "160 mm and the new hat's drum has 172 mm: shoes and springs are ordered. The hubs come off, so seals, spindle nuts, "
        "cotter pins, dust caps and bearing grease are on the list too. Three suppliers have them: the list is bought where it "
        "costs least with freight, and says what one supplier or an earlier day would cost."
    ),
    job=JOB,
    corner=CORNER,
    kit=KIT,
    box=BOX,
    shelf=SHELF,
    prices=PRICES,
    terms=TERMS,
)
