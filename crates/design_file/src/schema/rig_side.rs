//! The rig, its place, its stages, what uses and feeds it, and what carries it.

use super::{Field, Kind, Names, SPOT, Table};

/// The words of the rig kinds.
pub const RIG_KINDS: [&str; 4] = ["trailer", "van", "boat", "cabin"];
/// The words of the practices.
pub const PRACTICES: [&str; 6] =
    ["us-trailer", "us-boat", "us-cabin", "eu-vehicle", "eu-boat", "eu-cabin"];
/// The words of the units.
pub const UNITS: [&str; 2] = ["us", "metric"];
/// The sources of mains.
pub const SOURCES: [&str; 3] = ["shore", "generator", "inverter"];
/// What keeps two mains sources apart.
pub const CHANGEOVERS: [&str; 4] = ["switch", "built-in", "plug", "none"];

const fn f(key: &'static str, kind: Kind, meaning: &'static str) -> Field {
    Field::new(key, kind, meaning)
}

/// The top of the file, the rig, its place and its stages.
pub static FIRST: [Table; 4] = [
    Table {
        path: "",
        label: "file",
        meaning: "The top of the file, before the first table.",
        part: false,
        fields: &[f("format", Kind::Whole, "Version of this layout: 1.").within(1.0, 1.0)],
    },
    Table {
        path: "rig",
        label: "rig",
        meaning: "The rig and the practice it follows.",
        part: false,
        fields: &[
            f("name", Kind::Text, "Name of the rig.").needed(),
            f("kind", Kind::Word(&RIG_KINDS), "What it is.").needed(),
            f("practice", Kind::Word(&PRACTICES), "Which rules, tables and colours apply.")
                .needed(),
            f(
                "units",
                Kind::Word(&UNITS),
                "Units you want to read; by default those of the practice.",
            ),
            f("purpose", Kind::Text, "What it is used for, in one sentence."),
            f("petrol_inboard", Kind::Flag, "A petrol engine is built in."),
            f("electric_brakes", Kind::Flag, "It has electric brakes with a breakaway switch."),
            f("insurer_told", Kind::Flag, "The insurer was told of the work."),
            f("permit", Kind::Flag, "Any permit that is needed was asked for."),
            f("mains_by", Kind::Text, "Who does the mains work."),
            f("shop_distance", Kind::Length, "Distance to the nearest shop for a forgotten tool.")
                .within(0.0, 1e10),
            f("revision", Kind::Text, "Revision of the drawing."),
        ],
    },
    Table {
        path: "place",
        label: "place",
        meaning: "Where the rig stands when it lives off the bank.",
        part: false,
        fields: &[
            f("name", Kind::Text, "Name of the place."),
            f("latitude", Kind::Number, "Degrees, north positive.").within(-90.0, 90.0),
            f("longitude", Kind::Number, "Degrees, east positive.").within(-180.0, 180.0),
            f("altitude", Kind::Length, "Height above the sea.").within(-500_000.0, 6_000_000.0),
            f(
                "horizon",
                Kind::Months,
                "Height of the horizon in degrees at twelve bearings: north first, then every 30 east.",
            )
            .within(0.0, 90.0),
            f("weather", Kind::Text, "Your own weather file beside this one: EPW, TMY3 or plain CSV."),
            f("coldest", Kind::Temperature, "Coldest the bank or the array sees.")
                .within(-60.0, 60.0),
            f("warmest", Kind::Temperature, "Warmest the bank sees.").within(-60.0, 80.0),
            f("sun_hours", Kind::Months, "Peak sun hours a day on a flat plane (kWh/m2), month by month."),
        ],
    },
    Table {
        path: "stage.*",
        label: "stage",
        meaning: "One step of the work; the order in the file is the order of the work.",
        part: false,
        fields: &[
            f("note", Kind::Text, "What it brings, in your own words."),
            f("done", Kind::Flag, "Already done."),
            f("budget", Kind::Number, "Money for it."),
        ],
    },
];

/// Sources, loads, trips, mains, vehicle, stock, limits and what was done.
pub static LAST: [Table; 17] = [
    Table {
        path: "array.*",
        label: "array",
        meaning: "A set of equal solar panels on one controller.",
        part: true,
        fields: &[
            f("controller", Kind::Name(Names::Controller), "The solar controller it feeds."),
            f("series", Kind::Whole, "Panels in series.").within(1.0, 40.0),
            f("parallel", Kind::Whole, "Strings of panels in parallel.").within(1.0, 40.0),
            f("panel", Kind::Power, "Power of one panel at standard test conditions.")
                .within(1.0, 2000.0),
            f("open_volts", Kind::Voltage, "Open-circuit volts of one panel."),
            f("working_volts", Kind::Voltage, "Working volts of one panel."),
            f("short_amps", Kind::Current, "Short-circuit amps of one panel.").within(0.0, 100.0),
            f("working_amps", Kind::Current, "Working amps of one panel.").within(0.0, 100.0),
            f(
                "volts_per_kelvin",
                Kind::Share,
                "Change of open-circuit volts per kelvin: \"-0.3 %\".",
            )
            .within(-0.02, 0.0),
            f("tilt", Kind::Angle, "Tilt from flat.").within(0.0, 90.0),
            f("facing", Kind::Angle, "0 north, 90 east, 180 south, 270 west."),
            f("shade", Kind::Share, "Share of the light that trees, masts or vents take.")
                .within(0.0, 1.0),
            f("dirt", Kind::Share, "Share of the light that dirt takes.").within(0.0, 0.5),
            f(
                "amps_per_kelvin",
                Kind::Share,
                "Change of short-circuit amps per kelvin: \"0.05 %\".",
            )
            .within(0.0, 0.003),
            f("noct", Kind::Temperature, "Rated cell temperature of the data sheet, NOCT.")
                .within(35.0, 60.0),
            f(
                "air_behind",
                Kind::Length,
                "Air between the panel and the roof; 0 where it is glued down.",
            ),
            f("mass", Kind::Mass, "Mass of all its panels with their frames.").within(0.0, 2000.0),
            SPOT[0],
            SPOT[1],
            SPOT[2],
            SPOT[3],
        ],
    },
    Table {
        path: "load.*",
        label: "load",
        meaning: "One thing that uses energy.",
        part: true,
        fields: &[
            f("power", Kind::Power, "Power while it runs, at its own plug."),
            f("current", Kind::Current, "Current while it runs, where you clamped it.")
                .within(0.0, 5000.0),
            f("daily", Kind::Duration, "Time it runs in a day.").within(0.0, 24.0),
            f("energy", Kind::Energy, "Energy a day, where you measured that."),
            f("surge", Kind::Power, "Power for a moment at the start."),
            f("fed_from", Kind::Name(Names::Device), "The device it hangs on."),
            f("automatic", Kind::Flag, "Starts by itself."),
            f("standby", Kind::Flag, "Draws when the rig is parked and switched off."),
            f("mains", Kind::Flag, "Uses the inverter."),
            f("hours", Kind::Stretch, "Hours of the day in which it runs; none named means all.")
                .within(0.0, 24.0),
            f("months", Kind::Stretch, "Months in which it runs, both counted.").within(1.0, 12.0),
        ],
    },
    Table {
        path: "trip.*",
        label: "trip",
        meaning: "A time away from the hook-up.",
        part: true,
        fields: &[
            f("nights", Kind::Number, "Nights unplugged.").within(0.0, 366.0),
            f("month", Kind::Month, "Month, by number or name."),
            f("loads", Kind::Loads, "Loads that run on it; none named means all."),
            f("generator", Kind::Duration, "Generator hours a day.").within(0.0, 24.0),
            f("driving", Kind::Duration, "Driving hours a day.").within(0.0, 24.0),
        ],
    },
    Table {
        path: "storage",
        label: "storage",
        meaning: "The time in which the rig stands unused.",
        part: false,
        fields: &[
            f("time", Kind::Duration, "How long it stands."),
            f("from", Kind::Month, "Month in which that begins, by number or name."),
            f("at_charge", Kind::Share, "State of charge at which it is left."),
            f("isolator_off", Kind::Flag, "The isolator is turned off."),
            f("maintained", Kind::Flag, "A charger or panel keeps it full all the time."),
        ],
    },
    Table {
        path: "mains",
        label: "mains",
        meaning: "The mains side as far as you must know it.",
        part: false,
        fields: &[
            f("sources", Kind::Words(&SOURCES), "Sources there are."),
            f("changeover", Kind::Word(&CHANGEOVERS), "What keeps two sources apart."),
            f("rcd", Kind::Flag, "An RCD or GFCI guards the sockets."),
        ],
    },
    Table {
        path: "mains.bonds",
        label: "mains bonds",
        meaning: "How often neutral and earth meet, for each source in use.",
        part: false,
        fields: &[
            f("shore", Kind::Whole, "On the shore lead.").within(0.0, 9.0),
            f("generator", Kind::Whole, "On the generator.").within(0.0, 9.0),
            f("inverter", Kind::Whole, "On the inverter.").within(0.0, 9.0),
        ],
    },
    Table {
        path: "mains.circuit.*",
        label: "mains circuit",
        meaning: "One mains circuit that the inverter can feed.",
        part: false,
        fields: &[
            f("power", Kind::Power, "Power it can take."),
            f("automatic", Kind::Flag, "Can start by itself."),
            f("on_inverter", Kind::Flag, "Fed by the inverter."),
        ],
    },
    Table {
        path: "vehicle",
        label: "vehicle",
        meaning: "Masses and distances, as measured or as on the plates.",
        part: false,
        fields: &[
            f("ball_to_axle", Kind::Length, "Ball to axle, or to the middle of two axles.")
                .within(100.0, 20_000.0),
            f("ball_now", Kind::Mass, "Measured on the ball now.").within(0.0, 5000.0),
            f("gross_now", Kind::Mass, "Measured gross now."),
            f("axle_now", Kind::Mass, "Measured on the axle now."),
            f("hitch_max", Kind::Mass, "Plate of the hitch.").within(0.0, 5000.0),
            f("ball_max", Kind::Mass, "Mark on the tow ball.").within(0.0, 5000.0),
            f("coupler_max", Kind::Mass, "Plate of the coupling: what may press on the ball.")
                .within(0.0, 5000.0),
            f("towbar_max", Kind::Mass, "Limit of the tow vehicle.").within(0.0, 5000.0),
            f("gross_max", Kind::Mass, "Plate of the gross."),
            f("axle_max", Kind::Mass, "Plate of the axle."),
            f("payload_max", Kind::Mass, "What may be loaded, by plate or papers."),
            f("empty", Kind::Mass, "Mass empty, by the papers."),
            f("wheelbase", Kind::Length, "Front axle to rear axle, of a van.")
                .within(500.0, 20_000.0),
            f("displacement", Kind::Mass, "Mass of the boat as she floats.")
                .within(0.0, 1_000_000.0),
            f(
                "metacentric_height",
                Kind::Length,
                "From the builder's or a surveyor's papers: how stiff the boat is against heeling.",
            )
            .within(0.0, 20_000.0),
            f("list_max", Kind::Moment, "Sideways moment you accept on a boat."),
        ],
    },
    Table {
        path: "vehicle.axle.*",
        label: "axle",
        meaning: "One axle of a van, the front one first, or one of several under a trailer.",
        part: false,
        fields: &[
            f("at", Kind::Length, "How far behind the front axle it stands.").within(0.0, 20_000.0),
            f("now", Kind::Mass, "Measured on it now."),
            f("max", Kind::Mass, "Its plate."),
        ],
    },
    Table {
        path: "vehicle.out.*",
        label: "taken out",
        meaning: "A mass taken out at the work.",
        part: false,
        fields: &[
            f("mass", Kind::Mass, "Its mass.").within(0.0, 2000.0).needed(),
            SPOT[0],
            SPOT[1],
            SPOT[2],
            SPOT[3],
            f(
                "stage",
                Kind::Name(Names::Stage),
                "Stage at which it leaves; by default that of the new bank.",
            ),
        ],
    },
    Table {
        path: "stock",
        label: "stock",
        meaning: "What is in hand and what the shop sells.",
        part: false,
        fields: &[
            f("tools", Kind::Texts, "Tools in hand, by name."),
            f("insulation", Kind::Temperature, "Insulation class of the cable in hand or on sale.")
                .within(50.0, 200.0),
        ],
    },
    Table {
        path: "stock.cable.*",
        label: "cable in hand",
        meaning: "A length of cable in hand.",
        part: false,
        fields: &[
            f("size", Kind::Size, "The size on its jacket.").needed(),
            f("length", Kind::Length, "Its length.").needed(),
            f("colour", Kind::Text, "Colour of its jacket."),
        ],
    },
    Table {
        path: "stock.sold.*",
        label: "cable on sale",
        meaning: "A length of cable that a shop sells.",
        part: false,
        fields: &[
            f("size", Kind::Size, "The size on its jacket.").needed(),
            f("length", Kind::Length, "A fixed length, or the step off the reel.").needed(),
            f("up_to", Kind::Length, "Longest piece off the reel.").within(0.0, 1_000_000.0),
            f("price", Kind::Number, "Price of one length or step."),
            f("colour", Kind::Text, "Colour of its jacket."),
        ],
    },
    Table {
        path: "limit",
        label: "limit",
        meaning: "Your own limits.",
        part: false,
        fields: &[
            f("budget", Kind::Number, "Money for the whole work."),
            f("mass", Kind::Mass, "Mass that may be added."),
            f("drop", Kind::Share, "Share of the bank's volts that may be lost.").within(0.0, 0.5),
        ],
    },
    Table {
        path: "as_built",
        label: "as built",
        meaning: "What was done and measured.",
        part: false,
        fields: &[
            f("temperature", Kind::Temperature, "Temperature on the day.").within(-60.0, 60.0),
            f("ticks", Kind::Texts, "Steps ticked, by name."),
            f("alarm_powered", Kind::Flag, "The gas or smoke alarm has power."),
            f("gas_open", Kind::Flag, "The gas cylinder is open."),
        ],
    },
    Table {
        path: "as_built.post.*",
        label: "post",
        meaning: "What was done at one post or stud.",
        part: false,
        fields: &[
            f("torque", Kind::Torque, "Torque written down."),
            f("stack", Kind::Texts, "What lies on it, from the contact face outwards."),
            f("boot", Kind::Flag, "A boot covers it."),
        ],
    },
    Table {
        path: "as_built.volts",
        label: "volts",
        meaning: "Volts measured: over a block, an open string, or the gap that a lead will close.",
        part: false,
        fields: &[f(
            "*",
            Kind::Voltage,
            "\"A1\", \"string A\" or \"gap 5\"; signed as the meter showed it.",
        )
        .within(-1000.0, 1000.0)],
    },
];
