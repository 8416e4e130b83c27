//! Blocks, the bank, its box, its leads and the devices.

use super::{Field, Kind, Names, SPOT, Table};
use engine::model::device::DeviceKind as D;
use engine::model::hold::SHARES;

/// The words of the chemistries.
pub const CHEMISTRIES: [&str; 4] = ["flooded", "AGM", "gel", "LFP"];
/// The words of the device kinds.
pub const DEVICE_KINDS: [&str; 20] = [
    "fuse",
    "breaker",
    "isolator",
    "shunt",
    "busbar",
    "panel",
    "inverter",
    "charger",
    "solar controller",
    "dc-dc",
    "alternator",
    "tow line",
    "step-down",
    "generator",
    "breakaway",
    "bms",
    "precharge",
    "bond",
    "equipment",
    "alarm",
];
/// The sides at which a lid may be hinged.
pub const HINGES: [&str; 5] = ["far", "near", "left", "right", "lifts off"];
/// How a lug may be bent.
pub const LUG_FORMS: [&str; 3] = ["straight", "45 degree", "90 degree"];
/// The kinds of fastener.
pub const HOLD_KINDS: [&str; 5] = ["bolt", "screw", "rivet", "strap", "clamp"];
/// What a fastener holds.
pub const HELD: [&str; 2] = ["box", "blocks"];
/// What a fastener goes into.
pub const GROUNDS: [&str; 4] = ["closed tube", "open channel", "plate", "wood"];
/// What a box is made of.
pub const MATERIALS: [&str; 4] = ["plywood", "steel", "aluminium", "plastic"];
/// The mains circuits that can feed a charger.
pub const FED_BY: [&str; 3] = ["shore", "generator", "inverter"];

/// Where a charge source measures the volts it holds.
pub const SENSES: [&str; 2] = ["posts", "studs"];

const fn f(key: &'static str, kind: Kind, meaning: &'static str) -> Field {
    Field::new(key, kind, meaning)
}

static CHARGES: [D; 6] =
    [D::Charger, D::SolarController, D::DcDc, D::Alternator, D::TowLine, D::Inverter];
static GUARDS: [D; 7] =
    [D::Charger, D::SolarController, D::DcDc, D::Alternator, D::TowLine, D::Inverter, D::Bms];
static RESUMES: [D; 7] =
    [D::Charger, D::SolarController, D::DcDc, D::Alternator, D::TowLine, D::Inverter, D::Generator];
static SWITCHES: [D; 5] = [D::Fuse, D::Breaker, D::Isolator, D::Bms, D::Precharge];
static POWERED: [D; 10] = [
    D::Inverter,
    D::Generator,
    D::Charger,
    D::SolarController,
    D::DcDc,
    D::StepDown,
    D::Panel,
    D::Equipment,
    D::Alarm,
    D::Breakaway,
];

/// The tables of the bank's side.
pub static TABLES: [Table; 9] = [
    Table {
        path: "block.*",
        label: "block",
        meaning: "A block model as bought; blocks of the bank share it.",
        part: false,
        fields: &BLOCK,
    },
    Table {
        path: "bank",
        label: "bank",
        meaning: "The bank: one table, or `[[bank]]` once for each stage that changes it.",
        part: false,
        fields: &BANK,
    },
    Table {
        path: "bank.*",
        label: "block",
        meaning: "What is known of one block of the bank: A1 is the first of string A, from its plus end.",
        part: false,
        fields: &BANK_BLOCK,
    },
    Table {
        path: "box",
        label: "box",
        meaning: "The box or compartment the bank stands in.",
        part: true,
        fields: &BOX,
    },
    Table {
        path: "obstacle.*",
        label: "obstacle",
        meaning: "A thing beside, in or over the box that takes room: a gas cylinder, a jack, a spare wheel, a door in its swing.",
        part: true,
        fields: &OBSTACLE,
    },
    Table {
        path: "hold.*",
        label: "hold",
        meaning: "A set of equal fasteners that holds the blocks in their box, or the box on the rig.",
        part: true,
        fields: &HOLD,
    },
    Table {
        path: "lead.*",
        label: "lead",
        meaning: "A lead. Without from and to it says more about the bank link of that number.",
        part: true,
        fields: &LEAD,
    },
    Table {
        path: "joint.*",
        label: "joints of lead",
        meaning: "Resistance of the joints at the two ends of the lead of that name.",
        part: false,
        fields: &JOINT,
    },
    Table {
        path: "device.*",
        label: "device",
        meaning: "Everything between the bank and what uses or feeds it.",
        part: true,
        fields: &DEVICE,
    },
];

static BLOCK: [Field; 27] = [
    f("chemistry", Kind::Word(&CHEMISTRIES), "Its chemistry.").needed(),
    f("volts", Kind::Voltage, "Nominal volts on the label.").within(1.0, 120.0).needed(),
    f("rating", Kind::Rating, "The label's rating: amp-hours with their hour rate, RC or CCA.")
        .needed(),
    f("rates", Kind::Ratings, "Amp-hours at other hour rates, from the maker's sheet."),
    f("resistance", Kind::Resistance, "Internal resistance when full, new and at 25 °C.")
        .within(1e-6, 10.0),
    f("short_circuit", Kind::Current, "Short-circuit current from the maker's sheet."),
    f("cranking", Kind::Current, "Cold cranking amps.").within(0.0, 5000.0),
    f("mass", Kind::Mass, "Mass of one block.").within(0.1, 2000.0),
    f("case", Kind::Text, "Case group name."),
    f("length", Kind::Length, "Length of the case.").within(10.0, 3000.0),
    f("width", Kind::Length, "Width of the case.").within(10.0, 3000.0),
    f("height", Kind::Length, "Height over posts and caps.").within(10.0, 3000.0),
    f("case_height", Kind::Length, "Height of the case itself, without posts and caps.")
        .within(10.0, 3000.0),
    f("handle_height", Kind::Length, "Height of its raised handles or rope above its floor.")
        .within(10.0, 3000.0),
    f("plus_at", Kind::Point, "Where the plus post stands on the case.").within(-100.0, 3000.0),
    f("minus_at", Kind::Point, "Where the minus post stands on the case.").within(-100.0, 3000.0),
    f("stud", Kind::Length, "Diameter of the terminal stud.").within(1.0, 50.0),
    f("terminal", Kind::Text, "Terminal kind in your own words."),
    f("torque", Kind::Torque, "Torque from the block's own sheet.").within(0.1, 100.0),
    f("discharge_max", Kind::Current, "Largest discharge current the maker allows."),
    f("charge_max", Kind::Current, "Largest charge current the maker allows."),
    f("absorption", Kind::Voltage, "Absorption volts per block.").within(1.0, 120.0),
    f("float", Kind::Voltage, "Float volts per block.").within(1.0, 120.0),
    f(
        "lockout_below",
        Kind::Temperature,
        "Cell temperature under which its own board refuses charge.",
    )
    .within(-60.0, 60.0),
    f("join_within", Kind::Voltage, "Largest difference in volts at which blocks may be joined.")
        .within(0.0, 5.0),
    f("price", Kind::Number, "Price of one."),
    f("age", Kind::Duration, "Time since it was made."),
];

static BANK: [Field; 12] = [
    f("stage", Kind::Name(Names::Stage), "Stage from which it stands."),
    f("block", Kind::Name(Names::Block), "The block model.").needed(),
    f("series", Kind::Whole, "Blocks in series in each string.").within(1.0, 96.0).needed(),
    f("parallel", Kind::Whole, "Strings in parallel.").within(1.0, 96.0).needed(),
    f(
        "takeoff",
        Kind::TakeOff,
        "Where the two main leads leave: \"same end\", \"opposite corners\", two posts or two busbars; needed with more than one string.",
    ),
    f("link", Kind::Size, "Size of the links inside the bank."),
    f("joint", Kind::Resistance, "Resistance of every joint that does not say its own.")
        .within(0.0, 1.0),
    f("link_length", Kind::Length, "Stud-to-stud length of every link, where all are alike.")
        .within(10.0, 5000.0),
    f(
        "link_temperature",
        Kind::Temperature,
        "Conductor temperature at which the links' resistance is taken.",
    ),
    f("soc", Kind::Share, "State of charge of every block that does not say its own."),
    f("discharge", Kind::Current, "Largest steady discharge you plan.").within(0.0, 10_000.0),
    f("have", Kind::Flag, "The blocks are already in hand."),
];

static BANK_BLOCK: [Field; 10] = [
    f("block", Kind::Name(Names::Block), "Its model, where it is not the bank's."),
    f("age", Kind::Duration, "Time since it was made."),
    f("cycles", Kind::Number, "Charge and discharge cycles behind it.").within(0.0, 100_000.0),
    f("soc", Kind::Share, "Its state of charge."),
    f("rest", Kind::Voltage, "Volts at rest, measured.").within(-120.0, 120.0),
    f("resistance", Kind::Resistance, "Its own internal resistance.").within(1e-6, 10.0),
    f("reversed", Kind::Flag, "Fitted the wrong way round."),
    f("at", Kind::Point, "Where its left near corner lies on the plan."),
    f("turn", Kind::Turn, "Which way it is turned, anticlockwise: 0, 90, 180 or 270 deg."),
    f("have", Kind::Flag, "Already in hand."),
];

static BOX: [Field; 38] = [
    f("length", Kind::Length, "Inside length.").within(10.0, 20_000.0),
    f("width", Kind::Length, "Inside width.").within(10.0, 20_000.0),
    f("height", Kind::Length, "Inside height under the lid.").within(10.0, 20_000.0),
    f("wall", Kind::Length, "Thickness of the wall.").within(0.0, 500.0),
    f("gap", Kind::Length, "Air gap between blocks.").within(0.0, 1000.0),
    f("margin", Kind::Length, "Gap between blocks and wall.").within(0.0, 1000.0),
    f("columns", Kind::Whole, "Columns of the row pattern.").within(1.0, 96.0),
    f("seen_from", Kind::Text, "Where you stand: the near side of the plan."),
    f("far_side", Kind::Text, "What lies beyond the far side."),
    f("place", Kind::Text, "Where the box is."),
    f("inside", Kind::Flag, "Adjoins the living space."),
    f("sealed", Kind::Flag, "Sealed from the living space."),
    f("vent_low", Kind::Area, "Free area of the low opening to outside."),
    f("vent_high", Kind::Area, "Free area of the high opening to outside."),
    f("lid", Kind::Flag, "A lid or cover keeps tools off the posts."),
    f("lid_hinge", Kind::Word(&HINGES), "The side at which the lid is hinged."),
    f(
        "lid_clearance",
        Kind::Length,
        "Clear height you want between the tallest stack and the lid.",
    )
    .within(0.0, 2000.0),
    f(
        "headroom",
        Kind::Length,
        "Free height above the rim with the lid open, to a ceiling, bench or shelf.",
    )
    .within(0.0, 20_000.0),
    f("liner", Kind::Length, "Thickness of the liner on walls and floor.").within(0.0, 100.0),
    f("divider", Kind::Length, "Thickness of a divider between two blocks.").within(0.0, 100.0),
    f("drain", Kind::Flag, "Has a hole through which water runs out."),
    f(
        "drain_height",
        Kind::Length,
        "How far the rim of that hole stands above the lowest point of the floor.",
    )
    .within(0.0, 500.0),
    f("lock", Kind::Flag, "The lid can be locked."),
    f("heated", Kind::Flag, "Kept above freezing whenever the bank may be charged."),
    f("mass", Kind::Mass, "Mass of box, leads and fittings.").within(0.0, 2000.0),
    SPOT[0],
    SPOT[1],
    SPOT[2],
    SPOT[3],
    f("over_rail", Kind::Flag, "Blocks are lifted in over a rail, a sill or a side."),
    f("material", Kind::Word(&MATERIALS), "What its floor is made of."),
    f("play", Kind::Length, "How far a block can be pushed before it meets something.")
        .within(0.0, 200.0),
    f("stops", Kind::Flag, "Stops fixed to the floor on all four sides keep it from sliding."),
    f("vent_drill", Kind::Length, "Drill or hole saw for the openings.").within(5.0, 300.0),
    f("shares", Kind::Words(&SHARES), "What else stands in the same space."),
    f("fuel_above", Kind::Length, "Distance to the nearest metal fuel part above the blocks.")
        .within(0.0, 20_000.0),
    f("fuel_shielded", Kind::Flag, "That fuel part is shielded."),
    f(
        "fuel_over_under",
        Kind::Flag,
        "It stands straight above or below a tank, filter or fitting of fuel.",
    ),
];

static HOLD: [Field; 17] = [
    f("kind", Kind::Word(&HOLD_KINDS), "What it is.").needed(),
    f("holds", Kind::Word(&HELD), "What it holds; a strap holds the blocks, all else the box."),
    f("number", Kind::Whole, "How many of them.").within(1.0, 200.0),
    f("size", Kind::Text, "Size of bolt, screw or rivet."),
    f("grade", Kind::Text, "Grade on the bolt's head."),
    f("into", Kind::Word(&GROUNDS), "What it goes into."),
    f("wall", Kind::Length, "Thickness of the metal it goes into, one wall of a tube.")
        .within(0.1, 100.0),
    f("plate", Kind::Length, "Side of the square plate behind it, or diameter of its washer.")
        .within(5.0, 500.0),
    f("grip", Kind::Length, "Thickness of all that lies between head and nut.").within(0.5, 500.0),
    f("rating", Kind::Mass, "What the label of a strap or clamp allows, each.")
        .within(1.0, 20_000.0),
    f("anchor", Kind::Mass, "What each end fitting of the strap bears.").within(1.0, 20_000.0),
    f("closed", Kind::Flag, "The strap closes round box or rail and has no end fitting."),
    f("angle", Kind::Angle, "Angle between strap and floor.").within(0.0, 90.0),
    f("over", Kind::Texts, "The blocks it passes over; all where none is named."),
    f("apart", Kind::Point, "Between the outermost fasteners, along the box and across it.")
        .within(10.0, 20_000.0),
    f("spacing", Kind::Length, "Least distance between two of them, middle to middle.")
        .within(1.0, 5000.0),
    f("edge", Kind::Length, "From the middle of the nearest one to an edge of the metal.")
        .within(0.0, 5000.0),
];

static OBSTACLE: [Field; 5] = [
    f("kind", Kind::Text, "What it is, in your own words."),
    f("at", Kind::Point, "Where its left near corner lies on the plan of the box.").needed(),
    f("size", Kind::Point, "Its size to the right and away from you.").within(0.0, 20_000.0),
    f("bottom", Kind::Length, "Its underside above the floor of the box.")
        .within(-5000.0, 20_000.0),
    f("height", Kind::Length, "Its height from its underside; left out, it reaches past any lid.")
        .within(0.0, 20_000.0),
];

static LEAD: [Field; 22] = [
    f("from", Kind::Terminal, "Where it starts: \"A1 +\", \"bank -\", \"main in\"."),
    f("to", Kind::Terminal, "Where it ends."),
    f("size", Kind::Size, "Its size, once decided."),
    f("length", Kind::Length, "Stud-to-stud length.").within(10.0, 100_000.0),
    f("insulation", Kind::Temperature, "Temperature class of the insulation.").within(50.0, 200.0),
    f("sheathed", Kind::Flag, "Sheathed or in conduit the whole way."),
    f("engine_space", Kind::Flag, "Runs through an engine space."),
    f("bundled", Kind::Whole, "Current-carrying conductors in the same bundle, this one included.")
        .within(1.0, 100.0),
    f("temperature", Kind::Temperature, "Conductor temperature used for its resistance.")
        .within(-60.0, 200.0),
    f("via", Kind::Route, "Points it passes, where you fix the route."),
    f("colour", Kind::Text, "Colour of its jacket."),
    f("critical", Kind::Flag, "Feeds something that may lose little voltage."),
    f("starter", Kind::Flag, "Feeds an engine starter."),
    f("lug_angle", Kind::Angle, "Angle between the two lugs."),
    f("lug_from", Kind::Length, "Hole of the lug at its start, where it is in hand.")
        .within(1.0, 50.0),
    f("lug_to", Kind::Length, "Hole of the lug at its end.").within(1.0, 50.0),
    f("boot_from", Kind::Flag, "A boot covers the post at its start."),
    f("boot_to", Kind::Flag, "A boot covers the post at its end."),
    f(
        "exit_from",
        Kind::Angle,
        "The way it leaves its start, seen from above: 0 deg to the right, 90 deg away from you.",
    ),
    f("exit_to", Kind::Angle, "The way it leaves its end, seen from above."),
    f(
        "lug_form_from",
        Kind::Word(&LUG_FORMS),
        "How the lug at its start is bent; left out, straight where the cable finds a way with it.",
    ),
    f("lug_form_to", Kind::Word(&LUG_FORMS), "How the lug at its end is bent."),
];

static JOINT: [Field; 2] = [
    f("from", Kind::Resistance, "At the start of the lead.").within(0.0, 1.0),
    f("to", Kind::Resistance, "At the end of the lead.").within(0.0, 1.0),
];

static DEVICE: [Field; 48] = [
    f("kind", Kind::Word(&DEVICE_KINDS), "What it is.").needed(),
    f("rating", Kind::Current, "Ampere rating.").within(0.01, 20_000.0),
    f("family", Kind::Text, "Fuse family in the words of the fuse table.")
        .of(&[D::Fuse, D::Breaker]),
    f("interrupt", Kind::Current, "Largest fault it can break at the bank's volts.")
        .within(1.0, 1_000_000.0)
        .of(&SWITCHES),
    f("volts_max", Kind::Voltage, "Largest direct voltage it is marked for.").within(1.0, 2000.0),
    f("dc_rated", Kind::Flag, "Marked for direct current."),
    f("polarised", Kind::Flag, "Works one way round only."),
    f("ignition_protected", Kind::Flag, "Marked as ignition-protected."),
    f("resistance", Kind::Resistance, "Resistance between its studs."),
    f("stud", Kind::Length, "Diameter of its studs.").within(1.0, 50.0),
    f("torque", Kind::Torque, "Torque from its own sheet.").within(0.1, 200.0),
    f("mounted_on", Kind::Terminal, "Mounted directly on this post or stud."),
    f("at", Kind::Point, "Where its stud, or the first of two, lies on the plan."),
    f("in_box", Kind::Flag, "Lies inside the battery box or compartment."),
    f("reachable", Kind::Flag, "Can be reached at once."),
    f("power", Kind::Power, "Steady power.").of(&POWERED),
    f("surge", Kind::Power, "Short overload.").of(&[D::Inverter, D::Generator, D::Equipment]),
    f("surge_time", Kind::Duration, "Time it can carry its surge.")
        .of(&[D::Inverter, D::Generator]),
    f("idle", Kind::Power, "Power it takes when it does nothing.").of(&POWERED),
    f("efficiency", Kind::Share, "Output over input.").within(0.05, 1.0).of(&POWERED),
    f("cut_off", Kind::Voltage, "Volts at its own studs at which it drops out.").of(&[
        D::Inverter,
        D::DcDc,
        D::StepDown,
        D::Bms,
        D::Equipment,
    ]),
    f("absorption", Kind::Voltage, "Volts it charges to, at its own studs.").of(&CHARGES),
    f("float", Kind::Voltage, "Volts it floats at.").of(&CHARGES),
    f("equalise", Kind::Voltage, "Volts it equalises at; leave it out when it never does.")
        .of(&CHARGES),
    f("input_max", Kind::Voltage, "Largest volts at its input.").of(&[
        D::SolarController,
        D::DcDc,
        D::StepDown,
    ]),
    f("compensated", Kind::Flag, "Shifts its set points with battery temperature.").of(&CHARGES),
    f("fed_by", Kind::Word(&FED_BY), "Which mains circuit feeds it.")
        .of(&[D::Charger, D::Inverter]),
    f("transfer", Kind::Flag, "Has its own switch from mains to inverter.").of(&[D::Inverter]),
    f("mppt", Kind::Flag, "Solar controller of the voltage-converting kind.")
        .of(&[D::SolarController]),
    f("distance", Kind::Length, "Distance to the nearest opening of the living space.")
        .of(&[D::Generator]),
    f("exhaust_away", Kind::Flag, "Exhaust points away from every opening.").of(&[D::Generator]),
    f("always_live", Kind::Flag, "Keeps living when the isolator is off, on purpose."),
    f("mass", Kind::Mass, "Its mass.").within(0.0, 2000.0),
    SPOT[0],
    SPOT[1],
    SPOT[2],
    SPOT[3],
    f("ambient_min", Kind::Temperature, "Coldest ambient it works in.").within(-60.0, 60.0),
    f("lockout_below", Kind::Temperature, "Cell temperature under which it refuses to charge.")
        .within(-60.0, 60.0)
        .of(&GUARDS),
    f("absorption_time", Kind::Duration, "Longest time it holds absorption.")
        .within(0.0, 48.0)
        .of(&CHARGES),
    f("tail", Kind::Current, "Amps at which it ends absorption.").of(&CHARGES),
    f("resume", Kind::Voltage, "Volts under which it begins a new charge, or a generator starts.")
        .of(&RESUMES),
    f(
        "sense",
        Kind::Word(&SENSES),
        "Where it measures: at the posts over wires of its own, or at its studs.",
    )
    .of(&CHARGES),
    f("desulphate", Kind::Flag, "A profile against sulphate is switched on.").of(&CHARGES),
    f("limiter", Kind::Flag, "Its regulator keeps it to amps it can bear for hours.")
        .of(&[D::Alternator]),
    f("relay", Kind::Flag, "Parted from the vehicle's battery when the engine stands.").of(&[
        D::TowLine,
        D::DcDc,
        D::Alternator,
    ]),
    f("fed_volts", Kind::Voltage, "Volts of the vehicle that feeds it, engine running.")
        .of(&[D::TowLine, D::DcDc]),
    f("length", Kind::Length, "One-way length of the vehicle's own line, up to the plug.")
        .of(&[D::TowLine, D::DcDc]),
];
