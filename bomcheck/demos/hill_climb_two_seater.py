"""A two-seater for hill climbs that is also driven on the road: a race kit without hoses, race pads in the box."""

from bomcheck.demos.demo import Demo
from bomcheck.demos.hill_climb_tables import BOX, PRICES, SHELF
from bomcheck.model.verdict import Verdict

JOB = """
job_number              HC-0417
vehicle_label           Open two-seater for hill climbs
customer_reference      quote by phone, Tuesday
prepared_by             parts counter
note                    The car is driven to the hill on the road. Left and right were measured and agree.
axle                    front
corners                 2
corner_side             both
duty                    fast road
road_use                yes
currency                EUR
tax_percent             20
labour_rate             68
"""

CORNER = """
hub_fixing              stud
hub_bolt_circle         4x100
hub_bolt_circle_basis   nominal
hub_stud_thread         M12x1.5
hub_stud_length         38
hub_stud_shoulder_height  0
hub_pilot_diameter      54.06
hub_pilot_length        12.6
hub_pilot_fillet        0.8
hub_flange_diameter     128
hub_flange_thickness    11
hub_face_runout         0.02
stock_rotor_flange_thickness  6
hub_removed             no
hub_in_kit              no
bearing                 sealed unit
nut_thread              12x1.5
nut_seat                cone
nut_closed              no
nut_thread_depth        20
nut_material            steel
ear_face_position       41.3
ear_side                outboard
ear_spacing             110.1   ± 0.1
ear_height              79.0    ± 0.2
ear_sideways_offset     4.0     ± 0.3
ear_hole                plain through
ear_hole_diameter       10.45
ear_thickness           14
ear_material            iron
shield                  removable
shield_position         45
shield_radius           150
caliper_position_present  behind
caliper_position_kit    behind
line_end                10x1 bubble male
line_tube_diameter      4.75
line_bracket            yes
line_clip               no
hose_arrangement        hose at each corner
hose_path_length        380
wheel_bolt_circle       4x100
wheel_bore              54.16
wheel_bore_chamfer      1
wheel_seat              cone
wheel_seat_depth        9
wheel_hole_diameter     14.5
wheel_pad_diameter      138
wheel_centring          pilot
wheel_rim_code          15
wheel_rim_width         7
wheel_offset            35
wheel_weight_thickness  4
wheel_spacer_thickness  0
wheel_barrel            -20:177; 20:175; 60:174; 90:176; 115:179
wheel_spoke             70:18; 110:20; 150:22; 170:24
"""

KIT = """
kit_number              RK-280-4
kit_revision            B
kit_label               280 mm four-piston kit, race trim
rotor_build             two-piece
rotor_diameter          280
rotor_thickness         22
rotor_min_thickness     20
rotor_ring_inner_diameter  186
rotor_mass              4.4
rotor_vanes             directional
rotor_plane_position    26.0
hat_bolt_circle         4x100; 4x108
hat_stud_hole_diameter  13.5
hat_bore                54.16   ± 0.02
hat_bore_chamfer        1.2
hat_flange_thickness    7
hat_inner_diameter      140
hat_inner_depth         28
hat_outer_diameter      176
hat_face_diameter       142
hat_screw_count         8
hat_screw_thread        M6x1.0
hat_screw_class         10.9
hat_screw_torque        12 N·m
hat_screw_drilled       no
hat_screw_length        22
hat_nut_height          6.5
hat_screw_condition     dry
bracket_offset          -14.5
bracket_rise            29.0
bracket_material        aluminium
bracket_sideways_offset  4.0
bracket_ear_thickness   24
bracket_thread          M10x1.25
bracket_thread_depth    22
bracket_ear_spacing     110.0
bracket_caliper_spacing  130.0
bracket_screw_thread    M10x1.25
bracket_screw_class     10.9
bracket_screw_length    38
bracket_screw_torque    55 N·m
bracket_screw_head      16
bracket_washer_thickness  2.0
bracket_washer_count    1
bracket_nut_kind        none
bracket_screw_condition  threadlocker
bracket_screw_into      bracket
caliper_build           fixed
caliper_mount           radial
caliper_mount_spacing   130.0
caliper_hole_diameter   10.5
caliper_slot_width      30
caliper_pad_top         30
caliper_bridge          36
caliper_body_height     52
caliper_width_outboard  42
caliper_width_inboard   48
caliper_bores           31.8+28.6
caliper_piston_gap      53.2
caliper_piston_stroke   14
caliper_inlet           1/8 NPT female
caliper_inlet_depth     11
caliper_fastening       stud in bracket
caliper_screw_thread    M10x1.25
caliper_screw_class     10.9
caliper_screw_length    52
caliper_screw_torque    35 ft-lb
caliper_screw_condition  dry
caliper_lug_thickness   32
caliper_nut_height      9.5
caliper_washer_thickness  2.0
caliper_washer_count    1
caliper_nut_kind        all-metal lock
shim_sizes_axial        0.8x8; 0.4x8
shim_sizes_radial       0.5x4
axial_shim_joint        ear
pad_shape               P-44
caliper_pad_shape       P-44
pad_height              44
pad_thickness           15
pad_backing_thickness   5
pad_min_lining          2
pad_min_thickness       7
pad_compound            R9
pad_duty                race
pad_temperature_low     250
pad_temperature_high    850
pad_friction            0.52
"""

SYSTEM = """
vehicle_mass            720
front_mass_share        0.48
wheelbase               2310
cg_height               440
tyre_radius_front       285
tyre_radius_rear        290
pedal_ratio             5.2
booster_gain            1
circuit_split           front and rear
master_bore             19.05
master_stroke_front     16
master_stroke_rear      16
master_dead_stroke      1
residual_valve_front    0
residual_valve_rear     0
reservoir_below_caliper  no
present_front_bores     48
present_front_build     sliding
present_front_effective_radius  98
present_front_friction  0.40
present_front_rotor_mass  3.9
present_rear_bores      34
present_rear_build      sliding
present_rear_effective_radius  98
present_rear_friction   0.38
present_rear_rotor_mass  3.1
fluid_dry_boiling       270
fluid_wet_boiling       160
tyre_friction           1.0
stop_speed_from         120
stop_speed_to           50
stop_count              8
stop_interval           12
ambient_temperature     20
"""

DEMO = Demo(
    name="hill_climb_two_seater",
    system="metric",
    verdict=Verdict.FITS_WITH_PARTS,
    shows=(
        "A race kit for a car that also drives on the road. Everything goes together, but the box holds no hoses, the "
        "car's line does not meet the caliper's pipe thread, the pads are for racing only, and the radial shims are too "
        "few. The price list of two suppliers holds what is missing."
    ),
    job=JOB,
    corner=CORNER,
    kit=KIT,
    system_cells=SYSTEM,
    box=BOX,
    shelf=SHELF,
    prices=PRICES,
)
