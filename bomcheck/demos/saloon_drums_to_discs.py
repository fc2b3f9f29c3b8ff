"""A saloon that goes from drums to discs in front: the new rotor's bore is a quarter of a millimetre too small."""

from bomcheck.demos.demo import Demo
from bomcheck.model.verdict import Verdict

JOB = """
job_number              SA-0256
vehicle_label           Four-door saloon, front drums
prepared_by             parts counter
note                    Front goes from drums to discs. The drums' residual valve must come out of the master cylinder.
axle                    front
corners                 2
corner_side             both
duty                    road
road_use                yes
currency                EUR
tax_percent             20
labour_rate             58
"""

CORNER = """
hub_fixing              stud
hub_bolt_circle         4x4-1/2 in
hub_bolt_circle_basis   nominal
hub_stud_thread         M12x1.5
hub_stud_length         36
hub_stud_shoulder_diameter  12.8
hub_stud_shoulder_height  1.5
hub_pilot_diameter      60.10
hub_pilot_length        12.5
hub_pilot_fillet        0.5
hub_flange_diameter     136
hub_flange_thickness    9
hub_face_runout         0.03
hub_removed             no
hub_in_kit              no
bearing                 tapered pair
nut_thread              M12x1.5
nut_seat                cone
nut_closed              no
nut_thread_depth        18
nut_material            steel
ear_face_position       36.0
ear_side                outboard
ear_spacing             89.0    ± 0.1
ear_height              70.0    ± 0.2
ear_sideways_offset     0       ± 0.3
ear_hole                tapped blind
ear_thread              M10x1.5
ear_thread_depth        22
ear_thickness           26
ear_material            iron
shield                  none
caliper_position_kit    behind
caliper_position_present  behind
line_end                3/8-24 IF male
line_tube_diameter      3/16 in
line_bracket            yes
line_clip               yes
hose_arrangement        hose at each corner
hose_path_length        345
wheel_bolt_circle       4x114.3
wheel_bore              60.2
wheel_bore_chamfer      1
wheel_seat              cone
wheel_seat_depth        8
wheel_hole_diameter     14
wheel_pad_diameter      142
wheel_centring          pilot
wheel_rim_code          14
wheel_rim_width         5.5
wheel_offset            38
wheel_weight_thickness  0
wheel_spacer_thickness  0
wheel_barrel            -15:166; 20:164; 60:162; 100:165
wheel_spoke             60:14; 100:16; 130:18; 158:22
"""

KIT = """
kit_number              DC-256-F
kit_revision            1
kit_label               256 mm front disc conversion
rotor_build             one-piece
rotor_diameter          256
rotor_thickness         20
rotor_min_thickness     18
rotor_ring_inner_diameter  154
rotor_mass              4.9
rotor_vanes             straight
rotor_height            44
hat_bolt_circle         4x114.3
hat_stud_hole_diameter  13.5
hat_bore                59.85   ± 0.02
hat_bore_chamfer        1.0
hat_flange_thickness    6.5
hat_inner_diameter      142
hat_inner_depth         17.5
hat_outer_diameter      154
hat_face_diameter       146
bracket_offset          -7.7
bracket_rise            20.3
bracket_material        steel
bracket_sideways_offset  0
bracket_ear_thickness   12
bracket_caliper_thickness  14
bracket_thread          M12x1.5
bracket_thread_depth    14
bracket_ear_spacing     89.0
bracket_ear_hole_diameter  10.4
bracket_caliper_spacing  89.0
bracket_screw_thread    M10x1.5
bracket_screw_class     10.9
bracket_screw_length    32
bracket_screw_torque    40 ft-lb
bracket_screw_head      16
bracket_washer_thickness  2.0
bracket_washer_count    1
bracket_nut_kind        none
bracket_screw_condition  threadlocker
bracket_screw_into      ear
caliper_build           fixed
caliper_mount           axial lug
caliper_mount_spacing   89.0
caliper_hole_diameter   12.4
caliper_slot_width      28
caliper_pad_top         37
caliper_bridge          43
caliper_body_height     59
caliper_width_outboard  38
caliper_width_inboard   48
caliper_bores           2x34
caliper_piston_gap      49.2
caliper_piston_stroke   14
caliper_inlet           10x1.0 banjo port
caliper_inlet_depth     15
caliper_fastening       screw into bracket
caliper_screw_thread    M12x1.5
caliper_screw_class     8.8
caliper_screw_length    30
caliper_screw_torque    70 N·m
caliper_screw_condition  threadlocker
caliper_lug_thickness   14
caliper_washer_thickness  2.5
caliper_washer_count    1
caliper_nut_kind        none
banjo_thickness         10
banjo_screw_length      24
sealing_washer_thickness  1.0
shim_sizes_axial        0.8x8; 0.4x8
shim_sizes_radial       none
axial_shim_joint        ear
pad_shape               D-46
caliper_pad_shape       D-46
pad_height              46
pad_thickness           14
pad_backing_thickness   5
pad_min_lining          2
pad_min_thickness       7
pad_compound            S1
pad_duty                road; fast road
pad_friction            0.40
"""

BOX = """
rotor          | DC-R256   | rotor 256 x 20 | 2 | outer_diameter 256 | thickness 20
bracket        | DC-B89    | bracket, steel | 2
bracket screw  | DC-BS32   | hex screw M10 x 32 | 4 | thread M10x1.5 | length 32 | class 10.9
washer         | DC-W10    | hardened washer M10 | 4 | thickness 2.0 | inner_diameter 10.5
shim           | DC-S08    | shim washer 0.8 mm | 8 | thickness 0.8 | inner_diameter 10.2
shim           | DC-S04    | shim washer 0.4 mm | 8 | thickness 0.4 | inner_diameter 10.2
caliper        | DC-C4-L   | four-piston caliper, left | 1 | side left
caliper        | DC-C4-R   | four-piston caliper, right | 1 | side right
caliper screw  | DC-CS30   | hex screw M12x1.5 x 30 | 4 | thread M12x1.5 | length 30 | class 8.8
washer         | DC-W12    | hardened washer M12 | 4 | thickness 2.5 | inner_diameter 12.5
pad set        | D46-S1    | pads, shape D-46, compound S1, for road use | 1 | unit set | class S1
pad pin        | DC-PP     | pad pin | 4
pad clip       | DC-PC     | pin clip | 4
hose           | DC-H390   | brake hose with banjo, 390 mm | 2 | end_a 3/8x24 inverted flare female | end_b M10x1 banjo eye | length 390 | thickness 10 | road_marked yes
banjo screw    | DC-BJ24   | banjo screw M10x1 x 24 | 2 | thread M10x1.0 | length 24
sealing washer | DC-CW10   | copper washer 10.1 x 14 x 1 | 4 | thickness 1.0 | inner_diameter 10.1 | outer_diameter 14
"""

SHELF = """
fluid          | 0012      | brake fluid DOT 4 | 3 | unit L | class DOT 4
threadlocker   | 0044      | threadlocker, medium strength | 20 | unit mL
anti-seize     | 0071      | anti-seize paste | 120 | unit g
cleaner        | 0085      | brake cleaner, can | 4
"""

DEMO = Demo(
    name="saloon_drums_to_discs",
    system="metric",
    verdict=Verdict.NEEDS_MACHINING,
    shows=(
        "Drums to discs on the front axle. All goes together but one thing: the rotor's bore of 59.85 mm does not go over the "
        "hub's pilot of 60.10 mm. It can be bored, as far more than enough metal stays between the bore and the stud holes."
    ),
    job=JOB,
    corner=CORNER,
    kit=KIT,
    box=BOX,
    shelf=SHELF,
)
