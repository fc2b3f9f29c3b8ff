"""A pick-up measured in inches: the caliper meets the drop of the wheel's barrel. All else goes together."""

from bomcheck.demos.demo import Demo
from bomcheck.model.verdict import Verdict

JOB = """
job_number              PU-77
vehicle_label           Half-ton pick-up, 15 in steel wheels
prepared_by             parts counter
note                    Customer wants to keep the wheels.
axle                    front
corners                 2
corner_side             both
duty                    road
road_use                yes
currency                USD
tax_percent             8.25
labour_rate             95
"""

CORNER = """
hub_fixing              stud
hub_bolt_circle         5x5-1/2
hub_bolt_circle_basis   nominal
hub_stud_thread         1/2-20
hub_stud_length         1-3/4
hub_stud_shoulder_diameter  .615
hub_stud_shoulder_height  .060
hub_pilot_diameter      3.063
hub_pilot_length        9/16
hub_pilot_fillet        1/32
hub_flange_diameter     6.75
hub_flange_thickness    .50
hub_face_runout         .001
hub_removed             no
hub_in_kit              no
bearing                 tapered pair
nut_thread              1/2" fine
nut_seat                cone
nut_closed              no
nut_thread_depth        .80
nut_material            steel
ear_face_position       2.100
ear_side                outboard
ear_spacing             5.000
ear_height              3-1/2    ± .008
ear_sideways_offset     0        ± 1/64
ear_hole                plain through
ear_hole_diameter       .510
ear_thickness           3/4
ear_material            iron
shield                  none
caliper_position_present  behind
caliper_position_kit    behind
line_end                3/8-24 IF male
line_tube_diameter      3/16
line_bracket            yes
line_clip               yes
hose_arrangement        hose at each corner
hose_path_length        14
wheel_bolt_circle       5x5.5
wheel_bore              3.067
wheel_bore_chamfer      .040
wheel_seat              cone
wheel_seat_depth        .40
wheel_hole_diameter     5/8
wheel_pad_diameter      6.90
wheel_centring          pilot
wheel_rim_code          15
wheel_rim_width         8
wheel_offset            0
wheel_weight_thickness  1/8
wheel_spacer_thickness  0
wheel_barrel            -1:7.30; 0.5:7.28; 1.5:6.75; 4:6.70; 5:6.90
wheel_spoke             3:.70; 5:.75; 6.5:.80; 7.28:.85
"""

KIT = """
kit_number              HD-1250
kit_revision            C
kit_label               12.5 in four-piston kit
rotor_build             two-piece
rotor_diameter          12-1/2
rotor_thickness         1.10
rotor_min_thickness     1.02
rotor_ring_inner_diameter  8.20
rotor_mass              11.2
rotor_vanes             straight
rotor_plane_position    1.250
hat_bolt_circle         5x5.50; 5x5
hat_stud_hole_diameter  .660
hat_bore                3.067    ± .0008
hat_bore_chamfer        .050
hat_flange_thickness    .310
hat_inner_diameter      7.10
hat_inner_depth         1.20
hat_outer_diameter      7.90
hat_face_diameter       7.25
hat_screw_count         12
hat_screw_thread        5/16-24
hat_screw_class         grade 8
hat_screw_torque        200 in-lb
hat_screw_drilled       yes
hat_screw_length        3/4
hat_screw_condition     threadlocker
bracket_offset          -.820
bracket_rise            1.150
bracket_material        aluminium
bracket_sideways_offset  0
bracket_ear_thickness   1/2
bracket_thread          3/8-24
bracket_thread_depth    .80
bracket_ear_spacing     5.000
bracket_ear_hole_diameter  .510
bracket_caliper_spacing  5-1/4
bracket_screw_thread    1/2-20
bracket_screw_class     grade 8
bracket_screw_length    2-1/4
bracket_screw_torque    75 ft-lb
bracket_screw_head      3/4
bracket_washer_thickness  .095
bracket_washer_count    2
bracket_nut_height      7/16
bracket_nut_kind        all-metal lock
bracket_screw_condition  dry
bracket_screw_into      nut
caliper_build           fixed
caliper_mount           radial
caliper_mount_spacing   5-1/4
caliper_hole_diameter   .395
caliper_slot_width      1.42
caliper_pad_top         1.520
caliper_bridge          1-3/4
caliper_body_height     2.39
caliper_width_outboard  1.85
caliper_width_inboard   2.05
caliper_bores           1-7/8+1-3/4
caliper_piston_gap      2.35
caliper_piston_stroke   .60
caliper_inlet           1/8-27 NPT female
caliper_inlet_depth     .40
caliper_fastening       stud in bracket
caliper_screw_thread    3/8-24
caliper_screw_class     grade 8
caliper_screw_length    2
caliper_screw_torque    28 ft-lb
caliper_screw_condition  dry
caliper_lug_thickness   1.20
caliper_nut_height      .33
caliper_washer_thickness  1/16
caliper_washer_count    1
caliper_nut_kind        nylon lock
shim_sizes_axial        .030x8; .015x8
shim_sizes_radial       30 thou x8; 15 thou x8
axial_shim_joint        ear
pad_shape               H-20
caliper_pad_shape       H-20
pad_height              2.00
pad_thickness           .60
pad_backing_thickness   .20
pad_min_lining          .08
pad_min_thickness       .28
pad_compound            S1
pad_duty                road
pad_temperature_low     50
pad_temperature_high    1000
pad_friction            0.40
"""

SYSTEM = """
vehicle_mass            4100
front_mass_share        0.57
wheelbase               117
cg_height               27
tyre_radius_front       14
tyre_radius_rear        14
pedal_ratio             4.5
booster_gain            4
booster_runout_pressure  1100
circuit_split           front and rear
master_bore             1-1/8
master_stroke_front     .75
master_stroke_rear      .65
master_dead_stroke      .05
residual_valve_front    0
residual_valve_rear     0
rear_valve_knee         450
rear_valve_slope        0.4
reservoir_below_caliper  no
present_front_bores     2.94
present_front_build     sliding
present_front_effective_radius  4.8
present_front_friction  0.38
present_front_rotor_mass  9.6
present_rear_bores      1-5/8
present_rear_build      sliding
present_rear_effective_radius  4.9
present_rear_friction   0.38
present_rear_rotor_mass  7.9
fluid_dry_boiling       446
fluid_wet_boiling       311
tyre_friction           0.85
stop_speed_from         60
stop_speed_to           20
stop_count              6
stop_interval           60
ambient_temperature     75
"""

BOX = """
rotor          | HD-R1250  | friction ring 12.5 x 1.10 | 2 | outer_diameter 12.5 | thickness 1.10
hat            | HD-H55    | hat 5x5.5 / 5x5 | 2
hat screw      | HD-HS75   | cap screw 5/16-24 x 3/4, drilled head | 24 | thread 5/16-24 | length 3/4 | class grade 8
safety wire    | HD-SW     | safety wire .032 | 3 | unit m
bracket        | HD-B500   | bracket, aluminium | 2
bracket screw  | HD-BS225  | hex screw 1/2-20 x 2-1/4 | 4 | thread 1/2-20 | length 2-1/4 | class grade 8
bracket nut    | HD-BN12   | all-metal lock nut 1/2-20 | 4 | thread 1/2-20
washer         | HD-W12    | hardened washer 1/2 | 8 | thickness .095 | inner_diameter .53
shim           | HD-SA30   | shim washer .030 for 1/2 | 8 | thickness .030 | inner_diameter .51
shim           | HD-SA15   | shim washer .015 for 1/2 | 8 | thickness .015 | inner_diameter .51
shim           | HD-SR30   | shim washer .030 for 3/8 | 8 | thickness .030 | inner_diameter .385
shim           | HD-SR15   | shim washer .015 for 3/8 | 8 | thickness .015 | inner_diameter .385
caliper        | HD-C4     | four-piston caliper | 2
caliper stud   | HD-ST2    | stud 3/8-24 x 2 | 4 | thread 3/8-24 | length 2 | class grade 8
caliper nut    | HD-N38    | nylon lock nut 3/8-24 | 4 | thread 3/8-24
washer         | HD-W38    | hardened washer 3/8 | 4 | thickness 1/16 | inner_diameter .395
pad set        | H20-S1    | pads, shape H-20, compound S1, for road use | 1 | unit set | class S1
pad pin        | HD-PP     | pad pin | 4
pad clip       | HD-PC     | pin clip | 4
hose           | HD-H15    | braided hose, 15 in | 2 | end_a 3/8-24 inverted flare female | end_b #3 female | length 15 | road_marked yes
adapter        | HD-A90    | caliper adapter, 90 degrees | 2 | end_a 1/8 NPT male | end_b AN3 male
"""

SHELF = """
fluid          | 0012      | brake fluid DOT 4 | 4 | unit L | class DOT 4
thread sealant | 0040      | fluid-safe thread sealant | 50 | unit mL
threadlocker   | 0044      | threadlocker, high strength | 36 | unit mL
anti-seize     | 0071      | anti-seize paste | 220 | unit g
cleaner        | 0085      | brake cleaner, can | 12
"""

DEMO = Demo(
    name="inch_pickup",
    system="inch",
    verdict=Verdict.DOES_NOT_FIT,
    shows=(
        "An inch sheet, typed in fractions, decimals, thou and foot-pounds. Hub, knuckle, line and box are sound, but the "
        "caliper does not go inside the barrel of the 15 in wheel, and no part or machining cures that: another wheel or "
        "another kit."
    ),
    job=JOB,
    corner=CORNER,
    kit=KIT,
    system_cells=SYSTEM,
    box=BOX,
    shelf=SHELF,
)
