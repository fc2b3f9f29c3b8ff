"""A camper van with wheel bolts and a sliding caliper: a complete box, and consumables from the shop's shelf."""

from bomcheck.demos.demo import Demo
from bomcheck.model.verdict import Verdict

JOB = """
job_number              CV-0031
vehicle_label           Camper van, long wheelbase
prepared_by             parts counter
note                    Customer wants shorter stops on long descents. Kit is in the shop.
axle                    front
corners                 2
corner_side             both
duty                    road
road_use                yes
currency                EUR
tax_percent             20
labour_rate             74
"""

CORNER = """
hub_fixing              bolt
hub_bolt_circle         5/130
hub_bolt_circle_basis   nominal
hub_stud_thread         M14x1.5
hub_stud_shoulder_height  0
hub_pilot_diameter      71.46
hub_pilot_length        16.5
hub_pilot_fillet        0.8
hub_flange_diameter     157
hub_flange_thickness    16
hub_face_runout         0.02
stock_rotor_flange_thickness  7.5
wheel_bolt_length       42
hub_thread_depth        27
hub_removed             no
hub_in_kit              no
bearing                 sealed unit
nut_thread              14x1.5
nut_seat                ball
nut_closed              no
nut_material            steel
ear_face_position       52.0
ear_side                inboard
ear_spacing             160.0   ± 0.1
ear_distance_upper      129.1   ± 0.2
ear_distance_lower      124.0   ± 0.2
ear_hole                tapped through
ear_thread              M14x1.5
ear_thread_depth        24
ear_thickness           24
ear_material            iron
shield                  fixed
shield_position         63
shield_radius           155
sensor_ring_diameter    98
caliper_position_present  behind
caliper_position_kit    behind
line_end                M10x1 bubble male
line_tube_diameter      4.75
line_bracket            yes
line_clip               yes
hose_arrangement        hose at each corner
hose_path_length        42 cm
wheel_bolt_circle       130x5
wheel_bore              71.6
wheel_bore_chamfer      1.5
wheel_seat              ball
wheel_seat_depth        10
wheel_hole_diameter     15.5
wheel_pad_diameter      166
wheel_centring          pilot
wheel_rim_code          16
wheel_rim_width         6.5
wheel_offset            60
wheel_weight_thickness  0
wheel_spacer_thickness  0
wheel_barrel            0:190; 40:188; 90:187; 140:191
wheel_spoke             80:2; 120:6; 160:10; 187:15
"""

KIT = """
kit_number              VK-308-S
kit_revision            2
kit_label               308 mm sliding-caliper kit
rotor_build             one-piece
rotor_diameter          308
rotor_thickness         29.5
rotor_min_thickness     27
rotor_ring_inner_diameter  190
rotor_mass              9.4
rotor_vanes             straight
rotor_height            62
hat_bolt_circle         5x130
hat_stud_hole_diameter  15.5
hat_bore                71.56   ± 0.02
hat_bore_chamfer        1.5
hat_flange_thickness    8
hat_inner_diameter      166
hat_inner_depth         32.5
hat_outer_diameter      180
hat_face_diameter       172
bracket_offset          -12.9
bracket_rise            18.3
bracket_material        steel
bracket_sideways_offset  4.0
bracket_ear_thickness   16
bracket_caliper_thickness  16
bracket_thread          M12x1.5
bracket_thread_depth    16
bracket_ear_spacing     160.0
bracket_ear_hole_diameter  14.4
bracket_caliper_spacing  142.0
bracket_screw_thread    M14x1.5
bracket_screw_class     10.9
bracket_screw_length    45
bracket_screw_torque    150 N·m
bracket_screw_head      21
bracket_washer_thickness  2.5
bracket_washer_count    1
bracket_nut_kind        none
bracket_screw_condition  threadlocker
bracket_screw_into      ear
caliper_build           sliding
caliper_mount           axial lug
caliper_mount_spacing   142.0
caliper_hole_diameter   12.4
caliper_slot_width      36
caliper_pad_top         37
caliper_bridge          43
caliper_body_height     62
caliper_width_outboard  36
caliper_width_inboard   76
caliper_bores           2x45
caliper_piston_gap      67
caliper_piston_stroke   30
caliper_inlet           M10x1.0 banjo port
caliper_inlet_depth     15
caliper_fastening       screw into bracket
caliper_screw_thread    M12x1.5
caliper_screw_class     10.9
caliper_screw_length    30
caliper_screw_torque    100 N·m
caliper_screw_condition  threadlocker
caliper_lug_thickness   12
caliper_washer_thickness  2.5
caliper_washer_count    1
caliper_nut_kind        none
banjo_thickness         10
banjo_screw_length      24
sealing_washer_thickness  1.0
shim_sizes_axial        0.5x8
shim_sizes_radial       none
axial_shim_joint        ear
pad_shape               V-308
caliper_pad_shape       V-308
pad_height              55
pad_thickness           18
pad_backing_thickness   6
pad_min_lining          2
pad_min_thickness       8
pad_compound            T2
pad_duty                road
pad_temperature_low     0
pad_temperature_high    550
pad_friction            0.38
pad_friction_code       FF
"""

SYSTEM = """
vehicle_mass            3.2 t
front_mass_share        0.52
wheelbase               3665
cg_height               880
tyre_radius_front       340
tyre_radius_rear        340
pedal_ratio             4.1
booster_gain            5.5
booster_runout_pressure  95
circuit_split           front and rear
master_bore             25.4
master_stroke_front     19
master_stroke_rear      17
master_dead_stroke      1.2
residual_valve_front    0
residual_valve_rear     0
rear_valve_knee         35
rear_valve_slope        0.35
reservoir_below_caliper  no
present_front_bores     2x44
present_front_build     sliding
present_front_effective_radius  122
present_front_friction  0.38
present_front_rotor_mass  7.8
present_rear_bores      48
present_rear_build      sliding
present_rear_effective_radius  120
present_rear_friction   0.38
present_rear_rotor_mass  6.4
fluid_dry_boiling       265
fluid_wet_boiling       170
tyre_friction           0.85
stop_speed_from         80
stop_speed_to           40
stop_count              10
stop_interval           60
ambient_temperature     25
"""

BOX = """
rotor          | VK-R308   | rotor 308 x 29.5 | 2 | outer_diameter 308 | thickness 29.5
bracket        | VK-B160   | bracket, steel | 2
bracket screw  | VK-BS45   | hex screw M14x1.5 x 45 | 4 | thread M14x1.5 | length 45 | class 10.9
washer         | VK-W14    | hardened washer M14 | 4 | thickness 2.5 | inner_diameter 14.5
shim           | VK-S05    | shim washer 0.5 mm | 8 | thickness 0.5 | inner_diameter 14.2
caliper        | VK-C2-L   | sliding caliper with carrier, left | 1 | side left
caliper        | VK-C2-R   | sliding caliper with carrier, right | 1 | side right
caliper screw  | VK-CS30   | hex screw M12x1.5 x 30 | 4 | thread M12x1.5 | length 30 | class 10.9
washer         | VK-W12    | hardened washer M12 | 4 | thickness 2.5 | inner_diameter 12.5
pad set        | V308-T2   | pads, shape V-308, compound T2, for road use | 1 | unit set | class T2
pad clip       | VK-PC     | spring clip | 8
hose           | VK-H470   | brake hose with banjo, 470 mm | 2 | end_a 10x1 bubble female | end_b M10x1.0 banjo eye | length 470 | thickness 10 | road_marked yes
banjo screw    | VK-BJ24   | banjo screw M10x1 x 24 | 2 | thread M10x1.0 | length 24
sealing washer | VK-CW10   | copper washer 10.1 x 14 x 1 | 4 | thickness 1.0 | inner_diameter 10.1 | outer_diameter 14
"""

SHELF = """
fluid          | 0012      | brake fluid DOT 4 | 6 | unit L | class DOT 4
threadlocker   | 0044      | threadlocker, medium strength | 30 | unit mL
grease         | 0052      | brake grease for slide pins | 60 | unit g
anti-seize     | 0071      | anti-seize paste | 120 | unit g
cleaner        | 0085      | brake cleaner, can | 9
"""

DEMO = Demo(
    name="camper_van",
    system="metric",
    verdict=Verdict.FITS,
    shows=(
        "A complete box: every check fits for every true size inside the ±, the hoses close the line, the pads suit the "
        "road, the shims in the box are enough. Fluid and other consumables come from the sheet On hand; nothing is bought."
    ),
    job=JOB,
    corner=CORNER,
    kit=KIT,
    system_cells=SYSTEM,
    box=BOX,
    shelf=SHELF,
)
