"""A coupe measured in a hurry: half of the cells are blank, others were read with a tape."""

from bomcheck.demos.demo import Demo
from bomcheck.model.verdict import Verdict

JOB = """
job_number              CO-0009
vehicle_label           Two-door coupe
prepared_by             parts counter
note                    First visit. Measured on the car park with a tape; car comes back on Friday.
axle                    front
corners                 2
corner_side             both
duty                    fast road
road_use                yes
currency                EUR
"""

CORNER = """
hub_fixing              stud
hub_bolt_circle         5x114.5  ± 1
hub_bolt_circle_basis   measured
hub_stud_thread         12x1.5
hub_stud_length         ?
hub_pilot_diameter      66.1     ± 0.5
hub_pilot_length        12
hub_removed             no
bearing                 sealed unit
nut_thread              12x1.5
nut_seat                cone
ear_face_position       44       ± 1
ear_side                outboard
ear_spacing             130      ± 1
ear_height              TBC
ear_hole                plain through
ear_hole_diameter       12.4
ear_material            iron
shield                  none
line_end                M10x1 bubble male
line_bracket            yes
hose_path_length        ?
wheel_bolt_circle       5x114.3
wheel_seat              cone
wheel_rim_code          17
wheel_rim_width         8
wheel_offset            45
"""

KIT = """
kit_number              FK-330-6
kit_revision            A
kit_label               330 mm six-piston kit
rotor_build             two-piece
rotor_diameter          330
rotor_thickness         28
rotor_min_thickness     26
rotor_ring_inner_diameter  222
rotor_vanes             directional
rotor_plane_position    38.0
hat_bolt_circle         5x114.3
hat_stud_hole_diameter  13.5
hat_bore                66.2
hat_flange_thickness    7
hat_inner_diameter      150
hat_outer_diameter      206
hat_face_diameter       150
hat_screw_count         10
hat_screw_thread        M8x1.25
hat_screw_class         10.9
hat_screw_torque        22 N·m
hat_screw_drilled       no
hat_screw_length        25
hat_nut_height          8
hat_screw_condition     dry
bracket_offset          -5.2
bracket_rise            34.0
bracket_material        aluminium
bracket_sideways_offset  3.0
bracket_ear_thickness   26
bracket_thread          M12x1.5
bracket_thread_depth    26
bracket_ear_spacing     130.0
bracket_caliper_spacing  152.0
bracket_screw_thread    M12x1.5
bracket_screw_class     10.9
bracket_screw_length    45
bracket_screw_torque    85 N·m
bracket_washer_thickness  2.5
bracket_washer_count    1
bracket_screw_condition  threadlocker
bracket_screw_into      bracket
caliper_build           fixed
caliper_mount           radial
caliper_mount_spacing   152.0
caliper_hole_diameter   12.5
caliper_slot_width      38
caliper_pad_top         31
caliper_bridge          37.5
caliper_body_height     56
caliper_width_outboard  48
caliper_width_inboard   56
caliper_bores           38+34+30
caliper_piston_gap      61.4
caliper_piston_stroke   18
caliper_inlet           M10x1.0 banjo port
caliper_fastening       stud in bracket
caliper_screw_thread    M12x1.5
caliper_screw_class     10.9
caliper_screw_length    64
caliper_screw_torque    85 N·m
caliper_screw_condition  dry
caliper_lug_thickness   40
caliper_nut_height      11
caliper_washer_thickness  2.5
caliper_washer_count    1
caliper_nut_kind        all-metal lock
shim_sizes_axial        1.0x8; 0.5x8
shim_sizes_radial       1.0x8; 0.5x8
axial_shim_joint        ear
pad_shape               S-52
caliper_pad_shape       S-52
pad_height              52
pad_thickness           16
pad_backing_thickness   5
pad_min_lining          2
pad_compound            F2
pad_duty                fast road, track
"""

BOX = """
rotor          | FK-R330-L | friction ring 330 x 28, vanes for the left | 1 | side left | outer_diameter 330 | thickness 28
rotor          | FK-R330-R | friction ring 330 x 28, vanes for the right | 1 | side right | outer_diameter 330 | thickness 28
hat            | FK-H114   | hat 5x114.3, bore 66.2 | 2
hat screw      | FK-HS25   | cap screw M8 x 25 | 20 | thread M8 | length 25 | class 10.9
hat nut        | FK-HN8    | all-metal lock nut M8 | 20 | thread M8
bracket        | FK-B130   | bracket, aluminium | 2
bracket screw  | FK-BS45   | hex screw M12x1.5 x 45 | 4 | thread M12x1.5 | length 45 | class 10.9
washer         | FK-W12    | hardened washer M12 | 8 | thickness 2.5 | inner_diameter 12.5
shim           | FK-S10    | shim washer 1.0 mm | 16 | thickness 1.0 | inner_diameter 12.2
shim           | FK-S05    | shim washer 0.5 mm | 16 | thickness 0.5 | inner_diameter 12.2
caliper        | FK-C6-L   | six-piston caliper, left | 1 | side left
caliper        | FK-C6-R   | six-piston caliper, right | 1 | side right
caliper stud   | FK-ST64   | stud M12x1.5 x 64 | 4 | thread M12x1.5 | length 64 | class 10.9
caliper nut    | FK-N12    | all-metal lock nut M12x1.5 | 4 | thread M12x1.5
pad set        | S52-F2    | pads, shape S-52, compound F2, for fast road and track use | 1 | unit set | class F2
pad pin        | FK-PP     | pad pin | 4
pad clip       | FK-PC     | pin clip | 4
"""

SHELF = """
fluid          | 0012      | brake fluid DOT 4 | 3 | unit L | class DOT 4
threadlocker   | 0044      | threadlocker, medium strength | 20 | unit mL
anti-seize     | 0071      | anti-seize paste | 120 | unit g
cleaner        | 0085      | brake cleaner, can | 4
"""

PRICES = """
hose           | HB-BU-10-380 | brake hose with banjo, 380 mm | Supplier A | 44.50 | lead_days 4 | end_a 10x1 bubble female | end_b M10x1.0 banjo eye | length 380 | road_marked yes
hose           | HB-BU-10-430 | brake hose with banjo, 430 mm | Supplier A | 45.70 | lead_days 4 | end_a 10x1 bubble female | end_b M10x1.0 banjo eye | length 430 | road_marked yes
hose           | HB-BU-10-480 | brake hose with banjo, 480 mm | Supplier A | 47.30 | lead_days 4 | end_a 10x1 bubble female | end_b M10x1.0 banjo eye | length 480 | road_marked yes
banjo screw    | BS-10-24  | banjo screw, 24 mm | Supplier A | 3.90 | lead_days 2 | thread M10x1.0 | length 24
sealing washer | SW-10     | copper sealing washer 10.1 x 14 | Supplier A | 0.35 | pack_size 10 | lead_days 1 | thickness 1.0 | inner_diameter 10.1 | outer_diameter 14
line clip      | LC-1      | spring clip for a line tab | Supplier A | 0.95 | pack_size 4 | lead_days 1
centring ring  | CR-669-661 | metal centring ring 66.9 / 66.1 | Supplier B | 8.90 | lead_days 3 | inner_diameter 66.1 | outer_diameter 66.9
"""

DEMO = Demo(
    name="half_measured_coupe",
    system="metric",
    verdict=Verdict.NOT_KNOWN,
    shows=(
        "Half of the corner is blank and the rest was read with a tape. Nothing is guessed: the list Measure next says what "
        "to measure, where, with what and how well, the most useful first."
    ),
    job=JOB,
    corner=CORNER,
    kit=KIT,
    box=BOX,
    shelf=SHELF,
    prices=PRICES,
)
