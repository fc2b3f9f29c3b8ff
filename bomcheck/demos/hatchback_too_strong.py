"""A small hatchback with a kit that bolts on and is too strong: a longer stop, and a pedal that goes too far."""

from bomcheck.demos.demo import Demo
from bomcheck.model.verdict import Verdict

JOB = """
job_number              HB-0611
vehicle_label           Small hatchback, sharp pedal wanted
prepared_by             parts counter
axle                    front
corners                 2
corner_side             both
duty                    fast road
road_use                yes
currency                EUR
tax_percent             20
labour_rate             60
"""

CORNER = """
hub_fixing              stud
hub_bolt_circle         5x112
hub_bolt_circle_basis   nominal
hub_stud_thread         M12x1.5
hub_stud_length         45
hub_stud_shoulder_height  0
hub_pilot_diameter      66.5
hub_pilot_length        14
hub_pilot_fillet        0.5
hub_flange_diameter     140
hub_face_runout         0.02
hub_removed             no
hub_in_kit              no
bearing                 sealed unit
nut_thread              M12x1.5
nut_seat                cone
nut_closed              no
nut_thread_depth        22
nut_material            steel
ear_face_position       40
ear_side                outboard
ear_spacing             130
ear_height              95  ± 0.2
ear_sideways_offset     3  ± 0.3
ear_hole                tapped through
ear_thread              M12x1.5
ear_thread_depth        20
ear_thickness           20
ear_material            iron
shield                  none
line_end                M10x1.0 bubble male
line_bracket            yes
line_clip               yes
hose_path_length        400
wheel_bolt_circle       5x112
wheel_bore              66.6
wheel_bore_chamfer      1
wheel_seat              cone
wheel_seat_depth        10
wheel_hole_diameter     15
wheel_pad_diameter      145
wheel_centring          pilot
wheel_rim_code          17
wheel_weight_thickness  0
wheel_spacer_thickness  0  ± 0
wheel_barrel            0:208; 60:206; 150:203
wheel_spoke             60:40; 180:20; 205:16
"""

KIT = """
kit_number              BK-330-6
kit_label               330 mm six-piston kit
rotor_build             two-piece
rotor_diameter          330  ± 0.05
rotor_thickness         28
rotor_min_thickness     26
rotor_ring_inner_diameter  220
rotor_mass              7
rotor_vanes             straight
rotor_plane_position    42
hat_bolt_circle         5x112
hat_stud_hole_diameter  13.5
hat_bore                66.6  ± 0.02
hat_bore_chamfer        1.5
hat_flange_thickness    7
hat_inner_diameter      150
hat_outer_diameter      205
hat_face_diameter       150
hat_screw_count         10
hat_screw_thread        M6x1.0
hat_screw_class         10.9
hat_screw_torque        12 N·m
hat_screw_drilled       no
hat_screw_length        22
hat_nut_height          6
hat_screw_condition     threadlocker
bracket_offset          3
bracket_rise            38
bracket_material        aluminium
bracket_sideways_offset 3
bracket_ear_thickness   15
bracket_thread          M10x1.25
bracket_ear_spacing     130
bracket_ear_hole_diameter  12.5
bracket_caliper_spacing 130
bracket_screw_thread    M12x1.5
bracket_screw_class     10.9
bracket_screw_length    40
bracket_screw_torque    110 N·m
bracket_washer_thickness  2.5
bracket_washer_count    1
bracket_screw_condition threadlocker
bracket_screw_into      ear
caliper_build           fixed
caliper_mount           radial
caliper_mount_spacing   130
caliper_hole_diameter   10.5
caliper_slot_width      36
caliper_pad_top         30
caliper_bridge          36
caliper_body_height     60
caliper_width_outboard  45
caliper_width_inboard   60
caliper_bores           46+42+38
caliper_piston_gap      61.5
caliper_piston_stroke   20
caliper_inlet           M10x1.0 banjo port
caliper_inlet_depth     14
caliper_fastening       stud in bracket
caliper_screw_thread    M10x1.25
caliper_screw_class     10.9
caliper_screw_length    58
caliper_screw_torque    50 N·m
caliper_screw_condition dry
caliper_lug_thickness   36
caliper_nut_height      9
caliper_washer_thickness  2
caliper_washer_count    1
caliper_nut_kind        all-metal lock
banjo_thickness         10
banjo_screw_length      24
sealing_washer_thickness  1
shim_sizes_axial        1.0x16; 0.5x8
shim_sizes_radial       1.0x16; 0.5x8
axial_shim_joint        ear
pad_shape               P1
caliper_pad_shape       P1
pad_height              52
pad_thickness           16
pad_backing_thickness   5
pad_min_lining          2
pad_min_thickness       8
pad_compound            F3
pad_duty                road; fast road
pad_temperature_low     10
pad_temperature_high    700
pad_friction            0.5  ± 0.01
"""

SYSTEM = """
vehicle_mass            1450  ± 4.5
front_mass_share        0.55  ± 0.003
wheelbase               2600  ± 1.5
cg_height               520  ± 15
tyre_radius_front       310  ± 0.9
tyre_radius_rear        310  ± 0.9
pedal_ratio             4  ± 0.045
booster_gain            5  ± 0.06
booster_runout_pressure 80  ± 0.09
circuit_split           front and rear
master_bore             19.05
master_stroke_front     18  ± 0.15
master_stroke_rear      16  ± 0.15
master_dead_stroke      1.5  ± 0.09
reservoir_below_caliper no
residual_valve_front    0
residual_valve_rear     0
present_front_bores     54
present_front_build     sliding
present_front_effective_radius  110  ± 0.6
present_front_friction  0.38  ± 0.009
present_front_rotor_mass  5.1
present_rear_bores      36
present_rear_build      sliding
present_rear_effective_radius  115  ± 0.6
present_rear_friction   0.36  ± 0.009
present_rear_rotor_mass  3.2
pad_clearance           0.2  ± 0.03
caliper_compliance      60  ± 9
hose_compliance         120  ± 9
fluid_dry_boiling       260
fluid_wet_boiling       170
tyre_friction           0.9  ± 0.015
design_deceleration     8
stop_speed_from         126
stop_speed_to           54
stop_count              10
stop_interval           40
ambient_temperature     20
"""

BOX = """
rotor          | BK-R330L  | friction ring 330 x 28, left | 1 | side left | outer_diameter 330 | thickness 28
rotor          | BK-R330R  | friction ring 330 x 28, right | 1 | side right | outer_diameter 330 | thickness 28
hat            | BK-H112   | hat 5x112, bore 66.6 | 2
hat screw      | BK-HS     | cap screw M6 x 22 | 20 | thread M6x1.0 | length 22 | class 10.9
hat nut        | BK-HN     | lock nut M6 | 20 | thread M6x1.0
bracket        | BK-B      | bracket, aluminium | 2
bracket screw  | BK-BS40   | hex screw M12x1.5 x 40 | 4 | thread M12x1.5 | length 40 | class 10.9
washer         | BK-W12    | hardened washer M12 | 4 | thickness 2.5 | inner_diameter 12.5
shim           | BK-S10    | shim washer 1.0 mm for M12 | 16 | thickness 1.0 | inner_diameter 12.2
shim           | BK-S05    | shim washer 0.5 mm for M12 | 8 | thickness 0.5 | inner_diameter 12.2
shim           | BK-T10    | shim washer 1.0 mm for M10 | 16 | thickness 1.0 | inner_diameter 10.2
shim           | BK-T05    | shim washer 0.5 mm for M10 | 8 | thickness 0.5 | inner_diameter 10.2
caliper        | BK-C6L    | six-piston caliper, left | 1 | side left
caliper        | BK-C6R    | six-piston caliper, right | 1 | side right
caliper stud   | BK-ST58   | stud M10x1.25 x 58 | 4 | thread M10x1.25 | length 58 | class 10.9
caliper nut    | BK-N10    | all-metal lock nut M10x1.25 | 4 | thread M10x1.25
washer         | BK-W10    | hardened washer M10 | 4 | thickness 2.0 | inner_diameter 10.5
pad set        | BK-P1     | pads, shape P1, compound F3, for road and fast road use | 1 | unit set | class F3
pad pin        | BK-PP     | pad pin | 4
pad clip       | BK-PC     | pin clip | 4
hose           | BK-H430   | brake hose with banjo, 430 mm | 2 | end_a M10x1 bubble female | end_b M10x1 banjo eye | length 430 | thickness 10 | road_marked yes
banjo screw    | BK-BJ24   | banjo screw M10x1 x 24 | 2 | thread M10x1.0 | length 24
sealing washer | BK-CW10   | copper washer 10.1 x 14 x 1 | 4 | thickness 1.0 | inner_diameter 10.1 | outer_diameter 14
"""

SHELF = """
fluid          | 0012      | brake fluid DOT 4 | 3 | unit L | class DOT 4
threadlocker   | 0044      | threadlocker, medium strength | 20 | unit mL
anti-seize     | 0071      | anti-seize paste | 120 | unit g
cleaner        | 0085      | brake cleaner, can | 4
"""

PRICES = """
master cylinder | MC-254    | master cylinder 25.4 mm (1 in) | Supplier A | 142.00 | inner_diameter 25.4 | lead_days 4
master cylinder | MC-286    | master cylinder 28.6 mm (1-1/8 in) | Supplier A | 151.00 | inner_diameter 28.575 | lead_days 4
"""

DEMO = Demo(
    name="hatchback_too_strong",
    system="metric",
    verdict=Verdict.FITS_WITH_PARTS,
    shows=(
        "Every part of the kit bolts on, but the brakes as a whole do not: the front does so much that the car stops later than "
        "now, and the old master cylinder cannot fill the new pistons. The sheet Whole car says so, and the Parts list asks "
        "for the next master cylinder that works."
    ),
    job=JOB,
    corner=CORNER,
    kit=KIT,
    system_cells=SYSTEM,
    box=BOX,
    shelf=SHELF,
    prices=PRICES,
)
